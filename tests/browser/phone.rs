//! Browsers, each of which serves one test after the other: to start one takes longer than most tests.
//!
//! A test gets a tab of its own, and what belongs to a tab ends with it: the size of the screen, the speed of
//! the processor, scripts laid before the page's. What belongs to the browser is forgotten when it is given
//! back: what the app's address had kept, where downloads go, what the console said. A browser whose test
//! failed or killed a tab is ended instead.

use serde_json::json;
use std::io::{BufRead, BufReader};
use std::path::PathBuf;
use std::process::{Child, ChildStdout, Command, Stdio};
use std::sync::atomic::{AtomicU32, Ordering};
use std::sync::{LazyLock, Mutex};
use std::time::Duration;
use thirtyfour::LoggingPrefsLogLevel;
use thirtyfour::prelude::*;
use tokio::runtime::{Builder, EnterGuard, Runtime};
use tokio::time::timeout;

/// Longest that the start of a browser may take.
const START_LIMIT: Duration = Duration::from_secs(60);

/// With the pipe the browser ends when its driver does, however that ends.
const ARGUMENTS: [&str; 10] = [
    "--headless=new",
    "--no-sandbox",
    "--disable-dev-shm-usage",
    "--disable-gpu",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--lang=en",
    "--remote-debugging-pipe",
];
/// Names under which the browser may be found.
const BROWSERS: [&str; 3] = ["chromium", "chromium-browser", "google-chrome"];

/// Runs the driver until the standard input ends, which it does when the tests end, however they end; then
/// removes the browser's files. What is typed to interrupt the tests must not interrupt this.
const KEEPER: &str = r#"
trap '' INT HUP
chromedriver --port=0 &
exec >/dev/null
cat
kill $!
wait
sleep 1
rm -rf "$TMPDIR"
"#;

/// Browsers that wait for the next test.
static IDLE: Mutex<Vec<Phone>> = Mutex::new(Vec::new());

/// What answers and asks for all tests: a test's own runtime ends with it, and would take connections to
/// the driver with it that the next test uses.
static RUNTIME: LazyLock<Runtime> = LazyLock::new(|| {
    let runtime = Builder::new_multi_thread().worker_threads(2).enable_all().build();
    runtime.expect("a runtime")
});

/// While this is held, whatever is begun lives longer than the test.
pub(crate) fn outlive_the_test() -> EnterGuard<'static> {
    RUNTIME.enter()
}

/// A browser as a phone. It ends when this is dropped.
pub(crate) struct Phone {
    /// The session.
    pub(crate) driver: WebDriver,
    /// An empty tab, which stays.
    pub(crate) first: WindowHandle,
    _driver: Keeper,
}

/// What runs the driver for as long as its standard input is open.
struct Keeper {
    port: String,
    _child: Child,
    /// Held open: a driver that can't write its log ends.
    _log: BufReader<ChildStdout>,
}

impl Phone {
    /// One that waits, or a new one, with an empty tab open.
    pub(crate) async fn take() -> Self {
        let idle = IDLE.lock().expect("no thread panicked with it").pop();
        let phone = match idle {
            Some(phone) => phone,
            None => timeout(START_LIMIT, Self::start())
                .await
                .expect("the browser starts within a minute")
                .expect("the browser starts"),
        };
        phone.open_tab().await.expect("a tab of its own");
        phone
    }

    async fn start() -> WebDriverResult<Self> {
        let keeper = tokio::task::spawn_blocking(Keeper::start).await.expect("it starts");
        let driver = keeper.session().await?;
        // It is not for a test's end to end it.
        driver.clone().leak().expect("it has just begun");
        let first = driver.window().await?;
        Ok(Self { driver, first, _driver: keeper })
    }

    async fn open_tab(&self) -> WebDriverResult<()> {
        let tab = self.driver.new_tab().await?;
        self.driver.switch_to_window(tab).await
    }

    /// Gives it back for the next test; `origin` is the address whose traces are removed.
    pub(crate) async fn give_back(self, origin: &str) {
        // What can't be cleaned is ended, and the next test starts a new one.
        if self.clean(origin).await.is_ok() {
            IDLE.lock().expect("no thread panicked with it").push(self);
        }
    }

    async fn clean(&self, origin: &str) -> WebDriverResult<()> {
        for tab in self.driver.windows().await? {
            if tab != self.first {
                self.driver.switch_to_window(tab).await?;
                self.driver.close_window().await?;
            }
        }
        self.driver.switch_to_window(self.first.clone()).await?;
        let all = json!({ "origin": origin, "storageTypes": "all" });
        self.driver.cdp().send_raw("Storage.clearDataForOrigin", all).await?;
        let as_usual = json!({ "behavior": "default" });
        self.driver.cdp().send_raw("Browser.setDownloadBehavior", as_usual).await?;
        self.driver.browser_log().await.map(drop)
    }
}

impl Keeper {
    fn start() -> Self {
        static COUNT: AtomicU32 = AtomicU32::new(0);
        let count = COUNT.fetch_add(1, Ordering::Relaxed);
        let name = format!("trimwright-browser-{}-{count}", std::process::id());
        let folder = std::env::temp_dir().join(name);
        std::fs::create_dir_all(&folder).expect("a folder for the browser's files");
        let mut child = Command::new("sh")
            .args(["-c", KEEPER])
            .env("TMPDIR", folder)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("a shell");
        let mut log = BufReader::new(child.stdout.take().expect("its output is piped"));
        let port = port_in(&mut log).expect("chromedriver: install Chromium and its driver");
        Self { port, _child: child, _log: log }
    }

    async fn session(&self) -> WebDriverResult<WebDriver> {
        let mut wanted = DesiredCapabilities::chrome();
        for argument in ARGUMENTS {
            wanted.add_arg(argument)?;
        }
        if let Some(browser) = browser() {
            wanted.set_binary(&browser.to_string_lossy())?;
        }
        let metrics = json!({ "width": 390, "height": 844, "pixelRatio": 3.0, "touch": true, "mobile": true });
        wanted.add_experimental_option("mobileEmulation", json!({ "deviceMetrics": metrics }))?;
        wanted.set_browser_log_level(LoggingPrefsLogLevel::Severe)?;
        WebDriver::new(format!("http://127.0.0.1:{}", self.port), wanted).await
    }
}

/// The port that the driver says it listens at; none if it ends without saying so.
fn port_in(log: &mut impl BufRead) -> Option<String> {
    log.lines().map_while(Result::ok).find_map(|line| {
        let (_, port) = line.split_once("successfully on port ")?;
        Some(port.trim_end_matches('.').to_owned())
    })
}

/// The first of the known browsers on PATH; none leaves the choice to the driver.
pub(crate) fn browser() -> Option<PathBuf> {
    let path = std::env::var_os("PATH")?;
    let folders: Vec<PathBuf> = std::env::split_paths(&path).collect();
    BROWSERS
        .iter()
        .flat_map(|name| folders.iter().map(move |folder| folder.join(name)))
        .find(|file| file.is_file())
}
