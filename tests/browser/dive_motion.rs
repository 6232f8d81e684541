//! How fast the boat on its way down is drawn, on a processor four times slower. Figures, not tests:
//! what is asserted is only that it goes down.

use crate::driver::{FOLDER, on_a_phone, short_or_long, slow_down};
use crate::page::Page;
use serde::Deserialize;
use serde_json::json;
use thirtyfour::prelude::*;

/// How long it is watched, milliseconds, in a short run and in a long one: less than the way takes.
const WATCHED: [usize; 2] = [1200, 3000];
/// How many times slower the processor is, in a short run and in a long one.
const SLOWER: [f64; 2] = [1.0, 4.0];
/// Milliseconds in which at least one picture comes, whatever else the machine does.
const ONE_PICTURE: usize = 300;

/// Plays, and for each picture tells how long after the one before it came and how long the main
/// thread was busy with it: script, style, layout and painting. The watcher asks for its picture
/// before the app asks for its own, so it is called first; what it posts to itself arrives when
/// the picture is done.
const WATCH: &str = r#"
const [watched, done] = arguments;
const find = (id) => document.querySelector(`[data-testid="${id}"]`);
const wait = (ms) => new Promise((go) => setTimeout(go, ms));
const pictures = [];
const channel = new MessageChannel();
let begun = 0, before = null, on = true;
channel.port1.onmessage = () => {
  if (pictures.length) pictures[pictures.length - 1].work = performance.now() - begun;
};
const watch = (at) => {
  if (!on) return;
  requestAnimationFrame(watch);
  begun = performance.now();
  pictures.push({ since: before === null ? 0 : at - before, work: 0 });
  before = at;
  channel.port2.postMessage(0);
};
(async () => {
  requestAnimationFrame(watch);
  await wait(300);
  find("play").click();
  await wait(100);
  pictures.length = 0;
  const from = Number(find("fill").value);
  await wait(watched);
  on = false;
  const to = Number(find("fill").value);
  find("play").click();
  done({ pictures: pictures.slice(1, -1), from, to });
})();
"#;

#[derive(Debug, Deserialize)]
struct Watched {
    pictures: Vec<Picture>,
    from: f64,
    to: f64,
}

/// Milliseconds.
#[derive(Debug, Clone, Copy, Deserialize)]
struct Picture {
    since: f64,
    work: f64,
}

impl Watched {
    /// What the given share of the pictures stay below.
    fn below(&self, share: f64, of: fn(&Picture) -> f64) -> f64 {
        let mut all: Vec<f64> = self.pictures.iter().map(of).collect();
        all.sort_by(f64::total_cmp);
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "of a list")]
        let at = (share * all.len() as f64) as usize;
        all[at.min(all.len() - 1)]
    }
}

/// Seconds that the page's main thread has had of the processor so far: unlike what a clock tells,
/// this is nearly the same while others use the processor too.
async fn used(page: &Page) -> WebDriverResult<f64> {
    let all = page.driver.cdp().send_raw("Performance.getMetrics", json!({})).await?;
    let mut all = all["metrics"].as_array().into_iter().flatten();
    let found = all.find(|m| m["name"] == "ThreadTime").and_then(|m| m["value"].as_f64());
    Ok(found.expect("the browser tells the time of its threads"))
}

/// Watches the boat of a template go down: at full speed for the time that a picture takes of the
/// processor, milliseconds, and then on a slow one.
async fn watch(page: &Page, template: usize) -> WebDriverResult<(f64, Watched)> {
    page.tap("start-bench").await?;
    page.tap("boat-leave").await?;
    page.tap(&format!("template-{template}")).await?;
    page.tap("go-dive").await?;
    page.see("play").await?;
    page.see_no("dive-progress").await?;
    page.driver.cdp().send_raw("Performance.enable", json!({})).await?;
    let long = short_or_long(WATCHED[0], WATCHED[1]);
    let before = used(page).await?;
    let found = page.driver.execute_async(WATCH, vec![json!(long)]).await?;
    let all: Watched = serde_json::from_value(found.json().clone())?;
    let each = (used(page).await? - before) * 1e3 / all.pictures.len().max(1) as f64;
    slow_down(&page.driver, short_or_long(SLOWER[0], SLOWER[1])).await?;
    let found = page.driver.execute_async(WATCH, vec![json!(long)]).await?;
    slow_down(&page.driver, 1.0).await?;
    let watched: Watched = serde_json::from_value(found.json().clone())?;
    let n = watched.pictures.len();
    assert!(n > long / ONE_PICTURE, "{n} pictures in {long} ms");
    assert!(watched.to > watched.from, "from {} to {} % full", watched.from, watched.to);
    Ok((each, watched))
}

#[tokio::test(flavor = "multi_thread")]
async fn the_boat_goes_down_smoothly_on_a_slow_phone() {
    on_a_phone(FOLDER, |page| async move {
        let (each, heron) = watch(&page, 0).await?;
        println!("FIGURE dive_frame_cpu_4x {:.1} ms 16.7", 4.0 * each);
        println!("FIGURE dive_frame_4x {:.1} ms 16.7", heron.below(0.5, |p| p.work));
        println!("FIGURE dive_frame_slow_4x {:.1} ms -", heron.below(0.95, |p| p.work));
        println!("FIGURE dive_frame_apart_4x {:.1} ms 16.7", heron.below(0.95, |p| p.since));
        Ok(())
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn two_tanks_go_down_smoothly_on_a_slow_phone() {
    on_a_phone(FOLDER, |page| async move {
        let (each, eider) = watch(&page, 1).await?;
        println!("FIGURE dive_frame_two_tanks_cpu_4x {:.1} ms 16.7", 4.0 * each);
        println!("FIGURE dive_frame_two_tanks_4x {:.1} ms 16.7", eider.below(0.5, |p| p.work));
        Ok(())
    })
    .await;
}
