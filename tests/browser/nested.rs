//! A battery inside a dry tube: what is said of it, and how it is told otherwise.

use crate::driver::{FOLDER, on_a_phone, picture, resize};
use crate::page::Page;
use thirtyfour::prelude::*;

const TUBE: [(&str, &str); 7] = [
    ("name", "tube"),
    ("length", "400"),
    ("diameter", "90"),
    ("x", "300"),
    ("z", "60"),
    ("mass", "900"),
    ("wall", "3"),
];

async fn enter_battery(page: &Page, x: &str) -> WebDriverResult<()> {
    page.tap("shape-box").await?;
    page.see_that("form-name", "is typed into", |seen| seen.focused).await?;
    let size = [("name", "battery"), ("length", "100"), ("width", "40"), ("height", "30")];
    page.type_row(&size).await?;
    page.type_row(&[("x", x), ("z", "60"), ("mass", "300")]).await
}

async fn pictures(page: &Page, name: &str) -> WebDriverResult<()> {
    for (width, height) in [(320, 568), (390, 844)] {
        resize(&page.driver, width, height).await?;
        picture(&page.driver, &format!("{name}-{width}")).await?;
    }
    Ok(())
}

#[tokio::test(flavor = "multi_thread")]
async fn a_battery_in_a_dry_tube_is_said_not_to_displace() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-bench").await?;
        page.type_row(&[("name", "Tern"), ("length", "600"), ("waterline", "90")]).await?;
        page.tap("boat-begin").await?;
        page.tap("add-part").await?;
        page.tap("shape-cylinder").await?;
        page.see_that("form-name", "is typed into", |seen| seen.focused).await?;
        page.type_row(&TUBE).await?;
        page.tap("form-inside-dry").await?;
        page.tap("form-next").await?;
        enter_battery(&page, "300").await?;
        let inside = "Inside “tube”: weighs, does not displace";
        page.see_words("form-displaces-words", inside).await?;
        pictures(&page, "nested-form").await?;
        page.finish().await?;
        page.see_words("part-1", inside).await?;
        pictures(&page, "nested-list").await?;

        page.tap("part-1").await?;
        page.tap("form-displaces-yes").await?;
        page.see_words("form-displaces-words", "Inside “tube”, but set to displace").await?;
        page.tap("form-displaces-by-shape").await?;
        page.see_words("form-displaces-words", inside).await?;

        // Half of it out of the tube's end: 60 ml of the 120 count twice.
        page.fill("form-x", "500").await?;
        page.see_words("form-twice", "60 ml counts twice").await?;
        pictures(&page, "nested-form-twice").await?;
        page.finish().await?;
        page.see_words("counts-twice", "“battery” and “tube”").await?;
        pictures(&page, "nested-twice").await
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_tank_in_the_wet_that_is_partly_in_a_part_is_named_where_the_tanks_are() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-bench").await?;
        page.type_row(&[("name", "Tern"), ("length", "600"), ("waterline", "90")]).await?;
        page.tap("boat-begin").await?;
        page.tap("add-part").await?;
        page.tap("shape-box").await?;
        page.see_that("form-name", "is typed into", |seen| seen.focused).await?;
        page.type_row(&[("name", "block"), ("length", "200"), ("width", "60")]).await?;
        page.type_row(&[("height", "60"), ("x", "300"), ("z", "50"), ("mass", "500")]).await?;
        page.finish().await?;
        page.tap("bench-tanks").await?;
        page.tap("add-tank").await?;
        page.tap("shape-change").await?;
        page.tap("shape-box").await?;
        page.see_that("form-name", "is typed into", |seen| seen.focused).await?;
        page.type_row(&[("name", "side tank"), ("length", "100"), ("width", "40")]).await?;
        page.tap("form-housing-wet").await?;
        // From 180 to 280 mm: 80 mm of it are in the block, which begins at 200.
        page.fill("form-height", "40").await?;
        page.fill("form-x", "230").await?;
        page.fill("form-z", "50").await?;
        page.finish().await?;
        // 80 x 40 x 40 mm.
        page.see_words("counts-twice", "128 ml counts twice").await?;
        page.see_words("counts-twice", "“side tank”").await?;
        pictures(&page, "nested-tanks").await?;
        page.tap("tank-0").await?;
        // From 90 to 190 mm: clear of the block.
        page.fill("form-x", "140").await?;
        page.finish().await?;
        page.see_words("tank-0", "160 ml").await?;
        page.see_no("counts-twice").await
    })
    .await;
}
