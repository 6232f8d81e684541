//! Holding the tilt button reads the phone's sensor; without one the app says so.

use crate::driver::{FOLDER, on_a_phone, picture, set_tilt};
use crate::page::{Page, Seen};
use std::time::Duration;
use thirtyfour::prelude::*;
use tokio::time::sleep;

/// A still phone's sensor flickers by its last digit, degrees; one that does not is not heard twice.
const FLICKER: [f64; 6] = [0.02, -0.02, 0.02, -0.02, 0.02, -0.02];
const BETWEEN_SAMPLES: Duration = Duration::from_millis(60);
/// What the average of the samples may be off, degrees: half of the last digit, and a sample lost.
const CLOSE: f64 = 0.06;

async fn see_value(page: &Page, id: &str, value: f64) -> WebDriverResult<Seen> {
    let is_so = |seen: &Seen| {
        seen.value.replace(',', ".").parse::<f64>().is_ok_and(|got| (got - value).abs() < CLOSE)
    };
    page.see_that(id, &format!("shows {value}"), is_so).await
}

/// Lets the sensor say an attitude for a while.
async fn lie_at(page: &Page, beta: f64, gamma: f64) -> WebDriverResult<()> {
    for flicker in FLICKER {
        set_tilt(&page.driver, beta + flicker, gamma + flicker).await?;
        sleep(BETWEEN_SAMPLES).await;
    }
    Ok(())
}

async fn hold_at(page: &Page, beta: f64, gamma: f64) -> WebDriverResult<()> {
    set_tilt(&page.driver, beta, gamma).await?;
    page.hold("tilt-hold", async || lie_at(page, beta, gamma).await).await
}

#[tokio::test(flavor = "multi_thread")]
async fn holding_the_tilt_button_takes_list_and_trim_with_the_right_words() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        page.see("answer").await?;
        // Right side down is starboard down; top up is bow up.
        hold_at(&page, 2.0, 3.4).await?;
        see_value(&page, "list-value", 3.4).await?;
        page.see_words("list-side", "to starboard").await?;
        see_value(&page, "trim-value", 2.0).await?;
        page.see_words("trim-side", "stern down").await?;
        picture(&page.driver, "tilt-held").await?;

        hold_at(&page, -1.5, -2.6).await?;
        see_value(&page, "list-value", 2.6).await?;
        page.see_words("list-side", "to port").await?;
        see_value(&page, "trim-value", 1.5).await?;
        page.see_words("trim-side", "bow down").await?;

        // Let go is kept: the sensor says something else now.
        set_tilt(&page.driver, 20.0, 30.0).await?;
        page.reload().await?;
        see_value(&page, "list-value", 2.6).await.map(drop)
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_short_tap_on_the_tilt_button_reads_too() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        page.see("answer").await?;
        set_tilt(&page.driver, -3.0, 1.2).await?;
        page.hold("tilt-hold", async || Ok(())).await?;
        lie_at(&page, -3.0, 1.2).await?;
        see_value(&page, "list-value", 1.2).await?;
        see_value(&page, "trim-value", 3.0).await?;
        page.see_words("trim-side", "bow down").await.map(drop)
    })
    .await;
}

/// What an iPhone adds: a question that may be asked only while a touch ends, not while one begins.
const IPHONE: &str = r#"
DeviceOrientationEvent.requestPermission = () => {
  const allowed = ["click", "keydown", "pointerup", "touchend"].includes(window.event?.type);
  if (allowed) window.granted = true;
  return allowed || window.granted
    ? Promise.resolve("granted")
    : Promise.reject(new DOMException("it takes a tap", "NotAllowedError"));
};
"#;

#[tokio::test(flavor = "multi_thread")]
async fn an_iphone_is_asked_where_it_lets_itself_be_asked() {
    on_a_phone(FOLDER, |page| async move {
        page.run::<()>(&format!("{IPHONE} return null;"), vec![]).await?;
        page.tap("start-demo").await?;
        page.see("answer").await?;
        // The first may go to the question.
        for _ in 0..2 {
            hold_at(&page, 2.0, -4.4).await?;
        }
        see_value(&page, "list-value", 4.4).await?;
        page.see_words("list-side", "to port").await?;
        see_value(&page, "trim-value", 2.0).await.map(drop)
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn without_a_sensor_the_note_says_so_and_nothing_changes() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        let before = page.see("list-value").await?.value;
        page.hold("tilt-hold", async || {
            sleep(BETWEEN_SAMPLES).await;
            Ok(())
        })
        .await?;
        let note = page.see_words("tilt-note", "no ").await?.text.to_lowercase();
        assert!(note.contains("sensor") || note.contains("tilt"), "it says what: {note:?}");
        let after = page.see("list-value").await?.value;
        assert_eq!(after, before, "the list stays as it was typed");
        picture(&page.driver, "tilt-no-sensor").await
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn the_zero_of_the_phone_is_found_by_turning_it_and_taken_off() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        page.see("answer").await?;
        // The boat lists 2.0° to starboard and trims 1.0° bow down; the phone adds 0.6° and 0.4°.
        page.tap("find-zero").await?;
        page.see_words("tilt-note", "1 of 2").await?;
        hold_at(&page, -1.4, 2.6).await?;
        page.see_words("tilt-note", "2 of 2").await?;
        hold_at(&page, 0.6, -1.4).await?;
        page.see_words("tilt-note", "Phone zeroed").await?;
        see_value(&page, "list-value", 2.0).await?;
        page.see_words("list-side", "to starboard").await?;
        see_value(&page, "trim-value", 1.0).await?;
        page.see_words("trim-side", "bow down").await?;
        picture(&page.driver, "tilt-zero").await?;
        // Kept: after a reload an ordinary reading has it taken off.
        page.reload().await?;
        hold_at(&page, -1.4, 2.6).await?;
        see_value(&page, "list-value", 2.0).await.map(drop)
    })
    .await;
}
