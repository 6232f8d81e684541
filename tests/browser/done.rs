//! Done changes the boat: what was advised is in its list and in every figure, the figures that were read
//! before are gone, and one tap takes it back.

use crate::driver::{FOLDER, Folder, on_a_phone, on_load, picture, resize};
use crate::expected::{Entry, demo_answer};
use crate::page::{Page, Seen};
use serde_json::Value;
use thirtyfour::prelude::*;

fn read() -> Entry {
    Entry { marks: vec![("stern", -1.0), ("bow", -6.0)], list: Some(1.8), ..Entry::default() }
}

/// Opens the demonstration boat with what is read of it, and keeps the reading; the grams that are advised.
async fn keep(page: &Page) -> WebDriverResult<f64> {
    page.tap("start-demo").await?;
    page.see_answer(&demo_answer(&read())).await?;
    page.tap("keep-reading").await?;
    page.see_words("keep-reading", "Done").await?;
    let grams = page.see("answer").await?.attributes["data-grams"].clone();
    Ok(grams.parse().expect("grams"))
}

/// Waits until the answer asks to read again.
async fn is_to_be_read_again(page: &Page) -> WebDriverResult<()> {
    page.see_words("answer-main", "Now read again").await.map(drop)
}

/// The parts of the boat in an export that are aboard for a time, and what was done, of the last session.
fn temporary(file: &Value) -> Vec<&Value> {
    let parts = file["boats"][0]["parts"].as_array().expect("parts");
    parts.iter().filter(|part| part["status"] == "temporary").collect()
}

fn done(file: &Value) -> &Value {
    let entries = file["sessions"][0]["entries"].as_array().expect("entries");
    entries.iter().rev().map(|e| &e["done"]).find(|d| !d.is_null()).expect("it is noted")
}

fn is_empty(seen: &Seen) -> bool {
    seen.value.is_empty()
}

#[tokio::test(flavor = "multi_thread")]
async fn what_was_done_is_in_the_boat_and_the_figures_are_gone() {
    on_a_phone(FOLDER, |page| async move {
        let folder = Folder::new();
        let grams = keep(&page).await?;
        page.tap("state-under").await?;
        page.fill("residual-value", "30").await?;
        page.tap("state-afloat").await?;
        page.see_answer(&demo_answer(&read())).await?;
        page.tap("keep-reading").await?;
        is_to_be_read_again(&page).await?;
        page.see_words("answer-place", "Done: ").await?;
        page.see_words("pool-message", "list has changed").await?;
        page.see_no("keep-reading").await?;
        picture(&page.driver, "done").await?;
        resize(&page.driver, 320, 568).await?;
        picture(&page.driver, "done-320").await?;
        resize(&page.driver, 390, 844).await?;
        // No figure of the boat as it was is left, afloat or under.
        for field in ["mark-stern-value", "mark-bow-value", "list-value"] {
            page.see_that(field, "is empty", is_empty).await?;
        }
        page.tap("state-under").await?;
        page.see_that("residual-value", "is empty", is_empty).await?;
        page.tap("state-afloat").await?;

        let file = page.export(folder.path()).await?;
        let parts = temporary(&file);
        let mass = parts[0]["mass_kg"].as_f64().expect("a mass");
        assert!(parts.len() == 1 && (mass * 1e3 - grams).abs() < 1e-6, "{grams} g: {parts:?}");
        let noted = done(&file);
        assert_eq!(noted["deeds"][0]["part"], parts[0]["name"], "the session names it: {noted}");
        assert_eq!(noted["otherwise"], Value::Null, "as advised: {noted}");

        // It stays done.
        page.reload().await?;
        page.tap("go-pool").await?;
        page.see_words("answer-main", "Read the boat").await?;
        page.tap("go-boat").await?;
        page.tap("bench-parts").await?;
        let line = format!("part-{}", file["boats"][0]["parts"].as_array().map_or(0, Vec::len) - 1);
        page.see_words(&line, "lead").await.map(drop)
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn one_tap_takes_back_what_was_done() {
    on_a_phone(FOLDER, |page| async move {
        let folder = Folder::new();
        keep(&page).await?;
        let before = page.export(folder.path()).await?;
        page.tap("go-pool").await?;
        page.tap("keep-reading").await?;
        is_to_be_read_again(&page).await?;
        page.tap("done-back").await?;
        page.see_answer(&demo_answer(&read())).await?;
        page.see_words("keep-reading", "Done").await?;
        assert_eq!(page.export(folder.path()).await?, before, "as if nothing had been done");
        Ok(())
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn half_of_it_is_half_of_it() {
    on_a_phone(FOLDER, |page| async move {
        let folder = Folder::new();
        let grams = keep(&page).await?;
        picture(&page.driver, "done-or-half").await?;
        page.tap("done-half").await?;
        is_to_be_read_again(&page).await?;
        page.see_words("answer-place", "Half of it").await?;
        let file = page.export(folder.path()).await?;
        let parts = temporary(&file);
        let mass = parts[0]["mass_kg"].as_f64().expect("a mass") * 1e3;
        assert!((mass - (grams / 2.0).round()).abs() < 1e-6, "half of {grams} g is {mass} g");
        assert_eq!(done(&file)["otherwise"], Value::Bool(true), "it was not what was advised");
        // What was foretold is of all of it: it is not judged by what half of it did.
        page.tap("go-pool").await?;
        page.enter_mark("stern", Some(-1.0)).await?;
        page.enter_mark("bow", Some(-3.0)).await?;
        page.fill("list-value", "0.9").await?;
        page.tap("keep-reading").await?;
        page.tap("go-diary").await?;
        page.tap("session-now").await?;
        page.see("entry-2").await?;
        let closed = page.see("closed").await?.text;
        assert!(!closed.contains('✓'), "nothing came true or not: {closed}");
        Ok(())
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn what_was_done_otherwise_is_said_where_the_part_is() {
    on_a_phone(FOLDER, |page| async move {
        let folder = Folder::new();
        keep(&page).await?;
        page.tap("keep-reading").await?;
        is_to_be_read_again(&page).await?;
        page.tap("done-otherwise").await?;
        page.fill("form-mass", "55").await?;
        page.finish().await?;
        let file = page.export(folder.path()).await?;
        let parts = temporary(&file);
        assert_eq!(parts[0]["mass_kg"].as_f64(), Some(0.055), "{parts:?}");
        assert_eq!(done(&file)["otherwise"], Value::Bool(true), "it was not what was advised");
        Ok(())
    })
    .await;
}

/// The next morning: the clock is ten hours on.
const MORNING: &str = r"
(() => {
  const real = Date.now;
  const later = () => real() + 10 * 3600 * 1000;
  const Real = Date;
  window.Date = class extends Real {
    constructor(...given) { super(...(given.length ? given : [later()])); }
  };
  window.Date.now = later;
})();
";

#[tokio::test(flavor = "multi_thread")]
async fn figures_of_yesterday_advise_nothing_in_the_morning() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        page.enter_mark("stern", Some(2.0)).await?;
        page.fill("list-value", "1.8").await?;
        page.tap("state-under").await?;
        page.fill("residual-value", "30").await?;
        page.tap("state-afloat").await?;
        page.see("keep-reading").await?;
        page.see_kept().await?;
        on_load(&page.driver, MORNING).await?;
        page.reload().await?;
        page.see_words("answer-main", "Now read again").await?;
        page.see_words("answer-place", "Figures from").await?;
        page.see_no("keep-reading").await?;
        let kind = page.see("answer").await?.attributes["data-kind"].clone();
        assert_eq!(kind, "none", "nothing is advised");
        picture(&page.driver, "next-morning").await?;

        // Whoever says that they hold has the advice, until the next morning.
        page.tap("figures-hold").await?;
        page.see("keep-reading").await?;
        page.see_kept().await?;
        let evening = MORNING.replace("10 * 3600", "20 * 3600");
        on_load(&page.driver, &evening).await?;
        page.reload().await?;
        page.see("figures-hold").await?;

        // What is read anew stands alone: the old list and what was heavy under water are gone.
        page.enter_mark("bow", Some(3.0)).await?;
        page.see_no("figures-hold").await?;
        page.see_that("list-value", "is empty", is_empty).await?;
        page.see_that("mark-stern-value", "is empty", is_empty).await?;
        page.see_that("mark-bow-value", "is there", |seen| seen.value == "3").await?;
        page.tap("state-under").await?;
        page.see_that("residual-value", "is empty", is_empty).await?;
        // And can be had again.
        page.tap("undo").await?;
        page.see_that("residual-value", "is there", |seen| seen.value == "30").await.map(drop)
    })
    .await;
}
