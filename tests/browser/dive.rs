//! The way down and up: a boat that leans midway is told why, cured, and the cure kept or not.

use crate::driver::{FOLDER, on_a_phone, picture};
use crate::faults::Faults;
use crate::page::Page;
use serde_json::{Value, json};
use thirtyfour::prelude::*;

impl Page {
    /// Takes a copy of a boat that comes with the app in hand, by its place in the list.
    pub(crate) async fn take_template(&self, which: usize) -> WebDriverResult<()> {
        self.tap("start-demo").await?;
        self.tap("go-boat").await?;
        self.tap("bench-boats").await?;
        self.tap(&format!("template-{which}")).await
    }

    /// Goes to the dive and waits until the way is there and no cure is being tried any more.
    pub(crate) async fn dive(&self) -> WebDriverResult<()> {
        self.tap("go-dive").await?;
        self.is_followed().await
    }

    async fn is_followed(&self) -> WebDriverResult<()> {
        self.see("dive-headline").await?;
        self.see_no("dive-progress").await
    }

    /// Moves the slider to so many per cent.
    pub(crate) async fn set_fill(&self, percent: f64) -> WebDriverResult<()> {
        let set = "const e = find('fill'); e.value = arguments[0];
                   e.dispatchEvent(new InputEvent('input', { bubbles: true })); return true;";
        self.run::<bool>(set, vec![json!(percent)]).await.map(drop)
    }
}

/// Coot's place in the list of boats.
const COOT: usize = 3;
/// Heron's, which dives upright.
const HERON: usize = 0;

#[tokio::test(flavor = "multi_thread")]
async fn a_boat_that_leans_midway_is_told_why_and_cured_by_the_first_cure() {
    on_a_phone(FOLDER, |page| async move {
        page.take_template(COOT).await?;
        page.dive().await?;
        page.see_words("dive-headline", "Leans").await?;
        page.see_words("dive-kind", "Loll").await?;
        page.see_words("dive-kind", "sideways makes it worse").await?;
        page.see_words("dive-cause", "free surface in ballast tank").await?;
        page.see_words("dive-arrival", "it goes under").await?;
        page.set_fill(30.0).await?;
        page.see_words("dive-list-kind", "loll").await?;
        picture(&page.driver, "dive-leans").await?;
        // The first cure, looked at.
        page.see_words("cure-0-effect", "Stays upright").await?;
        page.tap("cure-0-try").await?;
        page.see_words("dive-headline", "Stays upright").await?;
        page.see_words("dive-list", "upright").await?;
        picture(&page.driver, "dive-cure-tried").await?;
        // Kept apart until it is accepted.
        page.tap("cure-back").await?;
        page.see_words("dive-headline", "Leans").await?;
        page.tap("cure-0-try").await?;
        page.tap("cure-accept").await?;
        page.is_followed().await?;
        page.see_words("dive-headline", "Stays upright").await?;
        page.see_no("dive-cause").await?;
        // And undone.
        page.tap("dive-undo").await?;
        page.see_words("dive-headline", "Leans").await.map(drop)
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn the_figures_and_the_picture_follow_the_fill() {
    on_a_phone(FOLDER, |page| async move {
        page.take_template(HERON).await?;
        page.dive().await?;
        page.see_words("dive-headline", "Stays upright").await?;
        let before = page.see_words("dive-buoyancy", "light").await?.text;
        page.set_fill(50.0).await?;
        page.see_that("dive-buoyancy", "is less", |seen| seen.text != before).await?;
        page.set_fill(100.0).await?;
        page.see_words("dive-buoyancy", "heavy").await?;
        // By the keyboard, a hundredth at a time.
        let slider = page.driver.find(By::Testid("fill")).await?;
        slider.send_keys(Key::Home).await?;
        page.see_that("dive-buoyancy", "is as it was", |seen| seen.text == before).await?;
        page.tap("dive-up").await?;
        page.is_followed().await?;
        page.see_words("dive-arrival", "Blown, it floats").await.map(drop)
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_tank_that_is_too_small_says_by_how_many_grams() {
    on_a_phone(FOLDER, |page| async move {
        page.take_template(HERON).await?;
        page.tap("bench-tanks").await?;
        page.tap("tank-0").await?;
        page.fill("form-length", "60").await?;
        page.fill("form-transverse", "0").await?;
        page.finish().await?;
        page.dive().await?;
        let said = page.see_words("dive-arrival", "too light to dive").await?.text;
        let grams = said.split(' ').find_map(|word| word.parse::<f64>().ok());
        assert!(grams.is_some_and(|g| (100.0..500.0).contains(&g)), "{said}");
        Ok(())
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_boat_that_turns_over_at_once_shows_that_and_goes_on_working() {
    on_a_phone(FOLDER, |page| async move {
        page.take_template(HERON).await?;
        page.tap("add-part").await?;
        page.tap("shape-weight").await?;
        page.type_row(&[("name", "masthead"), ("z", "1000"), ("mass", "600")]).await?;
        // A metre above the boat is a slip, says the form; what can be made is in the boat.
        page.fill("form-z", "260").await?;
        page.fill("form-mass", "3000").await?;
        page.finish().await?;
        page.dive().await?;
        page.see_words("dive-headline", "Turns over at once").await?;
        page.set_fill(50.0).await?;
        page.see_words("dive-list", "°").await?;
        page.tap("go-boat").await?;
        page.see("part-0").await?;
        page.tap("undo-change").await.map(drop)
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_lean_that_was_seen_is_kept_and_fitted() {
    on_a_phone(FOLDER, |page| async move {
        page.take_template(COOT).await?;
        page.dive().await?;
        page.set_fill(30.0).await?;
        page.tap("seen-note").await?;
        page.see_words("seen-lean-error", "number").await?;
        page.fill("seen-lean", "21").await?;
        page.tap("seen-side").await?;
        page.tap("seen-note").await?;
        page.see_words("seen-0", "30 % full, going down: 21.0° to port").await?;
        page.is_followed().await?;
        page.see("seen-says").await?;
        page.tap("go-diary").await?;
        page.see_kept().await?;
        page.reload().await?;
        page.dive().await?;
        page.see("seen-0").await?;
        page.tap("go-diary").await?;
        page.tap("session-now").await?;
        page.see_words("entry-0", "Lean on the way down: 21.0° to port at 30 %").await?;
        page.dive().await?;
        page.tap("seen-0-remove").await?;
        page.see_no("seen-0").await?;
        page.tap("go-diary").await?;
        page.see_no("entry-0").await
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_lean_noted_before_the_boat_was_changed_does_not_count() {
    on_a_phone(FOLDER, |page| async move {
        page.take_template(COOT).await?;
        page.dive().await?;
        page.set_fill(30.0).await?;
        page.fill("seen-lean", "21").await?;
        page.tap("seen-note").await?;
        page.see("seen-0").await?;
        page.is_followed().await?;
        page.tap("cure-0-try").await?;
        page.tap("cure-accept").await?;
        page.see_words("seen-before", "1 lean noted before the boat was changed; not counted")
            .await?;
        page.see_no("seen-0").await?;
        page.is_followed().await?;
        page.see_no("seen-says").await?;
        // The boat is as it was: what was seen counts again.
        page.tap("dive-undo").await?;
        page.see("seen-0").await?;
        page.see_no("seen-before").await
    })
    .await;
}

/// Makes the boat in the store one of version 3, with a lean that was noted in its session.
const OF_VERSION_3: &str = r#"
const done = arguments[arguments.length - 1];
const opening = indexedDB.open("trimwright");
opening.onsuccess = () => {
  const all = opening.result.transaction(["record", "session"], "readwrite");
  const record = all.objectStore("record"), session = all.objectStore("session");
  const keys = record.getAllKeys(), texts = record.getAll();
  texts.onsuccess = () => {
    const k = keys.result.findIndex(key => key[0] === "boat");
    const file = JSON.parse(texts.result[k]);
    const boat = file.boats[0], id = boat.id;
    boat.dive = { ...boat.dive, seen: [
      { noted_at: "2026-05-09T10:30:00.000Z", fill: 0.3, list_deg: -21, going_up: false } ] };
    record.put(JSON.stringify({ ...file, version: 3 }), keys.result[k]);
    const began = "2026-05-09T10:00:00.000Z";
    const note = { id: "e1", at: "2026-05-09T10:05:00.000Z", note: "calm" };
    const pond = { id: "pond", boat: id, started_at: began, entries: [note] };
    session.put(JSON.stringify({ format: "trimwright", version: 3, sessions: [pond] }), [began, id, "pond"]);
    const later = { id: "sea", boat: id, started_at: "2026-05-12T10:00:00.000Z", entries: [] };
    session.put(JSON.stringify({ format: "trimwright", version: 3, sessions: [later] }),
      [later.started_at, id, "sea"]);
  };
  all.oncomplete = () => { opening.result.close(); done(true); };
};
"#;

/// What the store has of the boats and of a session.
const IN_STORE: &str = r#"
const done = arguments[arguments.length - 1];
const opening = indexedDB.open("trimwright");
opening.onsuccess = () => {
  const all = opening.result.transaction(["record", "session"]);
  const records = all.objectStore("record").getAll(), sessions = all.objectStore("session").getAll();
  all.oncomplete = () => {
    opening.result.close();
    done(records.result.concat(sessions.result).map(JSON.parse)
      .filter(file => file.boats || file.sessions));
  };
};
"#;

#[tokio::test(flavor = "multi_thread")]
async fn a_boat_kept_by_version_3_gives_its_lean_to_the_session_and_counts_it() {
    on_a_phone(FOLDER, |page| async move {
        page.take_template(COOT).await?;
        page.see_kept().await?;
        page.tap("go-pool").await?;
        page.run_async::<bool>(OF_VERSION_3).await?;
        // While it cannot be written, the store has all of it as it was, and the lean counts all the same.
        page.lay_faults().await?;
        page.let_fail_at_start(Faults { late: true, ..Faults::all(&["put session"]) }).await?;
        page.load().await?;
        page.dive().await?;
        page.see_words("seen-0", "30 % full, going down: 21.0° to port").await?;
        let failed = "return window.faults.failed.length || null;";
        page.until("a write has failed", async || page.run::<u32>(failed, vec![]).await).await?;
        let files = page.run_async::<Vec<Value>>(IN_STORE).await?.expect("what is kept");
        let text = json!(files).to_string();
        assert_eq!(text.matches("-21").count(), 1, "once in the store: {text}");
        assert!(text.contains("\"seen\""), "with the boat: {text}");
        for time in ["the first time", "again"] {
            page.load().await?;
            page.dive().await?;
            page.see_words("seen-0", "30 % full, going down: 21.0° to port").await?;
            page.see("seen-says").await?;
            page.see_no("seen-1").await?;
            page.tap("go-diary").await?;
            page.tap("session-1-open").await?;
            page.see_words("entry-1", "Lean on the way down: 21.0° to port at 30 %").await?;
            page.see_no("entry-2").await?;
            page.see_kept().await?;
            let files = page.run_async::<Vec<Value>>(IN_STORE).await?.expect("what is kept");
            let text = json!(files).to_string();
            assert_eq!(text.matches("-21").count(), 1, "{time}, once in the store: {text}");
            assert!(!text.contains("\"seen\""), "{time}, not with the boat: {text}");
            // From the diary's session to the list, as the next round begins.
            page.tap("go-pool").await?;
        }
        Ok(())
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_boat_of_six_numbers_is_sent_to_the_bench() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("go-dive").await?;
        page.see_words("dive-problem", "no boat").await.map(drop)
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn times_that_cannot_be_are_refused_beside_their_field() {
    on_a_phone(FOLDER, |page| async move {
        page.take_template(HERON).await?;
        page.dive().await?;
        page.tap("dive-plan").await?;
        page.fill("flood-0", "0").await?;
        page.see("flood-0-error").await?;
        page.see_words("dive-headline", "Stays upright").await?;
        page.fill("flood-0", "12").await?;
        page.see_no("flood-0-error").await?;
        page.fill("drain", "30").await?;
        page.tap("dive-up").await?;
        page.is_followed().await?;
        page.see("dive-headline").await.map(drop)
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_round_hull_that_lies_as_it_is_turned_is_not_said_to_fall() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-bench").await?;
        page.type_row(&[("name", "Log"), ("length", "600"), ("waterline", "60")]).await?;
        page.tap("boat-begin").await?;
        page.tap("add-part").await?;
        page.tap("shape-cylinder").await?;
        page.see_that("form-name", "is typed into", |seen| seen.focused).await?;
        page.type_row(&[("name", "tube"), ("length", "600"), ("diameter", "100")]).await?;
        page.type_row(&[("x", "300"), ("z", "50"), ("mass", "2800")]).await?;
        page.finish().await?;
        page.tap("bench-tanks").await?;
        page.tap("add-tank").await?;
        page.type_row(&[("length", "500"), ("diameter", "80"), ("x", "300"), ("z", "50")]).await?;
        page.finish().await?;
        page.dive().await?;
        page.see_words("dive-headline", "Stays at any heel").await?;
        page.see_words("dive-kind", "Nothing rights or capsizes it").await?;
        page.see_no("dive-cause").await?;
        picture(&page.driver, "dive-as-turned").await
    })
    .await;
}
