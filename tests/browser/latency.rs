//! How soon the answer follows a tap on a processor four times slower. A figure, not a test: what
//! is asserted is only that it follows.

use crate::driver::{FOLDER, on_a_phone, slow_down};
use serde::Deserialize;
use serde_json::json;

const ROUNDS: usize = 15;

/// Taps again and again; for each tap, milliseconds until the answer has last changed before the
/// next frame, and until that frame is done.
const MEASURE: &str = r#"
const [rounds, done] = arguments;
const find = (id) => document.querySelector(`[data-testid="${id}"]`);
const frame = () => new Promise((go) => requestAnimationFrame(() => setTimeout(go)));
const once = async (button) => {
  let changed = null;
  const watch = new MutationObserver(() => (changed = performance.now()));
  const all = { attributes: true, childList: true, characterData: true, subtree: true };
  watch.observe(find("answer"), all);
  const start = performance.now();
  button.click();
  for (let n = 0; n < 120 && changed === null; n++) await frame();
  const end = performance.now();
  watch.disconnect();
  return changed === null ? null : { answer: changed - start, frame: end - start };
};
(async () => {
  const found = [];
  for (let n = 0; n < rounds; n++) {
    await frame();
    found.push(await once(find(n % 10 < 5 ? "mark-stern-more" : "mark-stern-less")));
  }
  done(found);
})();
"#;

/// Milliseconds after one tap.
#[derive(Debug, Clone, Copy, Deserialize)]
struct Round {
    answer: f64,
    frame: f64,
}

#[tokio::test(flavor = "multi_thread")]
async fn the_answer_follows_every_tap_on_a_slow_phone() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        page.see("answer-main").await?;
        slow_down(&page.driver, 4.0).await?;
        let found = page.driver.execute_async(MEASURE, vec![json!(ROUNDS)]).await?;
        slow_down(&page.driver, 1.0).await?;
        let rounds: Vec<Option<Round>> = serde_json::from_value(found.json().clone())?;
        let rounds: Vec<Round> =
            rounds.into_iter().map(|round| round.expect("the answer follows each tap")).collect();
        let median = |of: fn(&Round) -> f64| {
            let mut all: Vec<f64> = rounds.iter().map(of).collect();
            all.sort_by(f64::total_cmp);
            all[all.len() / 2]
        };
        println!("FIGURE answer_latency_4x {:.1} ms 16", median(|round| round.answer));
        println!("FIGURE answer_drawn_4x {:.1} ms -", median(|round| round.frame));
        Ok(())
    })
    .await;
}
