//! The alarm: a boat that is not the one that was read before. It stands before any advice, is heard, says what it may
//! be, and ends when the boat is said to be a new one, or the figure misread.

use crate::driver::{FOLDER, on_a_phone, picture, resize};
use crate::page::Page;
use thirtyfour::prelude::*;

/// A usual and a small phone, CSS pixels.
const PHONES: [(u32, u32); 2] = [(390, 844), (320, 568)];

async fn read(page: &Page, [stern, bow]: [f64; 2]) -> WebDriverResult<()> {
    page.enter_mark("stern", Some(stern)).await?;
    page.enter_mark("bow", Some(bow)).await?;
    page.fill("list-value", "0.2").await?;
    page.run::<()>("document.activeElement?.blur(); return null;", vec![]).await.map(drop)
}

/// A boat that was read and is right, and then floats so much deeper that some hundred grams came aboard.
async fn leaks(page: &Page) -> WebDriverResult<()> {
    page.tap("start-demo").await?;
    read(page, [0.0, 0.0]).await?;
    page.see_no("alarm").await?;
    page.tap("keep-reading").await?;
    page.see_kept().await?;
    read(page, [7.0, 7.0]).await
}

#[tokio::test(flavor = "multi_thread")]
async fn a_leak_is_told_before_any_advice() {
    on_a_phone(FOLDER, |page| async move {
        leaks(&page).await?;
        let main = page.see_words("alarm-main", "Heavier by").await?;
        assert!(main.shown, "{main:?}");
        page.see_words("alarm-where", "Since it was read at").await?;
        page.see_words("alarm-suspects", "Water in hull").await?;
        let text = page.see("alarm").await?.text;
        assert!(text.contains("Bring it in"), "what to do: {text}");
        assert!(text.contains("Cells that met water"), "what is dangerous: {text}");
        let first = "const all = find('answer').querySelectorAll('strong');
            return all[0] === find('alarm-main');";
        assert_eq!(page.run::<bool>(first, vec![]).await?, Some(true), "before the advice");
        let heard = page.see_words("spoken-alarm", "Heavier by").await?;
        assert_eq!(heard.attributes.get("role").map(String::as_str), Some("alert"), "{heard:?}");
        for (width, height) in PHONES {
            resize(&page.driver, width, height).await?;
            page.is_at_rest().await?;
            picture(&page.driver, &format!("alarm-{width}")).await?;
            let over = "return document.documentElement.scrollWidth - innerWidth;";
            assert_eq!(page.run::<i32>(over, vec![]).await?, Some(0), "too wide at {width}");
        }
        Ok(())
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn from_a_new_boat_on_nothing_is_compared_with_what_was_before() {
    on_a_phone(FOLDER, |page| async move {
        leaks(&page).await?;
        page.see_words("alarm-main", "Heavier by").await?;
        page.tap("keep-reading").await?;
        page.see_kept().await?;
        page.tap("alarm-new-boat").await?;
        page.see_no("alarm").await?;
        page.see_words("pool-message", "A new boat from here").await?;
        page.tap("undo").await?;
        page.see_words("alarm-main", "Heavier by").await?;
        page.tap("alarm-new-boat").await?;
        page.see_no("alarm").await?;
        page.see_kept().await?;
        page.reload().await?;
        page.see("answer-main").await?;
        page.see_no("alarm").await?;
        page.tap("go-diary").await?;
        page.tap("session-now").await?;
        page.see_words("entry-1", "A new boat from here").await?;
        page.see_words("entry-1", "Heavier by").await.map(drop)
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn what_was_misread_goes_and_its_field_is_there_to_be_read_again() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        read(&page, [0.0, 0.0]).await?;
        page.tap("keep-reading").await?;
        page.see_kept().await?;
        // The bow as it was read, but with the list of another boat.
        page.fill("list-value", "9").await?;
        page.run::<()>("document.activeElement?.blur(); return null;", vec![]).await?;
        page.see("alarm").await?;
        page.see_words("alarm-suspects", "Misread: list").await?;
        page.tap("keep-reading").await?;
        page.see_kept().await?;
        page.tap("alarm-misread").await?;
        page.see_that("list-value", "has the focus", |seen| seen.focused).await?;
        page.see_words("pool-message", "Entry removed").await?;
        page.fill("list-value", "0.3").await?;
        page.see_no("alarm").await
    })
    .await;
}
