//! A diary of 10,000 sessions, five megabytes: brought in from a file, opened and scrolled on a
//! processor four times slower. What is timed is printed, not judged. In the short form there are 300.

use crate::driver::{Folder, picture, run_for, short_or_long, slow_down};
use crate::page::Page;
use serde::Deserialize;
use serde_json::{Value, json};
use std::path::Path;
use std::time::Duration;
use thirtyfour::prelude::*;

/// How many sessions: in a short run, and in a long one.
pub(crate) const SESSIONS: [usize; 2] = [300, 10_000];
/// How many times slower the processor is, in a short run and in a long one.
const SLOWER: [f64; 2] = [1.0, 4.0];
/// Longest that it may take.
const LIMIT: Duration = Duration::from_secs(300);

/// A reading of a boat of six numbers, twice a day for years.
fn session(k: usize) -> Value {
    let (day, hour) = (k / 2, 9 + 6 * (k % 2));
    let (year, day) = (2010 + day / 336, day % 336);
    let at = format!("{year}-{:02}-{:02}T{hour:02}:05:00.000Z", 1 + day / 28, 1 + day % 28);
    let list = f64::from(u32::try_from(k % 40).expect("small")) / 10.0 - 2.0;
    json!({
        "id": format!("session-{k:05}"),
        "boat": "smew",
        "started_at": at,
        "place": format!("Pond {}", k % 7),
        "water": "fresh 14 °C",
        "water_density_kg_m3": 999.2,
        "entries": [{
            "id": format!("entry-{k:05}"),
            "at": at,
            "reading": {
                "condition": "afloat",
                "water_density_kg_m3": 999.2,
                "water": "fresh 14 °C",
                "list_deg": list,
                "trim_deg": 0.4,
                "found": {
                    "mass_kg": { "value": 6.2, "spread": 0.05 },
                    "forward_m": { "value": 0.001, "spread": 0.002 },
                    "to_port_m": { "value": 0.0, "spread": 0.001 },
                },
                "advice": ["Shift 46 g", "12 mm to port ± 2 mm"],
            },
        }],
    })
}

pub(crate) fn diary(n_sessions: usize) -> String {
    let boat = json!({
        "id": "smew",
        "name": "Smew",
        "quick": {
            "length_m": 0.9, "beam_m": 0.12, "depth_m": 0.14, "mass_kg": 6.2, "waterline_m": 0.1,
            "fullness": 0.75, "water_density_kg_m3": 998.2,
        },
    });
    let sessions: Vec<Value> = (0..n_sessions).map(session).collect();
    json!({ "format": "trimwright", "version": 3, "boats": [boat], "sessions": sessions })
        .to_string()
}

/// Brings in the file of so many sessions, and their boat.
pub(crate) async fn bring_in(page: &Page, file: &Path, n_sessions: usize) -> WebDriverResult<()> {
    page.go_to_files().await?;
    page.give_file("import", file).await?;
    page.see("preview").await?;
    page.see_words("preview-new", &(n_sessions + 1).to_string()).await?;
    page.tap("take-in").await?;
    page.see_words("file-message", &format!("{} new", n_sessions + 1)).await.map(drop)
}

/// Opens the diary; milliseconds from the tap until its rows are drawn with what is in them.
const OPEN: &str = r#"
const done = arguments[arguments.length - 1];
const frame = () => new Promise((go) => requestAnimationFrame(() => setTimeout(go)));
const filled = () => {
  const rows = [...document.querySelectorAll(".session-row .seen")];
  return rows.length > 5 && rows.slice(0, 5).every((e) => e.textContent.includes("list"));
};
(async () => {
  const start = performance.now();
  find("go-diary").click();
  while (!filled()) await frame();
  done(performance.now() - start);
})();
"#;

/// Scrolls three screens a second for three seconds: the time between pictures, and in how many of
/// them a row on the screen said nothing yet.
const SCROLL: &str = r#"
const done = arguments[arguments.length - 1];
const apart = [];
let before = null, start = null, empty = 0;
const step = (at) => {
  start ??= at;
  if (before !== null) apart.push(at - before);
  before = at;
  const rows = [...document.querySelectorAll(".session-row")].filter((e) => {
    const box = e.getBoundingClientRect();
    return box.bottom > 0 && box.top < innerHeight;
  });
  if (rows.length < 3) empty += 1;
  if (at - start > 3000) { done({ apart, empty }); return; }
  scrollBy(0, 42);
  requestAnimationFrame(step);
};
requestAnimationFrame(step);
"#;

#[derive(Deserialize)]
struct Scrolled {
    apart: Vec<f64>,
    empty: usize,
}

#[tokio::test(flavor = "multi_thread")]
async fn thousands_of_sessions_open_and_scroll_on_a_slow_phone() {
    run_for(LIMIT, async |page, _tabs| {
        let folder = Folder::new();
        let file = folder.path().join("many.json");
        let n = short_or_long(SESSIONS[0], SESSIONS[1]);
        let text = diary(n);
        println!("a file of {n} sessions, {:.1} MB", text.len() as f64 / 1e6);
        std::fs::write(&file, text)?;
        page.load().await?;
        bring_in(page, &file, n).await?;

        slow_down(&page.driver, short_or_long(SLOWER[0], SLOWER[1])).await?;
        page.load().await?;
        let started = "return performance.now();";
        let started: f64 = page.run(started, vec![]).await?.expect("it has a clock");
        page.see("go-diary").await?;
        let opened: f64 = page.run_async(OPEN).await?.expect("it opens");
        picture(&page.driver, "many-sessions").await?;
        page.see_words("session-count", &n.to_string()).await?;
        let scrolled: Scrolled = page.run_async(SCROLL).await?.expect("it scrolls");
        slow_down(&page.driver, 1.0).await?;
        assert_eq!(scrolled.empty, 0, "there are rows on every picture");
        let mut apart = scrolled.apart;
        assert!(apart.len() > 20, "{} pictures in three seconds", apart.len());
        apart.sort_by(f64::total_cmp);
        let late = apart.iter().filter(|ms| **ms > 50.0).count();
        println!("FIGURE diary_10k_open_4x {opened:.0} ms 1000");
        println!("FIGURE diary_10k_start_4x {started:.0} ms -");
        println!("FIGURE diary_10k_frame_4x {:.1} ms 16.7", apart[apart.len() / 2]);
        println!("FIGURE diary_10k_frame_slow_4x {:.1} ms 33.4", apart[apart.len() * 95 / 100]);
        println!("{late} of {} pictures came more than 50 ms after the one before", apart.len());

        // The last one can be reached, and is a session like the others.
        page.run::<()>("scrollTo(0, document.body.scrollHeight); return null;", vec![]).await?;
        page.see_words(&format!("session-{}", n - 1), "Smew").await?;
        page.tap(&format!("session-{}-open", n - 1)).await?;
        page.see_words("page-title", "Smew").await?;
        page.see("entry-0").await.map(drop)
    })
    .await;
}
