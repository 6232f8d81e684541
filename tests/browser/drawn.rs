//! The letters and the words in the drawing do not lie on one another, at any size, and what is drawn larger says
//! so; an empty result says what is still to be entered.

use crate::driver::{FOLDER, on_a_phone, picture, resize};
use crate::page::Page;
use thirtyfour::prelude::*;

/// Letters and words of the drawing that lie on one another, or are cut off at its edge.
const COVERED: &str = r#"
const svg = document.querySelector(".drawing svg").getBoundingClientRect();
const signs = [...document.querySelectorAll(".drawing .sign > .ground, .drawing .sign g > .ground")];
const texts = [...document.querySelectorAll(".drawing text")].filter((e) => !e.closest(".block"));
const things = [...texts, ...signs].map((e) => [e.textContent || e.closest("[class^=at-]").className.baseVal,
  e.getBoundingClientRect()]).filter(([, b]) => b.width > 0 &&
    b.right > svg.left && b.left < svg.right && b.bottom > svg.top && b.top < svg.bottom);
const found = [];
things.forEach(([a, p], i) => {
  if (p.left < svg.left - 1 || p.right > svg.right + 1 || p.top < svg.top - 1 || p.bottom > svg.bottom + 1)
    found.push(`${a} is cut off`);
  things.slice(i + 1).forEach(([b, q]) => {
    // Signs stand where the boat's centres are, be it in one place.
    if (a.startsWith("at-") && b.startsWith("at-")) return;
    // A text's box is higher than its letters.
    const over = Math.min(p.right, q.right) - Math.max(p.left, q.left);
    const high = Math.min(p.bottom, q.bottom) - Math.max(p.top, q.top);
    if (over > 2 && high > 4) found.push(`${a} lies on ${b}`);
  });
});
return found;
"#;

async fn see_apart(page: &Page, how: &str) -> WebDriverResult<()> {
    // The boat settles before it is looked at.
    let ask = async || {
        Ok(page.run::<Vec<String>>(COVERED, vec![]).await?.filter(Vec::is_empty).map(drop))
    };
    if page.wait_for(ask).await?.is_none() {
        picture(&page.driver, &format!("failed-drawn-{}", how.replace(' ', "-"))).await?;
        let found = page.run::<Vec<String>>(COVERED, vec![]).await?.unwrap_or_default();
        panic!("{how}: {found:?}");
    }
    Ok(())
}

#[tokio::test(flavor = "multi_thread")]
async fn letters_and_words_do_not_lie_on_one_another() {
    on_a_phone(FOLDER, |page| async move {
        for boat in 0..4 {
            page.tap(if boat == 0 { "start-bench" } else { "go-boat" }).await?;
            if boat == 0 {
                page.tap("boat-leave").await?;
            } else {
                page.tap("bench-boats").await?;
            }
            page.tap(&format!("template-{boat}")).await?;
            page.tap("go-boat").await?;
            page.tap("bench-results").await?;
            for (width, height) in [(390, 844), (320, 568)] {
                resize(&page.driver, width, height).await?;
                for view in ["side", "plan"] {
                    page.tap(&format!("view-{view}")).await?;
                    see_apart(&page, &format!("boat {boat} {view} {width}")).await?;
                    picture(&page.driver, &format!("drawn-{boat}-{view}-{width}")).await?;
                }
                page.tap("view-side").await?;
            }
            resize(&page.driver, 390, 844).await?;
        }
        Ok(())
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn what_is_drawn_larger_says_so_however_close_it_is_seen() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        page.tap("go-boat").await?;
        // A weight moved forward: it trims by a little.
        page.tap("part-1").await?;
        page.fill("form-x", "120").await?;
        page.finish().await?;
        page.tap("bench-results").await?;
        let said = r#"
            const box = document.querySelector(".drawing .note")?.getBoundingClientRect();
            const svg = document.querySelector(".drawing svg").getBoundingClientRect();
            return box && box.left >= svg.left && box.bottom <= svg.bottom && box.width > 30 || null;
        "#;
        for taps in 0..4 {
            if taps > 0 {
                page.tap("closer").await?;
            }
            let ask = async || page.run::<bool>(said, vec![]).await;
            page.until(&format!("{taps} times closer it is said"), ask).await?;
        }
        picture(&page.driver, "drawn-larger").await?;
        // From above no angle is drawn.
        page.tap("view-plan").await?;
        let none = "return document.querySelector('.drawing .note') ? null : true;";
        page.until("nothing is said", async || page.run::<bool>(none, vec![]).await).await.map(drop)
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn an_empty_result_leads_to_what_is_still_to_be_entered() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-bench").await?;
        page.type_row(&[("name", "Tern"), ("length", "600"), ("waterline", "60")]).await?;
        page.tap("boat-begin").await?;
        page.tap("bench-results").await?;
        for what in ["shape", "mass", "tank"] {
            page.see(&format!("missing-{what}")).await?;
        }
        // The waterline made the marks.
        page.see_no("missing-marks").await?;
        page.see_no("facts-afloat").await?;
        page.see_no("bench-print").await?;
        picture(&page.driver, "result-empty").await?;
        page.tap("missing-shape").await?;
        page.tap("shape-cylinder").await?;
        page.see_that("form-name", "is typed into", |seen| seen.focused).await?;
        page.type_row(&[("name", "hull"), ("length", "600"), ("diameter", "90")]).await?;
        page.type_row(&[("x", "300"), ("z", "60"), ("mass", "2000")]).await?;
        page.finish().await?;
        // Back in the result, which is there now.
        page.see("facts-afloat").await?;
        page.see_no("missing-shape").await
    })
    .await;
}
