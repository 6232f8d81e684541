//! What is right under water: judged through the tanks, and changed on the bench.

use crate::driver::{FOLDER, on_a_phone, picture};

/// Heron, read with its tank full: 70 g heavy, and its tank makes it neutral.
const SEVENTY_HEAVY: &str = "70";

#[tokio::test(flavor = "multi_thread")]
async fn a_boat_that_its_tank_makes_neutral_is_right_and_says_at_what_fill() {
    on_a_phone(FOLDER, |page| async move {
        page.take_template(0).await?;
        page.tap("go-pool").await?;
        page.tap("state-under").await?;
        page.enter_sided("residual", SEVENTY_HEAVY.parse().ok(), ["heavy", "light"]).await?;
        page.enter_sided("list", Some(0.0), ["to starboard", "to port"]).await?;
        // With its tank full it hangs by the bow; at the fill that makes it neutral it is level.
        page.enter_sided("trim", Some(1.1), ["bow down", "stern down"]).await?;
        // Source: `tests/data/template/heron.json`, by an independent program: 656 ml can be used, and
        // 70 g of them are too much: 89 %.
        page.see_words("answer-main", "Right: neutral at 89").await?;
        page.tap("answer-whole").await?;
        page.see_words("answer-other", "✓ Afloat").await?;
        picture(&page.driver, "aim-right").await?;

        // Tanks that are blown or full: the same boat is heavy then.
        page.tap("go-boat").await?;
        page.tap("bench-tanks").await?;
        page.see_words("aim", "60").await?;
        page.tap("aim").await?;
        page.tap("form-tanks-whole").await?;
        picture(&page.driver, "aim-form").await?;
        page.finish().await?;
        page.see_words("aim", "10 g light to 40 g light").await?;
        page.see_kept().await?;
        page.reload().await?;
        page.tap("go-pool").await?;
        page.see_words("answer-main", "Take off").await.map(drop)
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_boat_that_lies_over_is_told_so_first_and_gets_no_weight_to_one_side() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        for degrees in [40.0, 75.0] {
            page.enter_sided("list", Some(degrees), ["to starboard", "to port"]).await?;
            page.see_words("answer-main", "It lies over").await?;
            page.tap("answer-whole").await?;
            let place = page.see("answer-place").await?.text;
            assert!(place.contains("no weight to one side"), "{degrees}: {place}");
        }
        Ok(())
    })
    .await;
}
