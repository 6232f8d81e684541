//! Holding the tilt button reads the phone's sensor; without one the app says so.

use crate::driver::{FOLDER, on_a_phone, picture, set_tilt};
use crate::page::{Page, Seen};
use std::time::Duration;
use thirtyfour::prelude::*;
use tokio::time::sleep;

/// The sensor says the same again and again, as that of a phone that lies still does.
const SAMPLES: u32 = 5;
const BETWEEN_SAMPLES: Duration = Duration::from_millis(60);

async fn see_value(page: &Page, id: &str, value: f64) -> WebDriverResult<Seen> {
    let is_so = |seen: &Seen| {
        seen.value.replace(',', ".").parse::<f64>().is_ok_and(|got| (got - value).abs() < 1e-9)
    };
    page.see_that(id, &format!("shows {value}"), is_so).await
}

async fn hold_at(page: &Page, beta: f64, gamma: f64) -> WebDriverResult<()> {
    set_tilt(&page.driver, beta, gamma).await?;
    page.hold("tilt-hold", async || {
        for _ in 0..SAMPLES {
            set_tilt(&page.driver, beta, gamma).await?;
            sleep(BETWEEN_SAMPLES).await;
        }
        Ok(())
    })
    .await
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
        for _ in 0..SAMPLES {
            set_tilt(&page.driver, -3.0, 1.2).await?;
            sleep(BETWEEN_SAMPLES).await;
        }
        see_value(&page, "list-value", 1.2).await?;
        see_value(&page, "trim-value", 3.0).await?;
        page.see_words("trim-side", "bow down").await.map(drop)
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
