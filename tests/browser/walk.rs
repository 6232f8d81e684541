//! A builder who goes to and fro between the surface and under water: no advice takes back another, and what one
//! weight cannot do is said.

use crate::driver::{FOLDER, on_a_phone, picture, resize};
use crate::expected::Entry;
use crate::page::Page;
use thirtyfour::prelude::*;

/// Types a reading and keeps it; what is advised, in a word and in words.
async fn read(page: &Page, entry: &Entry) -> WebDriverResult<[String; 2]> {
    page.enter(entry).await?;
    page.see("answer-after").await?;
    page.tap("keep-reading").await?;
    page.see_kept().await?;
    let kind = page.see("answer").await?.attributes["data-kind"].clone();
    Ok([kind, page.see("answer-main").await?.text])
}

fn afloat(mm: f64) -> Entry {
    Entry { marks: vec![("stern", mm), ("bow", mm)], list: Some(0.0), ..Entry::default() }
}

/// Read with its tanks full.
fn under(grams: f64, trim: f64) -> Entry {
    Entry { heavy: Some(grams), list: Some(0.0), trim: Some(trim), ..Entry::default() }
}

#[tokio::test(flavor = "multi_thread")]
async fn to_and_fro_nothing_is_taken_back() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        for (entry, wanted) in [
            (afloat(0.0), "Right. Leave it alone"),
            // Right at its marks: what it is heavy by under water is the tank's to take back.
            (under(150.0, 1.0), "Right: neutral"),
            // A millimetre and a half high, and at its marks before: between the two is what is inside the reading.
            (afloat(-1.5), "Right. Leave it alone"),
            (under(150.0, 1.0), "Right: neutral"),
        ] {
            let [kind, main] = read(&page, &entry).await?;
            assert!(kind == "leave" && main.starts_with(wanted), "{entry:?}: {kind}, {main}");
        }
        let after = page.see("answer-after").await?.text;
        assert!(after.starts_with('\u{2713}') && after.contains("neutral"), "{after}");
        picture(&page.driver, "walk-under").await?;
        resize(&page.driver, 320, 568).await?;
        picture(&page.driver, "walk-320").await
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn what_the_tanks_change_is_no_tick() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        read(&page, &afloat(0.0)).await?;
        // Level with its tanks full, it is not with less in them: that is to be read there.
        let [kind, main] = read(&page, &under(150.0, 0.3)).await?;
        assert!(kind == "leave" && main.starts_with("Neutral at"), "{kind}, {main}");
        let after = page.see("answer-after").await?.text;
        assert!(after.starts_with('!') && after.contains("stern down"), "{after}");
        page.see_words("answer-place", "and read again").await?;
        picture(&page.driver, "walk-read-it-there").await
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn what_weight_cannot_do_is_said() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        read(&page, &afloat(0.0)).await?;
        let [kind, main] = read(&page, &under(-150.0, 0.0)).await?;
        assert_eq!(kind, "tank", "more weight would put it below its marks: {main}");
        page.see_words("answer-place", "air").await?;
        picture(&page.driver, "walk-tank").await
    })
    .await;
}
