//! Wet thumbs at the pool: what is touched does what was meant, and nothing else; what was chosen is
//! said, and nothing wrong is drawn.

use crate::driver::{FOLDER, drag_finger, finger, on_a_phone, picture, resize};
use crate::expected::{Entry, demo_answer};
use crate::page::{Page, Seen};
use crate::sight::see_both;
use serde_json::json;
use std::time::Duration;
use thirtyfour::prelude::*;
use tokio::time::sleep;

/// The middle of something on the screen, CSS pixels, after the page was scrolled until it is in the
/// middle of the screen.
async fn middle_of(page: &Page, id: &str) -> WebDriverResult<[f64; 2]> {
    let script = r#"find(arguments[0]).scrollIntoView({ block: "center" }); return null;"#;
    page.run::<()>(script, vec![json!(id)]).await?;
    Ok(page.see(id).await?.middle)
}

/// A short tap of a finger.
async fn tap_with_finger(page: &Page, id: &str) -> WebDriverResult<()> {
    let at = middle_of(page, id).await?;
    finger(&page.driver, Some(at)).await?;
    finger(&page.driver, None).await
}

#[tokio::test(flavor = "multi_thread")]
async fn a_finger_that_scrolls_steps_nothing_and_one_that_taps_or_stays_does() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        for (figure, before, after) in [("mark-bow", "6", "5"), ("list", "1.8", "1.9")] {
            let [button, value] = ["more", "value"].map(|part| format!("{figure}-{part}"));
            let [x, y] = middle_of(&page, &button).await?;
            let scrolled = "return scrollY;";
            let from: f64 = page.run(scrolled, vec![]).await?.expect("a number");
            drag_finger(&page.driver, [x, y], [x, y - 200.0]).await?;
            let moved = async || {
                let to: Option<f64> = page.run(scrolled, vec![]).await?;
                Ok(to.filter(|to| (to - from).abs() > 60.0))
            };
            page.until("the page was scrolled", moved).await?;
            // A tap on a page that still glides only stops it.
            let stands = async || {
                let before: Option<f64> = page.run(scrolled, vec![]).await?;
                sleep(Duration::from_millis(200)).await;
                Ok(page.run::<f64>(scrolled, vec![]).await?.filter(|now| Some(*now) == before))
            };
            page.until("the page stands", stands).await?;
            assert_eq!(page.see(&value).await?.value, before, "{figure}: a scroll steps nothing");
            tap_with_finger(&page, &button).await?;
            let steps = |seen: &Seen| seen.value == after;
            page.see_that(&value, "goes one step on", steps).await?;
            page.hold(&button, async || {
                let goes_on = |seen: &Seen| {
                    let figure = |text: &str| text.parse::<f64>().unwrap_or(f64::NAN);
                    (figure(&seen.value) - figure(after)).abs()
                        > 2.9 * (figure(after) - figure(before)).abs()
                };
                page.see_that(&value, "goes on while it is held", goes_on).await.map(drop)
            })
            .await?;
        }
        Ok(())
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn list_trim_and_grams_are_set_without_a_keyboard() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        for (button, taps) in [("list-less", 3), ("trim-more", 2)] {
            for _ in 0..taps {
                page.tap(button).await?;
            }
        }
        page.see_words("list-side", "to starboard").await?;
        page.see_words("trim-side", "bow down").await?;
        let entry = Entry {
            marks: vec![("stern", -1.0), ("bow", -6.0)],
            list: Some(1.5),
            trim: Some(0.2),
            ..Entry::default()
        };
        page.see_answer(&demo_answer(&entry)).await?;
        page.tap("trim-less").await?;
        page.tap("trim-less").await?;
        page.see_words("trim-side", "level").await?;
        page.tap("trim-less").await?;
        page.see_words("trim-side", "stern down").await?;
        page.tap("state-under").await?;
        page.tap("residual-less").await?;
        page.see_words("residual-side", "light").await?;
        for _ in 0..3 {
            page.tap("residual-more").await?;
        }
        page.see_words("residual-side", "heavy").await?;
        assert_eq!(page.see("residual-value").await?.value, "2", "one gram at a time");
        Ok(())
    })
    .await;
}

/// The keyboard's "next" key.
const NEXT: &str = "\u{e007}";

#[tokio::test(flavor = "multi_thread")]
async fn next_goes_to_the_next_empty_field() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        let has_focus = |seen: &Seen| seen.focused;
        // List has a figure, and the weight to shift is none of the reading's.
        page.tap("mark-stern-value").await?;
        page.press(NEXT).await?;
        page.see_that("trim-value", "has the focus", has_focus).await?;
        page.press(NEXT).await?;
        page.see_that("trim-value", "has it no longer", |seen| !seen.focused).await?;
        page.tap("go-boat").await?;
        page.tap("bench-boats").await?;
        page.tap("start-quick").await?;
        page.fill("quick-beam", "100").await?;
        page.tap("quick-length").await?;
        page.press(NEXT).await?;
        page.see_that("quick-depth", "has the focus", has_focus).await.map(drop)
    })
    .await;
}

/// How far two things lie apart, CSS pixels, up and down.
const APART: &str = r"
const [a, b] = [...arguments].map((id) => find(id).getBoundingClientRect());
return Math.max(a.top - b.bottom, b.top - a.bottom);
";

#[tokio::test(flavor = "multi_thread")]
async fn clearing_and_taking_it_back_are_where_the_figures_are() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        for (width, height) in [(390, 844), (320, 568)] {
            resize(&page.driver, width, height).await?;
            page.tap("new-reading").await?;
            page.see_that("list-value", "is empty", |seen| seen.value.is_empty()).await?;
            let undo = page.see_that("undo", "is in sight", |seen| seen.in_view).await?;
            let [clear, figure] = ["new-reading", "trim-value"];
            for (one, other) in [("undo", clear), (clear, figure)] {
                let apart: Option<f64> = page.run(APART, vec![json!(one), json!(other)]).await?;
                let apart = apart.expect("both are there");
                assert!(apart < 120.0, "{one} lies {apart} from {other}: {undo:?}");
            }
            see_both(&page, "after clearing", "", &["undo"]).await?;
            page.tap("undo").await?;
            page.see_that("list-value", "has its figure", |seen| seen.value == "1.8").await?;
        }
        Ok(())
    })
    .await;
}

/// Chooses a part to be shifted.
const SHIFT: &str = r#"
const list = find("shift-part");
list.value = arguments[0];
list.dispatchEvent(new Event("change", { bubbles: true }));
return list.value;
"#;

#[tokio::test(flavor = "multi_thread")]
async fn a_shift_that_leaves_the_boat_too_light_says_so_and_can_be_left_where_the_answer_is() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        let mut entry = Entry {
            marks: vec![("stern", -8.0), ("bow", -12.0)],
            list: Some(1.5),
            ..Entry::default()
        };
        page.enter(&entry).await?;
        let put = demo_answer(&entry);
        assert_eq!(put.kind, "add", "the boat is too light");
        page.see_answer(&put).await?;
        page.see_no("answer-shifted").await?;
        let offered = "return [...find('shift-part').options].map((o) => o.value);";
        let offered: Vec<String> = page.run(offered, vec![]).await?.unwrap_or_default();
        assert!(offered.iter().any(|name| name == "battery"), "what lies inside: {offered:?}");
        let of_hull = |name: &String| name == "hull" || name.starts_with("casing");
        assert!(!offered.iter().any(of_hull), "what can't be moved: {offered:?}");
        let chosen: Option<String> = page.run(SHIFT, vec![json!("battery")]).await?;
        assert_eq!(chosen.as_deref(), Some("battery"), "it can be chosen");
        page.see_words("answer-shifted", "battery").await?;
        page.see_words("answer-left", "too light").await?;
        picture(&page.driver, "hands-shifted").await?;
        page.tap("answer-weight").await?;
        entry.shift = None;
        page.see_answer(&put).await?;
        page.see_no("answer-left").await
    })
    .await;
}

/// How high a mark is drawn, from the top of the drawing.
const MARK_HEIGHT: &str = r#"
const svg = document.querySelector(".drawing svg").getBoundingClientRect();
const mark = find("draw-mark-midship").getBoundingClientRect();
return mark.top + mark.height / 2 - svg.top;
"#;

async fn see_mark_at(page: &Page, height: f64, words: &str) -> WebDriverResult<()> {
    let ask = async || {
        let is: Option<f64> = page.run(MARK_HEIGHT, vec![]).await?;
        Ok(is.filter(|is| (is - height).abs() < 1.0))
    };
    page.until(&format!("{words}: the mark is {height} below the top"), ask).await.map(drop)
}

#[tokio::test(flavor = "multi_thread")]
async fn a_figure_that_cannot_be_read_draws_no_other_boat() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        // Water at the marks: the surface runs through them.
        page.tap("new-reading").await?;
        page.see_that("list-value", "is empty", |seen| seen.value.is_empty()).await?;
        // The boat settles.
        let settled = async || {
            let heights = [page.run::<f64>(MARK_HEIGHT, vec![]).await?];
            sleep(Duration::from_millis(400)).await;
            let again = page.run::<f64>(MARK_HEIGHT, vec![]).await?;
            Ok(again.filter(|_| heights[0] == again))
        };
        let afloat = page.until("the boat has settled", settled).await?;
        page.fill("list-value", "abc").await?;
        page.see_words("list-value-error", "not a number").await?;
        see_mark_at(&page, afloat, "as it was last").await?;
        page.see_kept().await?;
        page.reload().await?;
        page.see_words("list-value-error", "not a number").await?;
        see_mark_at(&page, afloat, "as it is described").await?;
        picture(&page.driver, "hands-unreadable").await?;
        page.tap("state-under").await?;
        let is_under = async || {
            let is: Option<f64> = page.run(MARK_HEIGHT, vec![]).await?;
            Ok(is.filter(|is| *is > afloat + 20.0))
        };
        page.until("the boat is drawn under water", is_under).await.map(drop)
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_notice_stays_where_it_arose_and_what_it_tells_can_be_taken_back_later() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        page.tap("new-reading").await?;
        page.see_words("pool-message", "cleared").await?;
        page.tap("go-boat").await?;
        page.tap("bench-boats").await?;
        page.see("edit-boat").await?;
        page.see_no("boat-message").await?;
        page.tap("go-diary").await?;
        page.see("go-files").await?;
        page.see_no("file-message").await?;
        page.tap("go-pool").await?;
        page.see("undo").await?;
        page.see_no("pool-message").await?;
        page.tap("undo").await?;
        page.see_that("list-value", "has its figure", |seen| seen.value == "1.8").await.map(drop)
    })
    .await;
}

/// The names of the marks' fields from left to right or from above, as they stand.
const FIELDS: &str = r#"
return [...document.querySelectorAll("[data-testid^=mark-][data-testid$=-value]")]
  .map((e) => e.labels?.[0]?.innerText ?? e.ariaLabel ?? "");
"#;

#[tokio::test(flavor = "multi_thread")]
async fn marks_stand_in_the_order_of_the_drawing_and_say_their_side() {
    on_a_phone(FOLDER, |page| async move {
        page.take_template(0).await?;
        page.tap("go-pool").await?;
        page.see("state-afloat").await?;
        let fields = async || {
            let found: Vec<String> = page.run(FIELDS, vec![]).await?.unwrap_or_default();
            Ok(Some(found).filter(|found| found.len() >= 2))
        };
        let found = page.until("there are fields of marks", fields).await?;
        let at = |word: &str| found.iter().position(|label| label.to_lowercase().contains(word));
        assert!(
            at("stern") < at("bow") && at("bow").is_some(),
            "the stern is on the left: {found:?}"
        );
        assert!(found.iter().all(|label| label.contains("(port)")), "they lie to port: {found:?}");
        Ok(())
    })
    .await;
}
