//! How soon the answer follows a tap at the pool, the figures a key on the bench, and the whole way
//! down a tap on the Dive screen, on a processor four times slower. Figures, not tests: what is asserted is only that they follow.

use crate::driver::{FOLDER, on_a_phone, short_or_long, slow_down};
use crate::page::Page;
use serde::Deserialize;
use serde_json::json;
use thirtyfour::prelude::*;

/// How often something is tapped: in a short run, and in a long one.
const ROUNDS: [usize; 2] = [3, 15];

/// Acts again and again; for each round, milliseconds until what is watched has last changed before
/// the next frame, and until that frame is done. `act` is the body of a function of the round.
const MEASURE: &str = r#"
const [rounds, watched, body, done] = arguments;
const find = (id) => document.querySelector(`[data-testid="${id}"]`);
const act = new Function("find", "n", body);
const frame = () => new Promise((go) => requestAnimationFrame(() => setTimeout(go)));
const once = async (round) => {
  let changed = null;
  const watch = new MutationObserver(() => (changed = performance.now()));
  const all = { attributes: true, childList: true, characterData: true, subtree: true };
  for (const id of watched) watch.observe(find(id), all);
  const start = performance.now();
  act(find, round);
  for (let n = 0; n < 120 && changed === null; n++) await frame();
  const end = performance.now();
  watch.disconnect();
  return changed === null ? null : { answer: changed - start, frame: end - start };
};
(async () => {
  const found = [];
  for (let n = 0; n < rounds; n++) {
    await frame();
    found.push(await once(n));
  }
  done(found);
})();
"#;

/// Milliseconds after one tap or key.
#[derive(Debug, Clone, Copy, Deserialize)]
struct Round {
    answer: f64,
    frame: f64,
}

/// Measures on a slow processor and prints the medians as figures of `name`.
async fn measure(page: &Page, name: &str, watched: &[&str], act: &str) -> WebDriverResult<()> {
    slow_down(&page.driver, 4.0).await?;
    let with = vec![json!(short_or_long(ROUNDS[0], ROUNDS[1])), json!(watched), json!(act)];
    let found = page.driver.execute_async(MEASURE, with).await?;
    slow_down(&page.driver, 1.0).await?;
    let rounds: Vec<Option<Round>> = serde_json::from_value(found.json().clone())?;
    let rounds: Vec<Round> =
        rounds.into_iter().map(|round| round.expect("the answer follows each time")).collect();
    let median = |of: fn(&Round) -> f64| {
        let mut all: Vec<f64> = rounds.iter().map(of).collect();
        all.sort_by(f64::total_cmp);
        all[all.len() / 2]
    };
    #[expect(clippy::print_stdout, reason = "what is measured is printed")]
    {
        println!("FIGURE {name}_latency_4x {:.1} ms 16", median(|round| round.answer));
        println!("FIGURE {name}_drawn_4x {:.1} ms -", median(|round| round.frame));
    }
    Ok(())
}

#[tokio::test(flavor = "multi_thread")]
async fn the_answer_follows_every_tap_on_a_slow_phone() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        page.see("answer-main").await?;
        let tap = r#"find(n % 10 < 5 ? "mark-stern-more" : "mark-stern-less").click();"#;
        measure(&page, "answer", &["answer"], tap).await
    })
    .await;
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
        let key = r#"
            const field = find("form-mass");
            field.value = String(500 + 20 * (n % 7));
            field.dispatchEvent(new InputEvent("input", { bubbles: true }));
        "#;
        measure(&page, "bench", &["bench-lies", "bench-figures", "bench-tank"], key).await
    })
    .await;
}

/// How often the way down is followed: in a short run, and in a long one.
const WAYS: [usize; 2] = [1, 5];

/// Turns round from up to down; milliseconds until the boat was followed to the end.
const FOLLOW: &str = r#"
const [ways, done] = arguments;
const find = (id) => document.querySelector(`[data-testid="${id}"]`);
const turn = () => new Promise((go) => setTimeout(go, 1));
const busy = () => {
  const e = find("dive-progress");
  return e !== null && !e.hidden && e.textContent.startsWith("Calculating");
};
(async () => {
  const found = [];
  for (let n = 0; n < ways; n++) {
    find("dive-up").click();
    while (!busy()) await turn();
    while (busy()) await turn();
    for (let k = 0; k < 50; k++) await turn();
    const start = performance.now();
    find("dive-down").click();
    while (!busy()) await turn();
    while (busy()) await turn();
    found.push(performance.now() - start);
  }
  done(found);
})();
"#;

#[tokio::test(flavor = "multi_thread")]
async fn the_way_down_is_followed_on_a_slow_phone() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-bench").await?;
        page.tap("boat-leave").await?;
        // Heron has 18 parts.
        page.tap("template-0").await?;
        page.tap("go-dive").await?;
        page.see("dive-headline").await?;
        page.see_no("dive-progress").await?;
        slow_down(&page.driver, 4.0).await?;
        let ways = vec![json!(short_or_long(WAYS[0], WAYS[1]))];
        let found = page.driver.execute_async(FOLLOW, ways).await?;
        slow_down(&page.driver, 1.0).await?;
        let mut all: Vec<f64> = serde_json::from_value(found.json().clone())?;
        all.sort_by(f64::total_cmp);
        println!("FIGURE sweep_101_4x {:.0} ms 250", all[all.len() / 2]);
        Ok(())
    })
    .await;
}
