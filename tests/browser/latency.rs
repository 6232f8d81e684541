//! How soon the answer follows a tap at the pool, the figures a key on the bench, and the whole way
//! down a tap on the Dive screen, on a processor four times slower. Figures, not tests: what is asserted is only that they follow.

use crate::driver::{FOLDER, on_a_phone, short_or_long, slow_down};
use crate::many::bring_in;
use crate::page::Page;
use serde::Deserialize;
use serde_json::json;
use thirtyfour::prelude::*;
use trimwright::boat::demo_boat;
use trimwright::diary::{
    BoatRecord, Diary, Entry, EntryRecord, ReadingRecord, SessionRecord, state_of, write,
};
use trimwright::reading::{
    ANGLE_SPREAD, Condition, MARK_SPREAD, Observation, RESIDUAL_SPREAD, Reading, Seen,
};

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

/// Milliseconds that each tap on a mark keeps the page busy.
const BUSY: &str = r#"
const [rounds, done] = arguments;
const find = (id) => document.querySelector(`[data-testid="${id}"]`);
const turn = () => new Promise((go) => setTimeout(go, 100));
(async () => {
  const found = [];
  for (let n = 0; n < rounds; n++) {
    await turn();
    const start = performance.now();
    find(n % 10 < 5 ? "mark-stern-more" : "mark-stern-less").click();
    await Promise.resolve();
    await new Promise((go) => queueMicrotask(go));
    found.push(performance.now() - start);
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

/// The demonstration boat with sixty readings of six outings, of the boat as it is.
fn sixty_readings() -> String {
    let boat = demo_boat().expect("fixed sizes");
    let record = BoatRecord::ledger("dipper", &boat);
    let (state, was) = state_of(&record);
    let reading = |k: u32| {
        let observation = |seen: Seen, spread: f64| Observation { seen, spread };
        let marks = boat.marks.iter().map(|m| Seen::WaterAtMark { mark: m.clone(), above: 0.0 });
        let mut afloat: Vec<_> = marks.map(|seen| observation(seen, MARK_SPREAD)).collect();
        afloat.push(observation(Seen::List(0.0), ANGLE_SPREAD));
        let under = vec![
            observation(Seen::Residual(0.07), RESIDUAL_SPREAD),
            observation(Seen::List(0.0), ANGLE_SPREAD),
        ];
        let (condition, fill, observations) = match k % 2 {
            0 => (Condition::Afloat, 0.0, afloat),
            _ => (Condition::Under, 1.0, under),
        };
        let water_density = 998.2067;
        let reading = Reading { condition, water_density, observations, ..Reading::default() };
        ReadingRecord { state: state.clone(), ..ReadingRecord::of(&reading, "pool", fill) }
    };
    let session = |day: u32| {
        let at = |k: u32| format!("2026-05-{:02}T10:{k:02}:00.000Z", day + 1);
        let entries = (0..10).map(|k| EntryRecord {
            id: format!("reading-{day}-{k}"),
            at: at(k),
            what: Entry::Reading(Box::new(reading(k))),
            extra: serde_json::Map::new(),
        });
        SessionRecord {
            id: format!("session-{day}"),
            boat: "dipper".to_owned(),
            started_at: at(0),
            entries: entries.collect(),
            ..SessionRecord::default()
        }
    };
    let mut diary = Diary { boats: vec![record], ..Diary::default() };
    diary.sessions = (0..6).map(session).collect();
    diary.states.insert(state, was);
    "dipper".clone_into(&mut diary.draft.boat);
    write(&diary)
}

#[tokio::test(flavor = "multi_thread")]
async fn the_answer_follows_every_tap_with_sixty_readings_kept() {
    on_a_phone(FOLDER, |page| async move {
        let file = std::env::temp_dir().join("trimwright-sixty-readings.json");
        std::fs::write(&file, sixty_readings()).expect("a folder for files");
        bring_in(&page, &file, 6).await?;
        page.tap("go-pool").await?;
        page.see("answer-main").await?;
        // So well known is the boat that its answer may stay the same: what counts is how long the page is busy.
        slow_down(&page.driver, 4.0).await?;
        let rounds = short_or_long(ROUNDS[0], ROUNDS[1]);
        let busy = page.driver.execute_async(BUSY, vec![json!(rounds)]).await?;
        slow_down(&page.driver, 1.0).await?;
        let mut busy: Vec<f64> = serde_json::from_value(busy.json().clone())?;
        busy.sort_by(f64::total_cmp);
        println!("FIGURE answer_of_sixty_busy_4x {:.1} ms 16", busy[busy.len() / 2]);
        assert_eq!(busy.len(), rounds, "each tap was answered");
        Ok(())
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
