//! How soon the app is there: first on an empty phone by a slow network, then kept by its worker with the
//! demonstration boat in hand, then with thousands of sessions, each on a processor four times slower; and what
//! Lighthouse says of it. Figures, not tests: what is asserted is only that it starts, and that there are figures.
//! All of it is served gzip-packed, as a web server does.

use crate::driver::{
    FOLDER, Folder, built_app, on_load, run_packed, short_or_long, slow_down, slow_network,
};
use crate::many::{SESSIONS, bring_in, diary};
use crate::page::Page;
use crate::phone::browser;
use crate::server::{Server, pack};
use serde::Deserialize;
use serde_json::Value;
use std::path::Path;
use std::process::Stdio;
use std::time::Duration;
use thirtyfour::prelude::*;
use tokio::process::Command;
use tokio::time::{sleep, timeout};

/// How many starts the medians are of: in a short run, and in a long one.
const RUNS: [usize; 2] = [1, 3];
/// How many times slower the processor is, in a short run and in a long one.
const SLOWER: [f64; 2] = [1.0, 4.0];
/// Longest that all starts of a kind may take.
const LIMIT: Duration = Duration::from_secs(300);
/// What may still follow once the app is there: tasks, and a larger paint.
const AFTER: Duration = Duration::from_millis(1500);
/// Longest that one judgement by Lighthouse may take.
const JUDGE_LIMIT: Duration = Duration::from_secs(180);

/// Notes from the page's very beginning when what is looked for is drawn and the program runs, milliseconds since
/// the navigation began. It waits for changes and looks at names only: a look that lays out the page would delay it.
const NOTE: &str = r#"
window.startSeen = { first: 0, largest: 0, longest: 0, shown: null };
{
  const on = (type, note) =>
    new PerformanceObserver((list) => list.getEntries().forEach(note)).observe({ type, buffered: true });
  on("paint", (e) => { if (e.name === "first-contentful-paint") startSeen.first = e.startTime; });
  on("largest-contentful-paint", (e) => { startSeen.largest = e.startTime; });
  on("longtask", (e) => { startSeen.longest = Math.max(startSeen.longest, e.duration); });
  const watch = new MutationObserver(() => {
    if (!document.documentElement?.hasAttribute("data-ready")) return;
    if (!document.querySelector('[data-testid="WANTED"]')) return;
    watch.disconnect();
    requestAnimationFrame(() => setTimeout(() => { startSeen.shown = performance.now(); }));
  });
  watch.observe(document, { attributes: true, childList: true, subtree: true });
}
"#;

/// What [`NOTE`] saw, milliseconds; a task of less than 50 ms is none to the browser, and 0 here.
#[derive(Debug, Clone, Copy, Deserialize)]
struct Start {
    first: f64,
    largest: f64,
    longest: f64,
    shown: f64,
}

/// Whether the program came packed.
const CAME_PACKED: &str = r#"
const came = performance.getEntriesByType("resource").find((e) => e.name.endsWith(".wasm"));
return came ? came.encodedBodySize < came.decodedBodySize : null;
"#;

/// Starts the app on a slow processor, until `wanted` is there.
async fn start(page: &Page, wanted: &str) -> WebDriverResult<Start> {
    slow_down(&page.driver, short_or_long(SLOWER[0], SLOWER[1])).await?;
    on_load(&page.driver, &NOTE.replace("WANTED", wanted)).await?;
    page.load().await?;
    let shown = "return window.startSeen.shown === null ? null : true;";
    let ask = async || page.run::<bool>(shown, vec![]).await;
    page.until(&format!("{wanted} is drawn"), ask).await?;
    sleep(AFTER).await;
    let seen: Option<Start> = page.run("return window.startSeen;", vec![]).await?;
    slow_down(&page.driver, 1.0).await?;
    let seen = seen.expect("what was seen");
    assert!(seen.first > 0.0 && seen.largest > 0.0, "it is painted: {seen:?}");
    Ok(seen)
}

/// Starts the app that is kept on the phone, which asks the server for nothing but whether there is another one.
async fn start_kept(page: &Page) -> WebDriverResult<Start> {
    page.driver.goto("about:blank").await?;
    let before = page.server.asked().len();
    let seen = start(page, "answer").await?;
    let asked = page.server.asked().split_off(before);
    let asked: Vec<&String> = asked.iter().filter(|path| !path.ends_with("/sw.js")).collect();
    assert!(asked.is_empty(), "asked for, though kept: {asked:?}");
    Ok(seen)
}

fn median(of: impl Fn(&Start) -> f64, starts: &[Start]) -> f64 {
    let mut all: Vec<f64> = starts.iter().map(of).collect();
    all.sort_by(f64::total_cmp);
    all[all.len() / 2]
}

#[expect(clippy::print_stdout, reason = "what is measured is printed")]
fn print(name: &str, value: f64, aim: &str) {
    println!("FIGURE start_{name}_4x {value:.0} ms {aim}");
}

/// Every start of its own on an empty phone: at an address of its own, of which the browser has nothing.
#[tokio::test(flavor = "multi_thread")]
async fn it_starts_on_an_empty_phone_and_again_when_it_is_kept() {
    let packed = Folder::new();
    pack(&built_app(), packed.path());
    let (mut cold, mut warm) = (Vec::new(), Vec::new());
    for _ in 0..short_or_long(RUNS[0], RUNS[1]) {
        run_packed(packed.path(), LIMIT, async |page, _tabs| {
            slow_network(&page.driver, short_or_long(false, true)).await?;
            cold.push(start(page, "start-demo").await?);
            slow_network(&page.driver, false).await?;
            let came_packed: Option<bool> = page.run(CAME_PACKED, vec![]).await?;
            assert_eq!(came_packed, Some(true), "the program came packed");
            page.tap("start-demo").await?;
            page.see("answer").await?;
            page.is_kept_offline().await?;
            page.see_kept().await?;
            warm.push(start_kept(page).await?);
            Ok(())
        })
        .await;
    }
    println!("empty phone: {cold:?}\nkept: {warm:?}");
    print("first_paint", median(|s| s.first, &cold), "-");
    print("largest_paint", median(|s| s.largest, &cold), "1500");
    print("welcome", median(|s| s.shown, &cold), "4000");
    print("longest_task", median(|s| s.longest, &cold), "50");
    print("warm_answer", median(|s| s.shown, &warm), "600");
}

#[tokio::test(flavor = "multi_thread")]
async fn it_starts_with_thousands_of_sessions() {
    let folder = Folder::new();
    let packed = folder.path().join("packed");
    std::fs::create_dir(&packed).expect("a folder for the packed files");
    pack(&built_app(), &packed);
    let n = short_or_long(SESSIONS[0], SESSIONS[1]);
    let file = folder.path().join("many.json");
    std::fs::write(&file, diary(n)).expect("the file is written");
    run_packed(&packed, LIMIT, async |page, _tabs| {
        page.load().await?;
        page.tap("start-demo").await?;
        page.see("answer").await?;
        page.is_kept_offline().await?;
        bring_in(page, &file, n).await?;
        page.tap("go-pool").await?;
        page.see("answer").await?;
        page.see_kept().await?;
        let mut warm = Vec::new();
        for _ in 0..short_or_long(RUNS[0], RUNS[1]) {
            warm.push(start_kept(page).await?);
        }
        println!("{n} sessions: {warm:?}");
        print("warm_10k", median(|s| s.shown, &warm), "1000");
        Ok(())
    })
    .await;
}

/// What Lighthouse wrote, as far as it is read.
#[derive(Debug, Deserialize)]
#[serde(rename_all = "camelCase")]
struct Report {
    categories: serde_json::Map<String, Value>,
    audits: serde_json::Map<String, Value>,
    runtime_error: Option<Value>,
}

impl Report {
    /// From 0 to 1.
    fn score(&self, category: &str) -> f64 {
        let score = self.categories[category]["score"].as_f64();
        score.unwrap_or_else(|| panic!("no score of {category}: {:?}", self.runtime_error))
    }

    /// What counts in a category and is not as it should be.
    fn complaints(&self, category: &str) -> Vec<String> {
        let audits = self.categories[category]["auditRefs"].as_array().into_iter().flatten();
        let counts = audits.filter(|audit| audit["weight"].as_f64().is_some_and(|w| w > 0.0));
        counts
            .filter_map(|audit| self.audits.get(audit["id"].as_str()?))
            .filter(|audit| audit["score"].as_f64().is_some_and(|score| score < 1.0))
            .map(|a| format!("{} {} ({})", a["id"], a["score"], a["displayValue"]))
            .collect()
    }
}

/// One judgement of the app at an address, as a phone's, with Lighthouse's own slow network and processor.
async fn judge(lighthouse: &Path, address: &str, into: &Path) -> Report {
    let mut command = Command::new(lighthouse);
    command
        .args([address, "--quiet", "--output=json"])
        .arg(format!("--output-path={}", into.display()))
        .arg("--only-categories=performance,accessibility,best-practices")
        .arg("--chrome-flags=--headless=new --no-sandbox --disable-dev-shm-usage")
        .stdin(Stdio::null())
        .kill_on_drop(true);
    if let Some(browser) = browser() {
        command.env("CHROME_PATH", browser);
    }
    let ended = timeout(JUDGE_LIMIT, command.output()).await.expect("it ends in time");
    let ended = ended.expect("the command that TRIM_LIGHTHOUSE names");
    let said = String::from_utf8_lossy(&ended.stderr);
    assert!(ended.status.success(), "{}: {said}", ended.status);
    let report = std::fs::read_to_string(into).expect("its report");
    serde_json::from_str(&report).expect("a report of Lighthouse 12")
}

/// Only with the command named in `TRIM_LIGHTHOUSE`, as `scripts/figures` does.
#[tokio::test(flavor = "multi_thread")]
async fn lighthouse_judges_it() {
    let Some(lighthouse) = std::env::var_os("TRIM_LIGHTHOUSE") else {
        println!("Lighthouse is passed over: scripts/figures --lighthouse brings it");
        return;
    };
    let folder = Folder::new();
    let packed = folder.path().join("packed");
    std::fs::create_dir(&packed).expect("a folder for the packed files");
    pack(&built_app(), &packed);
    let server = Server::start_packed(&packed, FOLDER).await;
    let mut reports = Vec::new();
    for n in 0..short_or_long(RUNS[0], RUNS[1]) {
        let into = folder.path().join(format!("report-{n}.json"));
        reports.push(judge(Path::new(&lighthouse), &server.address(), &into).await);
    }
    for (category, aim) in
        [("performance", "0.90"), ("accessibility", "1.00"), ("best-practices", "1.00")]
    {
        reports.sort_by(|a, b| a.score(category).total_cmp(&b.score(category)));
        // Only what is timed differs from one run to the next.
        let report = &reports[if category == "performance" { reports.len() / 2 } else { 0 }];
        let name = category.replace('-', "_");
        println!("FIGURE lighthouse_{name} {:.2} score {aim}", report.score(category));
        for complaint in report.complaints(category) {
            println!("{category}: {complaint}");
        }
    }
}
