//! What makes a boat right before it is ever wet: what lead where, and that it goes into the list.

use crate::driver::{FOLDER, on_a_phone, picture, resize};
use crate::page::Page;
use thirtyfour::prelude::*;

/// Eider, by its place among the boats that come with the app, and its lead, by the lines.
const EIDER: usize = 1;
const LEAD: [&str; 2] = ["part-16", "part-17"];

async fn leave_ashore(page: &Page, line: &str) -> WebDriverResult<()> {
    page.tap(line).await?;
    page.unfold().await?;
    page.tap("form-status-taken-out").await?;
    page.finish().await
}

#[tokio::test(flavor = "multi_thread")]
async fn a_boat_without_its_lead_is_told_what_lead_where_and_is_right_with_it() {
    on_a_phone(FOLDER, |page| async move {
        page.take_template(EIDER).await?;
        page.tap("bench-parts").await?;
        for line in LEAD {
            page.see_words(line, "lead").await?;
            leave_ashore(&page, line).await?;
        }
        page.tap("bench-results").await?;
        let told = page.see_words("ballast-for-it", "of lead").await?;
        assert!(told.text.contains("on the keel"), "where: {}", told.text);
        assert!(told.text.contains("✓ Afloat"), "right afloat: {}", told.text);
        assert!(told.text.contains("✓ Under water"), "and under: {}", told.text);
        for (width, height) in [(320, 568), (390, 844)] {
            resize(&page.driver, width, height).await?;
            let here = "find('ballast-for-it').scrollIntoView({ block: 'center' }); return null;";
            page.run::<()>(here, vec![]).await?;
            picture(&page.driver, &format!("ballast-for-it-{width}")).await?;
        }
        page.tap("put-in-the-list").await?;
        page.see_words("ballast-for-it", "No ballast needed").await?;
        page.tap("bench-parts").await?;
        page.see_words("part-18", "Lead").await?;
        // One step back takes it out again.
        page.tap("undo-change").await?;
        page.see_no("part-18").await
    })
    .await;
}
