//! The phone that lies aboard: drawn on deck, moved there by a finger and by keys, and what that changes.

use crate::driver::{FOLDER, drag_finger, on_a_phone, picture, resize};
use crate::expected::{Answer, Entry, demo_answer};
use crate::page::{Page, Seen};
use serde_json::json;
use thirtyfour::prelude::*;
use trimwright::boat::demo_boat;
use trimwright::float::FloatModel;
use trimwright::geometry::{Bounds, Fineness};

/// Grams of what is shifted: a phone of 200 g moved by d is made good by a shift of 200 / 500 d.
const SHIFTED: f64 = 500.0;

/// The demonstration boat with as many figures as tell its trim and list, the phone amidships.
async fn aboard(page: &Page) -> WebDriverResult<Entry> {
    page.tap("start-demo").await?;
    let entry = Entry {
        marks: vec![("stern", 2.0), ("bow", -2.0)],
        list: Some(1.5),
        shift: Some(SHIFTED),
        ..Entry::default()
    };
    page.enter(&entry).await?;
    page.fill("shift-value", &SHIFTED.to_string()).await?;
    page.tap("phone-aboard").await?;
    page.see_words("phone-place", "amidships, on the centre line").await?;
    let entry = Entry { phone_aboard: true, ..entry };
    page.see_answer(&demo_answer(&entry)).await?;
    to_the_top(page).await?;
    Ok(entry)
}

/// For a picture of the line that says where it lay.
const TO_THE_LINE: &str =
    "find('phone-place').scrollIntoView({ block: 'start' }); scrollBy(0, -120); return null;";

async fn to_the_top(page: &Page) -> WebDriverResult<()> {
    let up = "document.activeElement?.blur(); scrollTo(0, 0); return null;";
    page.run::<()>(up, vec![]).await.map(drop)
}

/// The figure that stands before some words, or nothing where the words are not there.
fn figure_before(text: &str, words: &str) -> Option<i32> {
    let before = text.split(words).next().filter(|before| before.len() < text.len())?;
    before.split_whitespace().last()?.parse().ok()
}

/// Where the line says that it lay, millimetres forward of midship and to port.
fn place_in(text: &str) -> [i32; 2] {
    let signed = |more: &str, less: &str| {
        let less = figure_before(text, less).map(|mm| -mm);
        figure_before(text, more).or(less).unwrap_or(0)
    };
    [signed("mm forward", "mm aft"), signed("mm to port", "mm to starboard")]
}

/// Waits until the line tells of another place, and the answer is the core's for it.
async fn moved(page: &Page, entry: &mut Entry) -> WebDriverResult<Answer> {
    let before = entry.phone_at;
    let is_elsewhere = |seen: &Seen| place_in(&seen.text) != before;
    let line = page.see_that("phone-place", "tells of another place", is_elsewhere).await?;
    entry.phone_at = place_in(&line.text);
    let answer = demo_answer(entry);
    page.see_answer(&answer).await?;
    Ok(answer)
}

/// How far forward and to port what is shifted goes, millimetres.
fn way(answer: &Answer) -> [i32; 2] {
    assert_eq!(answer.kind, "shift", "{answer:?}");
    let [_, forward, to_port] = answer.figures.expect("it goes somewhere");
    [forward, to_port].map(|mm| i32::try_from(mm).expect("a model boat"))
}

#[tokio::test(flavor = "multi_thread")]
async fn it_is_dragged_by_a_finger_and_the_answer_follows() {
    on_a_phone(FOLDER, |page| async move {
        let mut entry = aboard(&page).await?;
        let amidships = way(&demo_answer(&entry));
        picture(&page.driver, "phone-aboard-390").await?;
        let [x, y] = page.see("grip-side-view").await?.middle;
        drag_finger(&page.driver, [x, y], [x + 50.0, y + 12.0]).await?;
        let forward = way(&moved(&page, &mut entry).await?);
        let [along, across] = entry.phone_at;
        assert!(along > 60 && across == 0, "along, and not across: {:?}", entry.phone_at);
        let [x, y] = page.see("grip-end-view").await?.middle;
        drag_finger(&page.driver, [x, y], [x + 12.0, y + 12.0]).await?;
        let both = way(&moved(&page, &mut entry).await?);
        assert!(entry.phone_at[1] < -5, "to starboard: {:?}", entry.phone_at);
        assert_eq!(entry.phone_at[0], along, "across, and not along");
        // Closed form; each way is rounded to the millimetre, and what is known of such boats draws it back by a fiftieth
        // at most.
        let off = |shifted: i32, phone: i32| {
            let by = f64::from(phone) * 200.0 / SHIFTED;
            (f64::from(shifted) - by).abs() - by.abs() / 50.0
        };
        let by = forward[0] - amidships[0];
        assert!(off(by, along) <= 1.0, "the phone by {along} mm, the shift by {by} mm");
        let by = both[1] - forward[1];
        assert!(off(by, entry.phone_at[1]) <= 1.0, "{:?}, the shift by {by} mm", entry.phone_at);
        picture(&page.driver, "phone-moved-390").await?;
        page.run::<()>(TO_THE_LINE, vec![]).await?;
        picture(&page.driver, "phone-line-390").await?;
        resize(&page.driver, 320, 568).await?;
        to_the_top(&page).await?;
        picture(&page.driver, "phone-moved-320").await?;
        page.run::<()>(TO_THE_LINE, vec![]).await?;
        picture(&page.driver, "phone-line-320").await?;
        page.reload().await?;
        page.see_that("phone-place", "is kept", |seen| place_in(&seen.text) == entry.phone_at)
            .await?;
        page.tap("phone-amidships").await?;
        page.see_words("phone-place", "amidships, on the centre line").await?;
        page.see_no("phone-amidships").await?;
        entry.phone_at = [0; 2];
        page.see_answer(&demo_answer(&entry)).await
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn arrow_keys_move_it_by_millimetres() {
    on_a_phone(FOLDER, |page| async move {
        let mut entry = aboard(&page).await?;
        let press = async |view: &str, key: &str, shift: bool| {
            let script = "const grip = find(`grip-${arguments[0]}`); grip.focus();
                grip.dispatchEvent(new KeyboardEvent('keydown',
                  { key: arguments[1], shiftKey: arguments[2], bubbles: true, cancelable: true }));
                return document.activeElement === grip;";
            let with = vec![json!(view), json!(key), json!(shift)];
            assert_eq!(page.run::<bool>(script, with).await?, Some(true), "it takes the focus");
            Ok::<(), WebDriverError>(())
        };
        for (view, key, shift, at) in [
            ("side-view", "ArrowRight", true, [10, 0]),
            ("side-view", "ArrowRight", false, [11, 0]),
            ("end-view", "ArrowLeft", false, [11, 1]),
            ("end-view", "ArrowRight", true, [11, -9]),
            ("side-view", "ArrowLeft", true, [1, -9]),
        ] {
            press(view, key, shift).await?;
            moved(&page, &mut entry).await?;
            assert_eq!(entry.phone_at, at, "{view} {key}");
        }
        Ok(())
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn it_stays_on_the_boat_and_does_not_go_under_with_it() {
    on_a_phone(FOLDER, |page| async move {
        let mut entry = aboard(&page).await?;
        let [x, y] = page.see("grip-side-view").await?.middle;
        drag_finger(&page.driver, [x, y], [x + 400.0, y]).await?;
        moved(&page, &mut entry).await?;
        let bounds = demo_bounds();
        let end = (bounds.high.x * 1e3 + 1e-6).floor();
        let [along, across] = entry.phone_at;
        assert!(
            (f64::from(along) - end).abs() < 0.5 && across == 0,
            "at the bow: {along} of {end}"
        );
        picture(&page.driver, "phone-at-the-bow-390").await?;
        page.tap("state-under").await?;
        page.see_no("phone-place").await?;
        page.see_no("grip-side-view").await?;
        page.tap("state-afloat").await?;
        page.tap("phone-aboard").await?;
        page.see_no("phone-place").await?;
        page.see_no("grip-side-view").await
    })
    .await;
}

/// The box around what of the demonstration boat displaces water.
fn demo_bounds() -> Bounds {
    let boat = demo_boat().expect("fixed sizes");
    FloatModel::new(&boat, Fineness::WORK).expect("a good boat").bounds()
}
