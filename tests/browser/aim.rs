//! What is right under water: judged through the tanks, and changed on the bench.

use crate::driver::{FOLDER, on_a_phone, picture, resize};
use crate::page::{Page, Seen};
use thirtyfour::prelude::*;

/// Heron, read with its tank full: 70 g heavy, and its tank makes it neutral.
const SEVENTY_HEAVY: &str = "70";

#[tokio::test(flavor = "multi_thread")]
async fn a_boat_that_its_tank_makes_neutral_is_right_and_says_at_what_fill() {
    on_a_phone(FOLDER, |page| async move {
        page.take_template(0).await?;
        page.tap("go-pool").await?;
        page.tap("state-under").await?;
        page.enter_sided("residual", SEVENTY_HEAVY.parse().ok(), ["heavy", "light"]).await?;
        page.enter_sided("list", Some(0.0), ["to starboard", "to port"]).await?;
        // With its tank full it hangs by the bow; at the fill that makes it neutral it is level.
        page.enter_sided("trim", Some(1.1), ["bow down", "stern down"]).await?;
        // Source: `tests/data/template/heron.json`, by an independent program: 656 ml can be used, and
        // 70 g of them are too much: 89 %.
        page.see_words("answer-main", "Right: neutral at 89").await?;
        page.tap("answer-whole").await?;
        page.see_words("answer-other", "✓ Afloat").await?;
        picture(&page.driver, "aim-right").await?;

        // Tanks that are blown or full: the same boat is heavy then.
        page.tap("go-boat").await?;
        page.tap("bench-tanks").await?;
        page.see_words("aim", "60").await?;
        page.tap("aim").await?;
        page.tap("form-tanks-whole").await?;
        picture(&page.driver, "aim-form").await?;
        page.finish().await?;
        page.see_words("aim", "10 g light to 40 g light").await?;
        page.see_kept().await?;
        page.reload().await?;
        page.tap("go-pool").await?;
        page.see_words("answer-main", "Take off").await.map(drop)
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_boat_that_lies_over_is_told_so_first_and_gets_no_weight_to_one_side() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        for degrees in [40.0, 75.0] {
            page.enter_sided("list", Some(degrees), ["to starboard", "to port"]).await?;
            page.see_words("answer-main", "It lies over").await?;
            page.tap("answer-whole").await?;
            let place = page.see("answer-place").await?.text;
            assert!(place.contains("no weight to one side"), "{degrees}: {place}");
        }
        Ok(())
    })
    .await;
}

/// With wet hands: 56 px each way.
async fn can_be_hit(page: &Page, ids: &[&str]) -> WebDriverResult<()> {
    const SIZE: &str = "const box = find(arguments[0]).getBoundingClientRect();
        return Math.min(box.width, box.height);";
    for id in ids {
        let least: f64 = page.run(SIZE, vec![(*id).into()]).await?.unwrap_or_default();
        assert!(least > 55.9, "{id}: {least} px");
    }
    Ok(())
}

#[tokio::test(flavor = "multi_thread")]
async fn the_fill_is_typed_as_it_was_seen_and_blown_and_full_are_a_tap() {
    on_a_phone(FOLDER, |page| async move {
        let pressed = async |id: &str, wanted: &str| {
            let is_so =
                |seen: &Seen| seen.attributes.get("aria-pressed").is_some_and(|now| now == wanted);
            page.see_that(id, &format!("is pressed: {wanted}"), is_so).await.map(drop)
        };
        page.take_template(0).await?;
        page.tap("go-pool").await?;
        page.tap("state-under").await?;
        // Nothing typed is full, and the button says that this is taken to be so.
        page.see_words("fill-full", "Full (assumed)").await?;
        pressed("fill-full", "true").await?;
        page.tap("fill-blown").await?;
        pressed("fill-blown", "true").await?;
        pressed("fill-full", "false").await?;
        page.see_that("fill-value", "is blown", |seen| seen.value == "0").await?;
        page.tap("fill-full").await?;
        page.see_that("fill-value", "is full", |seen| seen.value == "100").await?;
        pressed("fill-full", "true").await?;
        // Source: `tests/data/template/heron.json`, by an independent program: 656 ml can be used.
        page.tap("fill-in-volume").await?;
        page.see_that("fill-value", "is what they take", |seen| seen.value == "656").await?;
        page.fill("fill-value", "700").await?;
        page.see_words("fill-value-error", "the tanks hold only 656 ml").await?;
        picture(&page.driver, "fill-beyond").await?;
        page.fill("fill-value", "328").await?;
        pressed("fill-full", "false").await?;
        page.tap("fill-in-percent").await?;
        // Half of it, to the last place of 656 ml.
        let is_half = |seen: &Seen| seen.value.parse().is_ok_and(|p: f64| (p - 50.0).abs() < 0.05);
        page.see_that("fill-value", "is half", is_half).await?;
        // The boat does not say how long its tank floods.
        page.see_no("fill-in-seconds").await?;
        page.tap("fill-in-volume").await?;
        page.see_kept().await?;
        page.reload().await?;
        page.see_that("fill-value", "is as typed", |seen| seen.value == "328").await?;
        for (width, height) in [(320, 568), (390, 844)] {
            resize(&page.driver, width, height).await?;
            page.tap("fill-full").await?;
            page.rest().await?;
            let ids = ["fill-blown", "fill-full", "fill-in-percent", "fill-in-volume"];
            can_be_hit(&page, &ids).await?;
            picture(&page.driver, &format!("fill-{width}")).await?;
        }
        Ok(())
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn the_weight_is_of_what_the_builder_has() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        page.enter_mark("stern", Some(6.0)).await?;
        page.enter_mark("bow", Some(6.0)).await?;
        page.enter_sided("list", Some(0.0), ["to starboard", "to port"]).await?;
        page.tap("of-brass").await?;
        page.see_words("answer-main", "g of brass").await?;
        page.rest().await?;
        picture(&page.driver, "of-brass").await?;
        page.tap("of-xps-board").await?;
        picture(&page.driver, "of-foam").await?;
        page.tap("of-brass").await?;
        page.see_words("answer-main", "g of brass").await?;
        for (width, height) in [(320, 568), (390, 844)] {
            resize(&page.driver, width, height).await?;
            can_be_hit(&page, &["of-lead", "of-brass", "of-steel", "of-xps-board"]).await?;
            picture(&page.driver, &format!("of-brass-{width}")).await?;
        }
        page.rest().await?;
        page.tap("keep-reading").await?;
        page.see_words("keep-reading", "Done").await?;
        page.tap("keep-reading").await?;
        page.see_words("answer-main", "Now read again").await?;
        page.see_words("answer-place", "of brass").await.map(drop)
    })
    .await;
}
