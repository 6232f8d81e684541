//! How a screen is laid out on a desk, on a phone on its side, and on a tablet on end.

use crate::driver::{FOLDER, on_a_phone, picture, resize};
use crate::page::Page;
use serde_json::json;
use thirtyfour::prelude::*;

/// Where the first thing that a selector names lies: left, top, right, bottom, CSS pixels.
async fn lies(page: &Page, selector: &str) -> WebDriverResult<[f64; 4]> {
    let script = r"
        const box = document.querySelector(arguments[0])?.getBoundingClientRect();
        return box?.width ? [box.left, box.top, box.right, box.bottom] : null;
    ";
    let ask = async || page.run(script, vec![json!(selector)]).await;
    page.until(&format!("{selector} is shown"), ask).await
}

#[tokio::test(flavor = "multi_thread")]
async fn on_a_desk_the_drawing_is_beside_the_figures_and_the_curves_beside_each_other() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        resize(&page.driver, 1280, 800).await?;
        page.dive().await?;
        picture(&page.driver, "layout-dive-1280").await?;
        let [_, top, right, bottom] = lies(&page, ".look .drawing").await?;
        let [left, work_top, ..] = lies(&page, ".work").await?;
        assert!(right <= left, "the drawing ends at {right}, the slider begins at {left}");
        assert!(work_top < bottom && top < 800.0, "both begin on the same screen");
        let [[_, a_top, a_right, _], [b_left, b_top, ..]] = [
            lies(&page, ".beside .chart:nth-of-type(1)").await?,
            lies(&page, ".beside .chart:nth-of-type(2)").await?,
        ];
        assert!(a_right <= b_left && (a_top - b_top).abs() < 4.0, "the curves are side by side");
        assert!(a_top < 800.0 - 60.0, "and begin on the screen, at {a_top}");
        Ok(())
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn on_a_phone_on_its_side_a_field_that_is_typed_into_is_above_the_foot() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        page.tap("go-boat").await?;
        page.see("part-13").await?;
        resize(&page.driver, 844, 390).await?;
        page.tap("part-13").await?;
        for field in ["form-name", "form-length", "form-x", "form-z", "form-mass"] {
            page.fill(field, &page.see(field).await?.value).await?;
            let [_, top, _, bottom] = lies(&page, &format!("[data-testid={field}]")).await?;
            let [_, foot, ..] = lies(&page, ".bench-answer").await?;
            assert!(
                top >= 0.0 && bottom <= foot + 0.5,
                "{field}: {top} to {bottom}, foot at {foot}"
            );
        }
        picture(&page.driver, "layout-part-844").await
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn on_a_tablet_on_end_the_drawing_is_no_smaller_than_on_a_phone() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        for screen in ["go-pool", "go-boat"] {
            page.tap(screen).await?;
            let mut widths = Vec::new();
            for (width, height) in [(390, 844), (768, 1024)] {
                resize(&page.driver, width, height).await?;
                let [left, _, right, _] = lies(&page, ".look .drawing svg").await?;
                picture(&page.driver, &format!("layout-{screen}-{width}")).await?;
                widths.push(right - left);
            }
            assert!(widths[1] >= widths[0], "{screen}: {widths:?} on the phone and the tablet");
        }
        Ok(())
    })
    .await;
}
