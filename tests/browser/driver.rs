//! Chromium as a phone: how a test is run in it (`phone` has the browsers), and what only the debugging protocol
//! can do (the tilt sensor, a slower processor, another size of screen, pictures).

use crate::page::Page;
use crate::phone::{Phone, outlive_the_test};
use crate::server::Server;
use serde_json::{Map, Value, json};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU32, Ordering};
use std::time::Duration;
use thirtyfour::prelude::*;
use tokio::time::timeout;
use trimwright::diary::PictureBytes;

/// The sub-path most tests run under.
pub(crate) const FOLDER: &str = "/boats/trim/";
/// Longest that a test may take, in its short and in its long form.
const TEST_LIMIT: [Duration; 2] = [Duration::from_secs(180), Duration::from_secs(1200)];

/// Of a long run its short form, which every change must pass; all of it when `TRIM_SOAK` is set, as
/// `scripts/soak` does.
pub(crate) fn short_or_long<T>(short: T, long: T) -> T {
    if std::env::var_os("TRIM_SOAK").is_some() { long } else { short }
}

/// Opens the app as built under `folder` on an empty phone and runs a test; then looks for errors
/// in the console and for files that were asked for in vain.
pub(crate) async fn on_a_phone<F, Fut>(folder: &str, test: F)
where
    F: FnOnce(Page) -> Fut,
    Fut: Future<Output = WebDriverResult<()>>,
{
    run(&built_app(), folder, test).await;
}

/// As [`on_a_phone`], with the files of another folder.
pub(crate) async fn run<F, Fut>(root: &Path, folder: &str, test: F)
where
    F: FnOnce(Page) -> Fut,
    Fut: Future<Output = WebDriverResult<()>>,
{
    let _guard = outlive_the_test();
    let server = Server::start(root, folder).await;
    let missing = server.missing();
    let origin = server.origin();
    let phone = Phone::take().await;
    let outcome = async {
        let page = Page::open(phone.driver.clone(), server).await?;
        let limit = short_or_long(TEST_LIMIT[0], TEST_LIMIT[1]);
        timeout(limit, test(page)).await.expect("the test ends in time")?;
        check_console(&phone.driver).await
    };
    if let Err(error) = outcome.await {
        panic!("the browser refused: {error}");
    }
    phone.give_back(&origin).await;
    let missing = missing.lock().expect("no thread panicked with it");
    assert!(missing.is_empty(), "asked for and not there: {missing:?}");
}

/// Runs a test that kills and opens tabs, for as long as it may take.
pub(crate) async fn run_for(
    limit: Duration,
    test: impl AsyncFnOnce(&Page, Tabs) -> WebDriverResult<()>,
) {
    let _guard = outlive_the_test();
    let server = Server::start(&built_app(), FOLDER).await;
    run_with(server, limit, test).await;
}

/// As [`run_for`], with the files of a folder that was packed.
pub(crate) async fn run_packed(
    packed: &Path,
    limit: Duration,
    test: impl AsyncFnOnce(&Page, Tabs) -> WebDriverResult<()>,
) {
    let _guard = outlive_the_test();
    let server = Server::start_packed(packed, FOLDER).await;
    run_with(server, limit, test).await;
}

async fn run_with(
    server: Server,
    limit: Duration,
    test: impl AsyncFnOnce(&Page, Tabs) -> WebDriverResult<()>,
) {
    let origin = server.origin();
    let phone = Phone::take().await;
    let killed = Arc::new(AtomicBool::new(false));
    let tabs = Tabs { first: phone.first.clone(), killed: Arc::clone(&killed) };
    let page = Page::new(phone.driver.clone(), server);
    let outcome = timeout(limit, test(&page, tabs)).await;
    if let Err(error) = outcome.expect("the test ends in time") {
        panic!("the browser refused: {error}");
    }
    if !killed.load(Ordering::Relaxed) {
        phone.give_back(&origin).await;
    }
}

/// The tabs of a browser: an empty first one that stays, and others beside it.
pub(crate) struct Tabs {
    first: WindowHandle,
    /// One was killed.
    killed: Arc<AtomicBool>,
}

impl Tabs {
    /// Opens a tab and goes to it.
    pub(crate) async fn open(&self, page: &Page) -> WebDriverResult<WindowHandle> {
        page.driver.switch_to_window(self.first.clone()).await?;
        let tab = page.driver.new_tab().await?;
        page.driver.switch_to_window(tab.clone()).await?;
        Ok(tab)
    }

    /// Kills the process of the tab that is open, and opens another one.
    pub(crate) async fn kill(&self, page: &Page) -> WebDriverResult<()> {
        self.killed.store(true, Ordering::Relaxed);
        let killed = command(&page.driver, "Page.crash", json!({})).await;
        assert!(killed.is_err(), "a tab that is killed answers nothing");
        page.driver.close_window().await?;
        self.open(page).await.map(drop)
    }

    /// Closes all tabs but one and the empty first one, and goes to that.
    pub(crate) async fn close_others(
        &self,
        page: &Page,
        one: &WindowHandle,
    ) -> WebDriverResult<()> {
        for tab in page.driver.windows().await? {
            if tab != *one && tab != self.first {
                page.driver.switch_to_window(tab).await?;
                page.driver.close_window().await?;
            }
        }
        page.driver.switch_to_window(one.clone()).await
    }

    /// Forgets everything that the app has kept.
    pub(crate) async fn forget(&self, page: &Page) -> WebDriverResult<()> {
        let origin = page.server.origin();
        let all = json!({ "origin": origin, "storageTypes": "all" });
        command(&page.driver, "Storage.clearDataForOrigin", all).await
    }
}

/// Lets the app keep so many bytes; none takes the limit away.
pub(crate) async fn limit_store(page: &Page, bytes: Option<u64>) -> WebDriverResult<()> {
    let mut limit = json!({ "origin": page.server.origin() });
    if let Some(bytes) = bytes {
        limit["quotaSize"] = json!(bytes);
    }
    command(&page.driver, "Storage.overrideQuotaForOrigin", limit).await
}

/// The folder with the built app.
pub(crate) fn built_app() -> PathBuf {
    let package = Path::new(env!("CARGO_MANIFEST_DIR"));
    let folder = package.join(std::env::var_os("TRIM_DIST").unwrap_or_else(|| "dist".into()));
    assert!(
        folder.join("index.html").is_file(),
        "There is no built app in {}: run scripts/build first, or name its folder in TRIM_DIST.",
        folder.display()
    );
    folder
}

/// Where pictures are left; git ignores it.
fn artefacts() -> PathBuf {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("artefacts");
    std::fs::create_dir_all(&folder).expect("a folder for the pictures");
    folder
}

/// A program that fails says so in the console. That a killed server does not answer is no error.
async fn check_console(driver: &WebDriver) -> WebDriverResult<()> {
    let log = driver.browser_log().await?;
    let errors: Vec<&str> = log
        .iter()
        .filter(|entry| entry.level == "SEVERE")
        .map(|entry| entry.message.as_str())
        .filter(|message| !message.contains("ERR_CONNECTION_REFUSED"))
        .collect();
    assert!(errors.is_empty(), "errors in the console:\n{}", errors.join("\n"));
    Ok(())
}

/// Sets what the tilt sensor says, degrees, as the W3C recommendation defines them.
pub(crate) async fn set_tilt(driver: &WebDriver, beta: f64, gamma: f64) -> WebDriverResult<()> {
    let angles = json!({ "alpha": 0.0, "beta": beta, "gamma": gamma });
    command(driver, "DeviceOrientation.setDeviceOrientationOverride", angles).await
}

/// Makes the processor `rate` times slower.
pub(crate) async fn slow_down(driver: &WebDriver, rate: f64) -> WebDriverResult<()> {
    command(driver, "Emulation.setCPUThrottlingRate", json!({ "rate": rate })).await
}

/// Makes the network as slow as slow 4G is taken to be: 150 ms there and back, 1.6 Mbit/s down, 750 kbit/s up; or
/// as fast as it is. Only what the page asks for: what its worker asks for is as fast as it is.
pub(crate) async fn slow_network(driver: &WebDriver, slow: bool) -> WebDriverResult<()> {
    let [latency, down, up] =
        if slow { [150.0, 1.6e6 / 8.0, 750e3 / 8.0] } else { [0.0, -1.0, -1.0] };
    command(driver, "Network.enable", json!({})).await?;
    let how = json!({
        "offline": false,
        "latency": latency,
        "downloadThroughput": down,
        "uploadThroughput": up,
    });
    command(driver, "Network.emulateNetworkConditions", how).await
}

/// Lays a finger on the middle of something, given in CSS pixels, or lifts it.
pub(crate) async fn finger(driver: &WebDriver, at: Option<[f64; 2]>) -> WebDriverResult<()> {
    let (kind, points) = match at {
        Some([x, y]) => ("touchStart", vec![json!({ "x": x, "y": y })]),
        None => ("touchEnd", Vec::new()),
    };
    command(driver, "Input.dispatchTouchEvent", json!({ "type": kind, "touchPoints": points }))
        .await
}

/// Steps in which a finger moves from one place to another.
const STEPS: u32 = 12;

/// Lays a finger on a place, given in CSS pixels, moves it to another one and lifts it there.
pub(crate) async fn drag_finger(
    driver: &WebDriver,
    from: [f64; 2],
    to: [f64; 2],
) -> WebDriverResult<()> {
    finger(driver, Some(from)).await?;
    for step in 1..=STEPS {
        let share = f64::from(step) / f64::from(STEPS);
        let [x, y] = [0, 1].map(|k| from[k] + (to[k] - from[k]) * share);
        let points = json!([{ "x": x, "y": y }]);
        let moved = json!({ "type": "touchMove", "touchPoints": points });
        command(driver, "Input.dispatchTouchEvent", moved).await?;
    }
    finger(driver, None).await
}

/// Makes the screen another size, in CSS pixels.
pub(crate) async fn resize(driver: &WebDriver, width: u32, height: u32) -> WebDriverResult<()> {
    let phone = width < 600;
    let metrics = json!({
        "width": width,
        "height": height,
        "deviceScaleFactor": if phone { 3 } else { 1 },
        "mobile": phone,
    });
    command(driver, "Emulation.setDeviceMetricsOverride", metrics).await
}

/// Runs a script in every page before the page's own, from the next one on.
pub(crate) async fn on_load(driver: &WebDriver, script: &str) -> WebDriverResult<()> {
    command(driver, "Page.addScriptToEvaluateOnNewDocument", json!({ "source": script })).await
}

/// Lets downloads go into a folder without asking.
pub(crate) async fn download_into(driver: &WebDriver, folder: &Path) -> WebDriverResult<()> {
    let how = json!({ "behavior": "allow", "downloadPath": folder.to_string_lossy() });
    command(driver, "Browser.setDownloadBehavior", how).await
}

/// A picture of the screen as it is, in `artefacts/`.
pub(crate) async fn picture(driver: &WebDriver, name: &str) -> WebDriverResult<()> {
    driver.screenshot(&artefacts().join(format!("{name}.png"))).await
}

/// Prints the page on paper of a size in inches, into `artefacts/`; the bytes of the document.
pub(crate) async fn print_to(
    driver: &WebDriver,
    name: &str,
    [width, height]: [f64; 2],
) -> WebDriverResult<Vec<u8>> {
    let paper = json!({ "paperWidth": width, "paperHeight": height, "preferCSSPageSize": false });
    let printed = driver.cdp().send_raw("Page.printToPDF", paper).await?;
    let text = printed["data"].as_str().expect("a document");
    let bytes = PictureBytes { kind: String::new(), base64: text.to_owned(), extra: Map::new() };
    let bytes = bytes.bytes().expect("base64");
    std::fs::write(artefacts().join(format!("{name}.pdf")), &bytes)?;
    Ok(bytes)
}

/// Shows the page as it is printed, or as it is on a screen.
pub(crate) async fn show_as(driver: &WebDriver, media: &str) -> WebDriverResult<()> {
    command(driver, "Emulation.setEmulatedMedia", json!({ "media": media })).await
}

/// Shows the page as the phone's own settings ask: each a media feature and its value. None: as usual.
pub(crate) async fn prefer(driver: &WebDriver, features: &[(&str, &str)]) -> WebDriverResult<()> {
    let features: Vec<Value> =
        features.iter().map(|(name, value)| json!({ "name": name, "value": value })).collect();
    command(driver, "Emulation.setEmulatedMedia", json!({ "features": features })).await
}

/// Sets the size of text that pages begin with, pixels; 16 is usual. From the next load on.
pub(crate) async fn set_text_size(driver: &WebDriver, pixels: u32) -> WebDriverResult<()> {
    let sizes = json!({ "fontSizes": { "standard": pixels, "fixed": pixels } });
    command(driver, "Page.setFontSizes", sizes).await
}

async fn command(driver: &WebDriver, name: &str, with: Value) -> WebDriverResult<()> {
    driver.cdp().send_raw(name, with).await.map(drop)
}

/// An empty folder of this test's own, gone when this is dropped.
pub(crate) struct Folder(PathBuf);

impl Folder {
    /// Makes it.
    pub(crate) fn new() -> Self {
        static COUNT: AtomicU32 = AtomicU32::new(0);
        let count = COUNT.fetch_add(1, Ordering::Relaxed);
        let name = format!("trimwright-test-{}-{count}", std::process::id());
        let path = std::env::temp_dir().join(name);
        std::fs::create_dir_all(&path).expect("a folder for the test's files");
        Self(path)
    }

    /// Where it is.
    pub(crate) fn path(&self) -> &Path {
        &self.0
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        // What stays behind in the system's folder for such things does no harm.
        let _removed = std::fs::remove_dir_all(&self.0);
    }
}
