//! Looking back: trends, how well predictions came true, two sessions side by side, and the boat as it
//! was at its last good trim, in one tap.

use crate::driver::{FOLDER, Folder, on_a_phone, picture, resize};
use crate::page::Page;
use std::path::Path;
use thirtyfour::prelude::*;
use trimwright::boat::demo_boat;
use trimwright::diary::{
    BoatRecord, Diary, DoneRecord, Draft, Entry, EntryRecord, EstimateRecord, ForetoldMark,
    ForetoldRecord, FoundRecord, MarkReading, PartRecord, ReadingRecord, SessionRecord, state_of,
    write,
};
use trimwright::fit::Estimate;

/// Density of the pool's water, kg/m³.
const POOL: f64 = 998.2067;
/// The identity of the boat.
const BOAT: &str = "demo-dipper";
/// The weight that went aboard after the good trim.
const LEAD: &str = "forgotten lead";

fn estimate(value: f64, spread: f64) -> EstimateRecord {
    Estimate::new(value, spread).into()
}

/// The boat as it was, and with a weight that somebody strapped on.
fn boats() -> [BoatRecord; 2] {
    let good = BoatRecord::ledger(BOAT, &demo_boat().expect("the demonstration boat"));
    let mut laden = good.clone();
    laden.parts.push(PartRecord {
        name: LEAD.to_owned(),
        mass_kg: Some(0.05),
        centre_m: Some([0.1, 0.03, 0.02]),
        ..PartRecord::default()
    });
    [good, laden]
}

/// A session of one reading: the list, of which the next one is foretold upright, and what was done.
fn session(k: usize, list: f64, is_good: bool, state: &str) -> SessionRecord {
    let at = |minute: usize| format!("2026-05-{:02}T10:{minute:02}:00.000Z", k + 1);
    let foretold = ForetoldRecord {
        list_deg: Some(estimate(0.0, 0.3)),
        marks: vec![ForetoldMark {
            name: "bow".to_owned(),
            above_m: estimate(0.0, 0.001),
            extra: serde_json::Map::default(),
        }],
        as_it_is: is_good,
        ..ForetoldRecord::default()
    };
    let found = FoundRecord {
        mass_kg: estimate(3.0 + 0.001 * f64::from(u32::try_from(k).expect("few")), 0.01),
        forward_m: estimate(0.001, 0.002),
        to_port_m: estimate(-0.0005, 0.001),
        untold: Vec::new(),
        extra: serde_json::Map::default(),
    };
    let reading = ReadingRecord {
        water_density_kg_m3: POOL,
        list_deg: Some(list),
        marks: vec![MarkReading {
            name: "bow".to_owned(),
            at_m: [0.3, 0.0, 0.06],
            above_m: 0.001 * list,
            extra: serde_json::Map::default(),
        }],
        good: is_good,
        state: state.to_owned(),
        found: Some(found),
        foretold: Some(foretold),
        ..ReadingRecord::default()
    };
    let entry = |id: String, minute: usize, what: Entry| EntryRecord {
        id,
        at: at(minute),
        what,
        extra: serde_json::Map::default(),
    };
    let reading = entry(format!("read-{k}"), 5, Entry::Reading(Box::new(reading)));
    let done = DoneRecord { after: format!("read-{k}"), ..DoneRecord::default() };
    let done = (!is_good).then(|| entry(format!("done-{k}"), 10, Entry::Done(done)));
    SessionRecord {
        id: format!("session-{k}"),
        boat: BOAT.to_owned(),
        started_at: at(0),
        place: if k == 2 { "Reed pond" } else { "Mill pond" }.to_owned(),
        water: "fresh 20 °C".to_owned(),
        water_density_kg_m3: Some(POOL),
        state: state.to_owned(),
        entries: std::iter::once(reading).chain(done).collect(),
        ..SessionRecord::default()
    }
}

/// Three sessions: the advice after the first came true, the second was good, before the third
/// somebody strapped a weight on. The boat is as it was in the third.
fn diary() -> Diary {
    let [good, laden] = boats();
    let [(as_good, good), (as_laden, state)] = [&good, &laden].map(state_of);
    Diary {
        boats: vec![laden],
        sessions: vec![
            session(0, 2.0, false, &as_good),
            session(1, 0.1, true, &as_good),
            session(2, 4.0, false, &as_laden),
        ],
        states: [(as_good, good), (as_laden, state)].into_iter().collect(),
        draft: Draft::default().for_boat(BOAT),
        ..Diary::default()
    }
}

/// Brings the three sessions in, takes their boat in hand, and goes to the diary.
async fn set_up(page: &Page, folder: &Path) -> WebDriverResult<()> {
    let file = folder.join("past.json");
    std::fs::write(&file, write(&diary()))?;
    page.take_in_file(&file).await?;
    page.see_kept().await?;
    page.reload().await?;
    page.tap("go-diary").await?;
    page.see_words("session-count", "3").await.map(drop)
}

#[tokio::test(flavor = "multi_thread")]
async fn trends_and_predictions_are_looked_back_at() {
    on_a_phone(FOLDER, |page| async move {
        let folder = Folder::new();
        set_up(&page, folder.path()).await?;
        page.tap("go-past").await?;
        // The list and the mark after the first; before the third, the boat was changed.
        page.see_words("score", "2 of 2").await?;
        page.see_words("trend-row", "4.0° to starboard").await?;
        page.see_words("trend-list-words", "From 2.0° to starboard to 4.0° to starboard, 3")
            .await?;
        page.see_words("trend-mass-words", "3").await?;
        page.see("trend-mass-spread-words").await?;
        let residual = page.look("trend-residual-words").await?;
        assert!(residual.is_none_or(|seen| !seen.shown), "never read under water");
        picture(&page.driver, "looking-back").await?;
        page.tap("past-under").await?;
        page.see_no("trend-row").await?;
        page.tap("past-afloat").await?;
        page.tap("trend-open").await?;
        page.see_words("entry-0", "4.0° to starboard").await.map(drop)
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn the_boat_is_as_at_its_last_good_trim_in_one_tap() {
    on_a_phone(FOLDER, |page| async move {
        let folder = Folder::new();
        set_up(&page, folder.path()).await?;
        let names = async || {
            let file = page.export(folder.path()).await?;
            let parts = file["boats"][0]["parts"].as_array().cloned().unwrap_or_default();
            let names = parts.iter().filter_map(|p| Some(p["name"].as_str()?.to_owned()));
            Ok::<_, WebDriverError>(names.collect::<Vec<_>>())
        };
        page.tap("go-diary").await?;
        page.tap("as-last-good").await?;
        page.see_words("file-message", "last good trim").await?;
        picture(&page.driver, "as-last-good").await?;
        page.see_kept().await?;
        assert!(!names().await?.iter().any(|name| name == LEAD), "the weight is off");
        page.tap("go-diary").await?;
        page.tap("as-last-good").await?;
        page.see_words("file-message", "matches its last good trim").await?;
        Ok(())
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn taking_the_last_good_trim_can_be_taken_back() {
    on_a_phone(FOLDER, |page| async move {
        let folder = Folder::new();
        set_up(&page, folder.path()).await?;
        page.tap("as-last-good").await?;
        page.see_words("file-message", "last good trim").await?;
        page.tap("undo").await?;
        page.see_kept().await?;
        page.reload().await?;
        let file = page.export(folder.path()).await?;
        let parts = file["boats"][0]["parts"].as_array().expect("parts").clone();
        assert!(parts.iter().any(|p| p["name"] == LEAD), "the weight is aboard again");
        Ok(())
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn any_two_sessions_are_compared() {
    on_a_phone(FOLDER, |page| async move {
        let folder = Folder::new();
        set_up(&page, folder.path()).await?;
        page.tap("session-0-open").await?;
        page.tap("compare-previous").await?;
        page.see_words("compare-facts", "Reed pond").await?;
        page.see_words("compare-read", "4.0° to starboard").await?;
        page.see_words("compare-parts", &format!("+ {LEAD}, 50")).await?;
        page.see_words("compare-ballast", "+ 50").await?;
        picture(&page.driver, "compare").await?;
        resize(&page.driver, 320, 568).await?;
        let wide = crate::access::too_wide(&page, "compare").await?;
        assert!(wide.is_empty(), "too wide: {wide:?}");
        // The first and the second: the same boat.
        page.tap("diary-back").await?;
        page.tap("session-2-open").await?;
        page.tap("compare-other").await?;
        page.see("compare-cancel").await?;
        page.tap("session-1-open").await?;
        page.see("compare-same").await?;
        page.see_no("compare-parts").await
    })
    .await;
}
