//! The three themes, and pictures of every screen in each of them for people to look at.

use crate::driver::{FOLDER, on_a_phone, picture, resize};
use crate::page::{Page, Seen};
use thirtyfour::prelude::*;

const THEMES: [&str; 3] = ["paper", "night", "sun"];
const SCREENS: [&str; 3] = ["pool", "boat", "diary"];
/// A usual and a small phone, CSS pixels.
const PHONES: [(u32, u32); 2] = [(390, 844), (320, 568)];

async fn theme(page: &Page) -> WebDriverResult<String> {
    let theme = "return document.documentElement.dataset.theme ?? '';";
    Ok(page.run(theme, vec![]).await?.unwrap_or_default())
}

async fn see_theme(page: &Page, name: &str) -> WebDriverResult<()> {
    let is_on = async || Ok((theme(page).await? == name).then_some(()));
    page.until(&format!("the theme is {name}"), is_on).await
}

/// Pictures show a screen from its top.
async fn go_to(page: &Page, screen: &str) -> WebDriverResult<()> {
    page.tap(&format!("go-{screen}")).await?;
    page.run::<()>("scrollTo(0, 0); return null;", vec![]).await.map(drop)
}

#[tokio::test(flavor = "multi_thread")]
async fn the_theme_can_be_chosen_and_stays() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        page.tap("keep-reading").await?;
        for name in THEMES {
            resize(&page.driver, 390, 844).await?;
            page.tap("go-boat").await?;
            page.tap(&format!("theme-{name}")).await?;
            see_theme(&page, name).await?;
            for (width, height) in PHONES {
                resize(&page.driver, width, height).await?;
                for screen in SCREENS {
                    go_to(&page, screen).await?;
                    picture(&page.driver, &format!("{screen}-{name}-{width}")).await?;
                }
            }
            page.reload().await?;
            see_theme(&page, name).await?;
        }
        Ok(())
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn on_a_wide_screen_the_answer_is_beside_the_entries() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        resize(&page.driver, 1280, 800).await?;
        go_to(&page, "pool").await?;
        let in_view = |seen: &Seen| seen.in_view;
        page.see_that("answer-main", "is on the screen whole", in_view).await?;
        page.see_that("mark-bow-more", "is on the screen whole", in_view).await?;
        picture(&page.driver, "pool-paper-1280").await
    })
    .await;
}
