//! On paper: the boat on one page of A4 and one of Letter, a session with its drawing, in ink whatever the theme.

use crate::driver::{FOLDER, on_a_phone, picture, print_to, show_as};
use crate::page::Page;
use thirtyfour::prelude::*;

/// Papers and their sizes, inches.
const PAPERS: [(&str, [f64; 2]); 2] = [("a4", [8.27, 11.69]), ("letter", [8.5, 11.0])];

/// Pages of a document: the objects of that type, which the browser does not compress.
fn n_pages(pdf: &[u8]) -> usize {
    let page = b"/Type /Page";
    let is_one = |at: &[u8]| at.starts_with(page) && at.get(page.len()) != Some(&b's');
    pdf.windows(page.len() + 1).filter(|at| is_one(at)).count()
}

/// Prints on each paper; asserts that it is so many pages.
async fn see_pages(page: &Page, name: &str, n: usize) -> WebDriverResult<()> {
    for (paper, size) in PAPERS {
        let pdf = print_to(&page.driver, &format!("{name}-{paper}"), size).await?;
        assert_eq!(n_pages(&pdf), n, "{name} on {paper}: pages (see artefacts/{name}-{paper}.pdf)");
    }
    Ok(())
}

/// How large the drawing is on paper, CSS pixels.
const DRAWN: &str = r#"
const boxes = [...document.querySelectorAll(".drawing svg")].map((e) => e.getBoundingClientRect());
return boxes.map((b) => [b.width, b.height]).filter(([w, h]) => w > 0 && h > 0);
"#;

#[tokio::test(flavor = "multi_thread")]
async fn the_boat_on_the_bench_is_one_page_of_a4_and_of_letter() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-bench").await?;
        page.tap("boat-leave").await?;
        // Twenty parts in five groups, a tank and four marks.
        page.tap("template-0").await?;
        page.tap("go-boat").await?;
        page.tap("bench-results").await?;
        page.see("bench-print").await?;
        let printed = page.printed_text().await?;
        for words in [
            "Heron",
            "Bench sheet · ",
            "Tanks, empty",
            "All aboard, tanks empty",
            "KB, centre of buoyancy",
            "BM",
            "KG, centre of gravity",
            "GM across, upright",
            "BG",
            "Neutral with tanks",
            "draught",
        ] {
            assert!(printed.contains(words), "{words:?} is on the sheet: {printed}");
        }
        assert!(!printed.contains("Undo") && !printed.contains("Add a part"), "no buttons");
        see_pages(&page, "bench-0", 1).await?;
        // Closer on the screen, and in the dark: on paper as before.
        page.tap("closer").await?;
        page.run::<()>("document.documentElement.dataset.theme = 'night'; return null;", vec![])
            .await?;
        show_as(&page.driver, "print").await?;
        let drawn: Option<Vec<[f64; 2]>> = page.run(DRAWN, vec![]).await?;
        picture(&page.driver, "bench-on-paper").await?;
        let transform = "return getComputedStyle(document.querySelector('.page')).transform;";
        let transform: Option<String> = page.run(transform, vec![]).await?;
        let ink = "return getComputedStyle(document.querySelector('.paper .head')).color;";
        let ink: Option<String> = page.run(ink, vec![]).await?;
        show_as(&page.driver, "").await?;
        assert_eq!(drawn.map(|d| d.len()), Some(1), "one drawing");
        assert_eq!(transform.as_deref(), Some("none"), "the whole boat");
        assert_eq!(ink.as_deref(), Some("rgb(0, 0, 0)"), "black ink");
        see_pages(&page, "bench-closer", 1).await?;
        page.tap("whole-boat").await?;
        // The other whole boats, of eighteen and twenty parts, and in the longer language.
        for boat in 1..4 {
            page.tap("bench-boats").await?;
            page.tap(&format!("template-{boat}")).await?;
            page.tap("go-boat").await?;
            page.tap("bench-results").await?;
            page.see("bench-print").await?;
            see_pages(&page, &format!("bench-{boat}"), 1).await?;
        }
        page.tap("go-diary").await?;
        page.tap("go-settings").await?;
        page.tap("language-de").await?;
        page.tap("go-boat").await?;
        page.see_words("bench-print", "Blatt drucken").await?;
        see_pages(&page, "bench-german", 1).await
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_session_has_the_boat_drawn_on_its_sheet() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        page.tap("keep-reading").await?;
        page.tap("go-diary").await?;
        page.tap("session-now").await?;
        page.see("session-print").await?;
        // Read from the store, it may come a moment later.
        let there = "return document.querySelector('.paper .drawing') ? true : null;";
        page.until("the drawing is made", async || page.run::<bool>(there, vec![]).await).await?;
        show_as(&page.driver, "print").await?;
        let drawn: Option<Vec<[f64; 2]>> = page.run(DRAWN, vec![]).await?;
        show_as(&page.driver, "").await?;
        let drawn = drawn.unwrap_or_default();
        let is_drawn = drawn.first().is_some_and(|[w, h]| *w > 300.0 && *h > 150.0);
        assert!(drawn.len() == 1 && is_drawn, "one drawing: {drawn:?}");
        for (paper, size) in PAPERS {
            print_to(&page.driver, &format!("session-{paper}"), size).await?;
        }
        Ok(())
    })
    .await;
}
