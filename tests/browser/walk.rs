//! A builder who goes to and fro between the surface and under water: no advice takes back another, and what one
//! weight cannot do is said.

use crate::driver::{FOLDER, on_a_phone, picture, resize};
use crate::expected::Entry;
use crate::page::Page;
use thirtyfour::prelude::*;

/// Types a reading; what is said.
async fn read(page: &Page, entry: &Entry) -> WebDriverResult<String> {
    page.enter(entry).await?;
    let [main, place] = [page.see("answer-main").await?.text, page.see("answer-place").await?.text];
    let after = page.see("answer-after").await?.text;
    let said = format!("{main} | {place} | {after}").replace('\n', " / ");
    println!("{entry:?}\n    {said}");
    Ok(said)
}

async fn keep(page: &Page) -> WebDriverResult<()> {
    page.tap("keep-reading").await?;
    page.see_kept().await.map(drop)
}

fn afloat(mm: f64) -> Entry {
    Entry { marks: vec![("stern", mm), ("bow", mm)], list: Some(0.0), ..Entry::default() }
}

fn under(grams: f64) -> Entry {
    Entry { heavy: Some(grams), list: Some(0.0), trim: Some(0.0), ..Entry::default() }
}

#[tokio::test(flavor = "multi_thread")]
async fn to_and_fro_between_surface_and_under() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        read(&page, &afloat(0.0)).await?;
        keep(&page).await?;
        read(&page, &under(150.0)).await?;
        picture(&page.driver, "walk-under").await?;
        keep(&page).await?;
        let kind = page.see("answer").await?.attributes["data-kind"].clone();
        if kind != "leave" {
            page.tap("keep-reading").await?;
        }
        read(&page, &afloat(-3.0)).await?;
        keep(&page).await?;
        let kind = page.see("answer").await?.attributes["data-kind"].clone();
        if kind != "leave" {
            page.tap("keep-reading").await?;
        }
        read(&page, &under(150.0)).await?;
        read(&page, &under(250.0)).await?;
        resize(&page.driver, 320, 568).await?;
        picture(&page.driver, "walk-320").await
    })
    .await;
}
