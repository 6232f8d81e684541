//! What a person does to the app and sees of it, by name. Every tap goes through [`Page::tap`],
//! which counts it.

use crate::driver::{download_into, finger, picture, show_as};
use crate::server::Server;
use serde::Deserialize;
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::path::Path;
use std::sync::atomic::{AtomicU32, Ordering};
use std::time::Duration;
use thirtyfour::prelude::*;
use tokio::time::{Instant, sleep};

/// Longest wait for something to appear or to change.
const PATIENCE: Duration = Duration::from_secs(15);
/// Between two looks.
const PAUSE: Duration = Duration::from_millis(40);
/// Fields that may lie between one typed into and the next: what a keyboard's "next" passes over.
const NEAR: u32 = 4;

/// The app on the phone.
pub(crate) struct Page {
    pub(crate) driver: WebDriver,
    pub(crate) server: Server,
    taps: AtomicU32,
    keys: AtomicU32,
}

/// Something on the screen.
#[derive(Debug, Clone, Deserialize)]
#[expect(clippy::struct_excessive_bools, reason = "what is seen of one thing is one or not")]
pub(crate) struct Seen {
    /// The text in it, each space a plain one.
    pub(crate) text: String,
    /// What is typed in it.
    pub(crate) value: String,
    /// Whether it is chosen.
    pub(crate) checked: bool,
    /// Whether it takes up room.
    pub(crate) shown: bool,
    /// Whether all of it lies on the screen without scrolling.
    pub(crate) in_view: bool,
    /// Whether what is typed goes there.
    pub(crate) focused: bool,
    /// Its middle, CSS pixels.
    pub(crate) middle: [f64; 2],
    /// Its attributes.
    pub(crate) attributes: BTreeMap<String, String>,
}

/// The element of a `data-testid`, for scripts.
const FIND: &str = r#"
const find = (id) => document.querySelector(`[data-testid="${id}"]`);
"#;

const LOOK: &str = r#"
const e = find(arguments[0]);
if (!e) return null;
const box = e.getBoundingClientRect();
return {
  text: (e.innerText ?? e.textContent).replace(/[\u00a0\u2009\u202f\s]+/g, " ").trim(),
  value: String(e.value ?? ""),
  checked: e.checked ?? e.getAttribute("aria-checked") === "true",
  shown: box.width > 0 && box.height > 0 && getComputedStyle(e).visibility === "visible",
  in_view: box.top >= 0 && box.left >= 0 && box.bottom <= innerHeight && box.right <= innerWidth,
  focused: document.activeElement === e,
  middle: [box.x + box.width / 2, box.y + box.height / 2],
  attributes: Object.fromEntries([...e.attributes].map((a) => [a.name, a.value])),
};
"#;

impl Page {
    /// A phone on which nothing is open yet.
    pub(crate) fn new(driver: WebDriver, server: Server) -> Self {
        Self { driver, server, taps: AtomicU32::new(0), keys: AtomicU32::new(0) }
    }

    /// Opens the app and waits until it runs.
    pub(crate) async fn open(driver: WebDriver, server: Server) -> WebDriverResult<Self> {
        let page = Self::new(driver, server);
        page.load().await?;
        Ok(page)
    }

    /// The text that is seen on paper.
    pub(crate) async fn printed_text(&self) -> WebDriverResult<String> {
        show_as(&self.driver, "print").await?;
        let text = self.run("return document.body.innerText;", vec![]).await?.unwrap_or_default();
        show_as(&self.driver, "").await?;
        Ok(text)
    }

    /// Waits until the sign says that all is kept.
    pub(crate) async fn see_kept(&self) -> WebDriverResult<()> {
        let is_kept = |seen: &Seen| seen.attributes.get("data-kept").is_some_and(|k| k == "kept");
        self.see_that("kept", "says that all is kept", is_kept).await.map(drop)
    }

    /// Runs a script that calls its last argument back with a value.
    pub(crate) async fn run_async<T>(&self, script: &str) -> WebDriverResult<Option<T>>
    where
        T: for<'a> Deserialize<'a>,
    {
        self.run_async_with(script, vec![]).await
    }

    /// As [`Self::run_async`], with arguments before the last one.
    pub(crate) async fn run_async_with<T>(
        &self,
        script: &str,
        with: Vec<Value>,
    ) -> WebDriverResult<Option<T>>
    where
        T: for<'a> Deserialize<'a>,
    {
        let returned = self.driver.execute_async(format!("{FIND}{script}"), with).await?;
        Ok(serde_json::from_value(returned.json().clone())?)
    }

    /// Loads the app's address, afresh.
    pub(crate) async fn load(&self) -> WebDriverResult<()> {
        self.driver.goto(self.server.address()).await?;
        self.is_ready().await
    }

    /// Loads the page again.
    pub(crate) async fn reload(&self) -> WebDriverResult<()> {
        self.driver.refresh().await?;
        self.is_ready().await
    }

    /// Takes the update that is offered: the page is loaded afresh.
    pub(crate) async fn take_update(&self) -> WebDriverResult<()> {
        self.run::<()>("window.before = true; return null;", vec![]).await?;
        self.tap("update-apply").await?;
        let afresh = "return window.before ? null : true;";
        self.until("the page is loaded afresh", async || self.run::<bool>(afresh, vec![]).await)
            .await?;
        self.is_ready().await
    }

    /// Waits until the app is mounted.
    pub(crate) async fn is_ready(&self) -> WebDriverResult<()> {
        let ready = "return document.documentElement.hasAttribute('data-ready') || null;";
        self.until("the app runs", async || self.run::<bool>(ready, vec![]).await).await?;
        Ok(())
    }

    /// Runs a script and reads what it returns; null is none.
    pub(crate) async fn run<T>(&self, script: &str, with: Vec<Value>) -> WebDriverResult<Option<T>>
    where
        T: for<'a> Deserialize<'a>,
    {
        let returned = self.driver.execute(format!("{FIND}{script}"), with).await?;
        Ok(serde_json::from_value(returned.json().clone())?)
    }

    /// Asks again and again until there is an answer; none when it takes too long.
    pub(crate) async fn wait_for<T>(
        &self,
        ask: impl AsyncFn() -> WebDriverResult<Option<T>>,
    ) -> WebDriverResult<Option<T>> {
        let end = Instant::now() + PATIENCE;
        loop {
            let answer = ask().await?;
            if answer.is_some() || Instant::now() > end {
                return Ok(answer);
            }
            sleep(PAUSE).await;
        }
    }

    /// Asks again and again until there is an answer.
    pub(crate) async fn until<T>(
        &self,
        what: &str,
        ask: impl AsyncFn() -> WebDriverResult<Option<T>>,
    ) -> WebDriverResult<T> {
        let Some(answer) = self.wait_for(ask).await? else {
            let picture = self.picture_of_failure().await?;
            panic!("waited {PATIENCE:?} in vain until {what} (see artefacts/{picture}.png)")
        };
        Ok(answer)
    }

    /// Leaves a picture of what was there instead, named after the test, and tells its name.
    pub(crate) async fn picture_of_failure(&self) -> WebDriverResult<String> {
        // The test harness names the thread after the test.
        let test = std::thread::current().name().unwrap_or_default().replace("::", "-");
        let name = format!("failed-{test}");
        picture(&self.driver, &name).await?;
        Ok(name)
    }

    /// Something on the screen, if it is there and takes up room.
    pub(crate) async fn look(&self, id: &str) -> WebDriverResult<Option<Seen>> {
        let seen: Option<Seen> = self.run(LOOK, vec![json!(id)]).await?;
        Ok(seen.filter(|seen| seen.shown))
    }

    /// Waits for something and looks at it.
    pub(crate) async fn see(&self, id: &str) -> WebDriverResult<Seen> {
        self.until(&format!("{id} is shown"), async || self.look(id).await).await
    }

    /// Waits until something is as it should be.
    pub(crate) async fn see_that(
        &self,
        id: &str,
        how: &str,
        is_so: impl Fn(&Seen) -> bool,
    ) -> WebDriverResult<Seen> {
        let ask = async || Ok(self.look(id).await?.filter(&is_so));
        let Some(seen) = self.wait_for(ask).await? else {
            let picture = self.picture_of_failure().await?;
            let now = self.look(id).await?;
            panic!("{id} never {how}: it is {now:?} (see artefacts/{picture}.png)")
        };
        Ok(seen)
    }

    /// Waits until something says `words`.
    pub(crate) async fn see_words(&self, id: &str, words: &str) -> WebDriverResult<Seen> {
        let wanted = words.to_lowercase();
        let says = |seen: &Seen| seen.text.to_lowercase().contains(&wanted);
        self.see_that(id, &format!("says \"{words}\""), says).await
    }

    /// Waits until something is gone.
    pub(crate) async fn see_no(&self, id: &str) -> WebDriverResult<()> {
        let ask = async || Ok(self.look(id).await?.is_none().then_some(()));
        self.until(&format!("{id} is gone"), ask).await
    }

    /// Counts a tap on something that has no name of its own.
    pub(crate) fn count_tap(&self) {
        self.taps.fetch_add(1, Ordering::Relaxed);
    }

    /// Taps since the phone was empty.
    pub(crate) fn n_taps(&self) -> u32 {
        self.taps.load(Ordering::Relaxed)
    }

    /// Types on the keyboard, into whatever has the focus, and counts the keys.
    pub(crate) async fn press(&self, keys: &str) -> WebDriverResult<()> {
        let n = u32::try_from(keys.chars().count()).expect("a few keys");
        self.keys.fetch_add(n, Ordering::Relaxed);
        self.driver.active_element().await?.send_keys(keys).await
    }

    /// Keys pressed by [`Self::press`].
    pub(crate) fn n_keys(&self) -> u32 {
        self.keys.load(Ordering::Relaxed)
    }

    /// Waits until nothing looks pressed any more.
    pub(crate) async fn is_at_rest(&self) -> WebDriverResult<()> {
        let at_rest = "return document.querySelector('button:active') ? null : true;";
        let ask = async || self.run::<bool>(at_rest, vec![]).await;
        self.until("nothing is pressed", ask).await.map(drop)
    }

    /// Lays a finger on something, does something meanwhile, and lifts it.
    pub(crate) async fn hold(
        &self,
        id: &str,
        meanwhile: impl AsyncFnOnce() -> WebDriverResult<()>,
    ) -> WebDriverResult<()> {
        self.see_target(id).await?;
        let seen = self.see(id).await?;
        self.taps.fetch_add(1, Ordering::Relaxed);
        finger(&self.driver, Some(seen.middle)).await?;
        meanwhile().await?;
        finger(&self.driver, None).await
    }

    /// Types into a field in place of what is there: taps it first, unless typing goes there already.
    pub(crate) async fn fill(&self, id: &str, text: &str) -> WebDriverResult<()> {
        if !self.see(id).await?.focused {
            self.tap(id).await?;
        }
        let select = "const e = find(arguments[0]); e.focus(); e.select(); return e;";
        let field = self.driver.execute(format!("{FIND}{select}"), vec![json!(id)]).await?;
        let field = field.element()?;
        if text.is_empty() {
            field.send_keys(Key::Backspace).await
        } else {
            field.send_keys(text).await
        }
    }

    /// Types into a field, going there with the keyboard's own key if it is near, by a tap if not.
    pub(crate) async fn fill_next(&self, id: &str, text: &str) -> WebDriverResult<()> {
        for _ in 0..NEAR {
            if self.see(id).await?.focused {
                break;
            }
            self.driver.active_element().await?.send_keys(Key::Tab).await?;
        }
        self.fill(id, text).await
    }

    /// Gives a file to a field for files.
    pub(crate) async fn give_file(&self, id: &str, file: &Path) -> WebDriverResult<()> {
        self.see_target(id).await?;
        let field = self.driver.find(By::Testid(id)).await?;
        field.send_keys(file.to_string_lossy().into_owned()).await
    }

    /// Goes to the diary's page of files.
    pub(crate) async fn go_to_files(&self) -> WebDriverResult<()> {
        if self.look("export").await?.is_none() {
            self.tap("go-diary").await?;
            self.tap("go-files").await?;
        }
        Ok(())
    }

    /// Removes everything, when asked whether to.
    pub(crate) async fn remove_everything(&self) -> WebDriverResult<()> {
        self.go_to_files().await?;
        self.tap("go-remove").await?;
        self.see_words("remove-what", "Removes all").await?;
        self.tap("remove-all").await?;
        self.see_words("file-message", "Removed from this phone").await.map(drop)
    }

    /// Gives a file to the page of files, and brings in what it has after the look at it.
    pub(crate) async fn take_in_file(&self, file: &Path) -> WebDriverResult<()> {
        self.go_to_files().await?;
        self.give_file("import", file).await?;
        self.see("preview").await?;
        self.tap("take-in").await?;
        self.see_no("preview").await
    }

    /// What the diary's export brings, read back from the downloaded file and removed.
    pub(crate) async fn export(&self, into: &Path) -> WebDriverResult<Value> {
        self.go_to_files().await?;
        Ok(serde_json::from_str(&self.download("export", into).await?)?)
    }

    /// The text of the file that a tap downloads, which is removed.
    pub(crate) async fn download(&self, id: &str, into: &Path) -> WebDriverResult<String> {
        download_into(&self.driver, into).await?;
        self.tap(id).await?;
        let file = self
            .until("the exported file is there", async || {
                let found = std::fs::read_dir(into)?.filter_map(|entry| Some(entry.ok()?.path()));
                Ok(found.filter(|path| is_export(path)).max())
            })
            .await?;
        let text = std::fs::read_to_string(&file)?;
        std::fs::remove_file(&file)?;
        Ok(text)
    }
}

/// A download has its own name when it is whole; before that an empty file may hold the name for it.
fn is_export(path: &Path) -> bool {
    let name = path.file_name().and_then(|name| name.to_str()).unwrap_or_default();
    let is_ours = name.starts_with("trimwright-") && path.extension().is_some_and(|e| e == "json");
    is_ours && std::fs::metadata(path).is_ok_and(|file| file.len() > 0)
}
