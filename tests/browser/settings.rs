//! Settings: inches and ounces, the decimal comma, the left hand, large text. They hold at once, change
//! nothing that was entered, and stay.

use crate::access::too_wide;
use crate::driver::{FOLDER, Folder, on_a_phone, picture, resize};
use crate::expected::{Entry, demo_answer};
use crate::page::{Page, Seen};
use thirtyfour::prelude::*;

/// Chooses something on the page of settings.
async fn choose(page: &Page, testids: &[&str]) -> WebDriverResult<()> {
    page.tap("go-diary").await?;
    if page.look("go-settings").await?.is_some() {
        page.tap("go-settings").await?;
    }
    for testid in testids {
        page.tap(testid).await?;
        page.see_that(testid, "is chosen and has the focus", |s| s.checked && s.focused).await?;
    }
    page.see_kept().await
}

async fn see_value(page: &Page, id: &str, value: &str) -> WebDriverResult<()> {
    page.see_that(id, &format!("has {value} in it"), |seen| seen.value == value).await.map(drop)
}

#[tokio::test(flavor = "multi_thread")]
async fn inches_and_ounces_give_the_same_answer_and_stay() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        // A tenth and a half of an inch.
        let entry = Entry {
            marks: vec![("stern", 2.54), ("bow", -12.7)],
            list: Some(1.5),
            ..Entry::default()
        };
        page.enter(&entry).await?;
        let expected = demo_answer(&entry);
        page.see_answer(&expected).await?;
        let [grams, ..] = expected.figures.expect("something is to be done");
        choose(&page, &["length-in", "mass-oz", "decimal-comma"]).await?;
        picture(&page.driver, "settings").await?;
        page.tap("go-pool").await?;
        see_value(&page, "mark-bow-value", "0,5").await?;
        see_value(&page, "mark-stern-value", "0,1").await?;
        see_value(&page, "list-value", "1,5").await?;
        page.see_words("mark-bow-side", "in below").await?;

        // What is typed now is in inches.
        page.fill("mark-bow-value", "0,25").await?;
        page.see_that("answer", "follows", |s| crate::entry::answer_in(s) != expected).await?;
        for value in ["0,30", "0,35"] {
            page.tap("mark-bow-less").await?;
            see_value(&page, "mark-bow-value", value).await?;
        }
        page.fill("mark-bow-value", "0.5").await?;
        let is_so = |s: &Seen| crate::entry::answer_in(s) == expected;
        page.see_that("answer", "is what it was in millimetres", is_so).await?;
        #[expect(clippy::cast_precision_loss, reason = "grams of a model boat")]
        let ounces = format!("{:.2} oz", grams as f64 / 28.349_523_125).replace('.', ",");
        page.see_words("answer-main", &ounces).await?;
        page.rest().await?;
        let place = page.see("answer-place").await?.text;
        assert!(place.contains(" in") && place.contains(','), "where, in inches: {place}");
        assert!(!place.contains("mm") && !place.contains('.'), "nothing else: {place}");
        picture(&page.driver, "pool-inches").await?;

        page.see_kept().await?;
        page.reload().await?;
        page.tap("go-pool").await?;
        page.see_that("answer", "is there after a reload", is_so).await?;
        see_value(&page, "mark-bow-value", "0.5").await?;
        page.see_words("mark-bow-side", "in below").await?;

        choose(&page, &["length-mm", "mass-g", "decimal-point"]).await?;
        page.tap("go-pool").await?;
        see_value(&page, "mark-bow-value", "12.7").await?;
        page.see_answer(&expected).await
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_form_that_is_open_goes_over_to_other_units() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        choose(&page, &["length-in", "mass-oz"]).await?;
        page.tap("go-boat").await?;
        page.tap("bench-results").await?;
        page.see_words("lever-curve-figure", "in").await?;
        page.tap("bench-parts").await?;
        page.tap("add-part").await?;
        page.tap("shape-box").await?;
        for (field, typed) in
            [("length", "1.5"), ("width", "1"), ("height", "1,25"), ("x", "0"), ("mass", "abc")]
        {
            page.fill(&format!("form-{field}"), typed).await?;
        }
        choose(&page, &["length-mm", "mass-g"]).await?;
        page.tap("go-boat").await?;
        see_value(&page, "form-length", "38.1").await?;
        see_value(&page, "form-height", "31.75").await?;
        see_value(&page, "form-mass", "abc").await?;
        page.fill("form-mass", "100").await?;
        page.see_words("form-readout", "100 g").await?;
        page.see_words("form-readout", "30.7 cm³").await?;
        page.finish().await?;
        choose(&page, &["length-in", "mass-oz"]).await?;
        page.tap("go-boat").await?;
        page.see_words("bench-figures", "oz").await?;
        page.tap("bench-results").await?;
        page.see_words("facts-tank", "in³").await.map(drop)
    })
    .await;
}

/// A mark of the page's root.
async fn of_root(page: &Page, name: &str) -> WebDriverResult<String> {
    let script = "return document.documentElement.dataset[arguments[0]] ?? '';";
    Ok(page.run(script, vec![name.into()]).await?.unwrap_or_default())
}

#[tokio::test(flavor = "multi_thread")]
async fn in_the_left_hand_what_is_tapped_most_lies_on_the_left() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        let middles = async || -> WebDriverResult<[f64; 3]> {
            let x = async |id: &str| Ok::<_, WebDriverError>(page.see(id).await?.middle[0]);
            Ok([x("keep-reading").await?, x("residual-side").await?, x("residual-value").await?])
        };
        page.tap("state-under").await?;
        page.fill("residual-value", "20").await?;
        let [keep, side, value] = middles().await?;
        assert!(keep > 195.0 && side > value, "in the right hand: {keep}, {side}, {value}");
        choose(&page, &["hand-left"]).await?;
        page.reload().await?;
        page.tap("go-pool").await?;
        assert_eq!(of_root(&page, "hand").await?, "left", "it stays");
        let [keep, side, value] = middles().await?;
        assert!(keep < 195.0 && side < value, "in the left hand: {keep}, {side}, {value}");
        picture(&page.driver, "pool-left").await?;
        choose(&page, &["hand-right"]).await?;
        assert_eq!(of_root(&page, "hand").await?, "", "as usual");
        Ok(())
    })
    .await;
}

/// What is longer than the field, the button or the line that it stands in. A session in the list is one
/// line on purpose, and ends in dots.
const CUT: &str = r#"
const all = "input:not([type=range], [type=file]), button, select, label, summary, p, dt, dd, td";
return [...document.querySelectorAll(all)]
  // A sentence of the builder's own in a field of one line is moved along in it.
  .filter((e) => !e.matches('input[data-testid$="-words"]'))
  .filter((e) => e.clientWidth > 0 && !e.closest(".session-row") && (e.value ?? "x"))
  .filter((e) => e.scrollWidth > e.clientWidth + 1)
  .map((e) => `${e.dataset.testid}: ${e.value || e.innerText}`);
"#;

#[tokio::test(flavor = "multi_thread")]
async fn large_text_in_the_left_hand_fits_on_a_small_phone() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        page.fill("mark-bow-value", "7").await?;
        page.tap("keep-reading").await?;
        choose(&page, &["text-large", "hand-left", "length-in", "mass-oz"]).await?;
        let size = "return parseFloat(getComputedStyle(document.documentElement).fontSize);";
        assert_eq!(page.run::<f64>(size, vec![]).await?, Some(20.0), "a quarter larger than 16");
        resize(&page.driver, 320, 568).await?;
        let mut wrong = Vec::new();
        page.tour(async |screen| {
            wrong.extend(too_wide(&page, screen).await?);
            let cut: Vec<String> = page.run(CUT, vec![]).await?.unwrap_or_default();
            wrong.extend(cut.into_iter().map(|what| format!("{screen}: cut off: {what}")));
            picture(&page.driver, &format!("{screen}-large-left-320")).await
        })
        .await?;
        assert!(wrong.is_empty(), "too wide or cut off:\n{}", wrong.join("\n"));
        page.reload().await?;
        assert_eq!(of_root(&page, "text").await?, "large", "it stays");
        Ok(())
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn the_phone_weighs_what_its_builder_weighed() {
    on_a_phone(FOLDER, |page| async move {
        let folder = Folder::new();
        page.tap("start-demo").await?;
        page.tap("go-diary").await?;
        page.tap("go-settings").await?;
        page.fill("phone-mass", "heavy").await?;
        page.see_words("phone-mass-error", "not a number").await?;
        page.fill("phone-mass", "187").await?;
        page.see_no("phone-mass-error").await?;
        page.tap("go-pool").await?;
        page.tap("phone-aboard").await?;
        page.see("keep-reading").await?;
        page.tap("keep-reading").await?;
        page.see_kept().await?;
        let file = page.export(folder.path()).await?;
        let aboard = &file["sessions"][0]["entries"][0]["reading"]["aboard"][0];
        assert_eq!(aboard["mass_kg"].as_f64(), Some(0.187), "it lay aboard: {aboard}");
        page.reload().await?;
        page.tap("go-diary").await?;
        page.tap("go-settings").await?;
        page.see_that("phone-mass", "is kept", |seen| seen.value == "187").await.map(drop)
    })
    .await;
}
