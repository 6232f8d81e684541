//! What can be done to a boat on the bench: undone, copied, moved, taken out, dragged; and kept.

use crate::bench::Foot;
use crate::driver::{FOLDER, Folder, drag_finger, on_a_phone, picture};
use crate::page::{Page, Seen};
use thirtyfour::prelude::*;
use trimwright::boat::{Status, demo_boat};

/// The demonstration boat on the bench.
async fn set_up(page: &Page) -> WebDriverResult<Foot> {
    page.tap("start-demo").await?;
    page.tap("go-boat").await?;
    page.see("part-13").await?;
    page.foot().await
}

async fn see_foot(page: &Page, wanted: &Foot, when: &str) -> WebDriverResult<()> {
    let is_so = async || Ok((page.foot().await? == *wanted).then_some(()));
    page.until(&format!("the bench says {wanted:?} {when}"), is_so).await
}

async fn see_value(page: &Page, id: &str, value: &str) -> WebDriverResult<()> {
    let shows = |seen: &Seen| seen.value == value;
    page.see_that(id, &format!("shows {value}"), shows).await.map(drop)
}

#[tokio::test(flavor = "multi_thread")]
async fn typing_is_undone_and_done_again_as_one_step() {
    on_a_phone(FOLDER, |page| async move {
        let before = set_up(&page).await?;
        page.tap("part-1").await?;
        page.fill("form-mass", "745").await?;
        page.see_words("form-readout", "745 g").await?;
        let after = page.foot().await?;
        assert_ne!(after, before, "125 g more are seen");
        page.tap("undo-change").await?;
        see_value(&page, "form-mass", "620").await?;
        see_foot(&page, &before, "undone").await?;
        page.tap("redo-change").await?;
        see_value(&page, "form-mass", "745").await?;
        see_foot(&page, &after, "done again").await
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn removing_and_mirroring_are_undone_and_done_again() {
    on_a_phone(FOLDER, |page| async move {
        let before = set_up(&page).await?;
        page.tap("part-4").await?;
        page.unfold().await?;
        page.tap("line-remove").await?;
        page.see_no("part-13").await?;
        let lighter = page.foot().await?;
        assert_ne!(lighter, before, "the pump is gone");
        page.tap("undo-change").await?;
        page.see_words("part-4", "pump").await?;
        see_foot(&page, &before, "with the pump back").await?;
        page.tap("redo-change").await?;
        page.see_no("part-13").await?;
        see_foot(&page, &lighter, "without the pump again").await?;
        page.tap("undo-change").await?;
        page.see("part-13").await?;

        page.tap("part-6").await?;
        page.unfold().await?;
        page.tap("line-mirror").await?;
        see_value(&page, "form-name", "casing, starboard").await?;
        see_value(&page, "form-y", "20").await?;
        page.see_words("form-y-side", "starboard").await?;
        page.finish().await?;
        page.see("part-14").await?;
        let twice = page.foot().await?;
        page.tap("undo-change").await?;
        page.see_no("part-14").await?;
        see_foot(&page, &before, "without the mirrored part").await?;
        page.tap("redo-change").await?;
        page.see("part-14").await?;
        see_foot(&page, &twice, "with the mirrored part again").await
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn parts_are_copied_moved_and_found() {
    on_a_phone(FOLDER, |page| async move {
        set_up(&page).await?;
        page.tap("part-2").await?;
        page.unfold().await?;
        page.tap("line-copy").await?;
        see_value(&page, "form-name", "motor and gearbox").await?;
        page.finish().await?;
        page.see("part-14").await?;
        page.see_words("part-3", "motor and gearbox").await?;

        page.tap("part-1").await?;
        page.unfold().await?;
        page.tap("line-down").await?;
        page.finish().await?;
        page.see_words("part-1", "motor and gearbox").await?;
        page.see_words("part-2", "battery").await?;
        page.tap("part-2").await?;
        see_value(&page, "form-name", "battery").await?;
        page.unfold().await?;
        page.tap("line-up").await?;
        page.finish().await?;
        page.see_words("part-1", "battery").await?;

        page.fill("part-search", "PUMP").await?;
        page.see_no("part-1").await?;
        page.see_words("part-5", "pump").await?;
        picture(&page.driver, "bench-search").await?;
        page.fill("part-search", "").await?;
        page.see("part-14").await.map(drop)
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_part_taken_out_no_longer_counts() {
    on_a_phone(FOLDER, |page| async move {
        let before = set_up(&page).await?;
        let mut boat = demo_boat().expect("fixed sizes");
        boat.parts.get_mut(3).expect("its receiver").status = Status::TakenOut;
        page.tap("part-3").await?;
        page.unfold().await?;
        page.tap("form-status-taken-out").await?;
        page.see_foot_of(&boat).await?;
        page.finish().await?;
        page.see_words("part-3", "taken out").await?;
        page.tap("undo-change").await?;
        see_foot(&page, &before, "with the receiver back").await
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_part_is_dragged_by_a_finger() {
    on_a_phone(FOLDER, |page| async move {
        let before = set_up(&page).await?;
        page.tap("part-13").await?;
        see_value(&page, "form-x", "50").await?;
        let [x, y] = page.see("grip-side-view").await?.middle;
        drag_finger(&page.driver, [x, y], [x + 60.0, y]).await?;
        let moved = |seen: &Seen| seen.value.parse::<f64>().is_ok_and(|mm| mm > 70.0);
        let there = page.see_that("form-x", "went forward", moved).await?.value;
        see_value(&page, "form-z", "14").await?;
        assert!(there.parse::<i32>().is_ok(), "in whole millimetres: {there}");
        let after = page.foot().await?;
        assert!(after.lies.contains("bow down"), "the keel is further forward: {after:?}");
        picture(&page.driver, "bench-dragged").await?;
        page.tap("undo-change").await?;
        see_value(&page, "form-x", "50").await?;
        see_foot(&page, &before, "before the drag").await?;
        page.tap("redo-change").await?;
        see_value(&page, "form-x", &there).await?;
        see_foot(&page, &after, "dragged again").await
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_reload_keeps_the_boat_as_it_was_changed() {
    on_a_phone(FOLDER, |page| async move {
        let folder = Folder::new();
        set_up(&page).await?;
        page.tap("part-1").await?;
        page.fill("form-mass", "745").await?;
        page.unfold().await?;
        page.tap("line-copy").await?;
        page.fill("form-name", "second battery").await?;
        page.fill("form-group", "drive").await?;
        page.tap("form-next").await?;
        // One that was begun and is not a part yet.
        page.tap("shape-sphere").await?;
        let after = page.foot().await?;
        page.reload().await?;
        page.tap("go-boat").await?;
        page.see("part-14").await?;
        see_foot(&page, &after, "after a reload").await?;
        page.see_words("part-2", "second battery").await?;
        page.see_no("no-drawing").await?;
        page.tap("bench-boats").await?;
        let record = page.boat_file("Dipper", folder.path()).await?;
        page.see_foot_of(&record.boat().expect("a good boat")).await
    })
    .await;
}
