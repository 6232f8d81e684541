//! How soon the bench's figures follow a key on a processor four times slower, with 18 parts. A
//! figure, not a test: what is asserted is only that they follow.

use crate::driver::{FOLDER, on_a_phone, slow_down};
use serde::Deserialize;
use serde_json::json;

const ROUNDS: usize = 15;

/// Types one figure after another into a field; for each, milliseconds until the figures at the
/// foot have last changed before the next frame, and until that frame is done.
const MEASURE: &str = r#"
const [rounds, done] = arguments;
const find = (id) => document.querySelector(`[data-testid="${id}"]`);
const frame = () => new Promise((go) => requestAnimationFrame(() => setTimeout(go)));
const once = async (text) => {
  let changed = null;
  const watch = new MutationObserver(() => (changed = performance.now()));
  const all = { attributes: true, childList: true, characterData: true, subtree: true };
  for (const id of ["bench-lies", "bench-figures", "bench-tank"]) watch.observe(find(id), all);
  const field = find("form-mass");
  const start = performance.now();
  field.value = text;
  field.dispatchEvent(new InputEvent("input", { bubbles: true }));
  for (let n = 0; n < 120 && changed === null; n++) await frame();
  const end = performance.now();
  watch.disconnect();
  return changed === null ? null : { answer: changed - start, frame: end - start };
};
(async () => {
  const found = [];
  for (let n = 0; n < rounds; n++) {
    await frame();
    found.push(await once(String(500 + 20 * (n % 7))));
  }
  done(found);
})();
"#;

/// Milliseconds after one key.
#[derive(Debug, Clone, Copy, Deserialize)]
struct Round {
    answer: f64,
    frame: f64,
}

#[tokio::test(flavor = "multi_thread")]
async fn the_bench_follows_every_key_on_a_slow_phone() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        page.tap("go-boat").await?;
        // The demonstration boat has 14 parts: four more plates of casing.
        page.tap("part-8").await?;
        for _ in 0..4 {
            page.tap("line-copy").await?;
        }
        page.finish().await?;
        page.see("part-17").await?;
        page.tap("part-1").await?;
        page.see("form-mass").await?;
        page.fill("form-mass", "600").await?;
        page.see("bench-tank").await?;
        slow_down(&page.driver, 4.0).await?;
        let found = page.driver.execute_async(MEASURE, vec![json!(ROUNDS)]).await?;
        slow_down(&page.driver, 1.0).await?;
        let rounds: Vec<Option<Round>> = serde_json::from_value(found.json().clone())?;
        let rounds: Vec<Round> =
            rounds.into_iter().map(|round| round.expect("the figures follow each key")).collect();
        let median = |of: fn(&Round) -> f64| {
            let mut all: Vec<f64> = rounds.iter().map(of).collect();
            all.sort_by(f64::total_cmp);
            all[all.len() / 2]
        };
        println!("FIGURE bench_latency_4x {:.1} ms 16", median(|round| round.answer));
        println!("FIGURE bench_drawn_4x {:.1} ms -", median(|round| round.frame));
        Ok(())
    })
    .await;
}
