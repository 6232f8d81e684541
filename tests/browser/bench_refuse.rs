//! Bad entries on the bench: told beside their field, kept as typed, and the last good boat stays.

use crate::bench::Foot;
use crate::driver::{FOLDER, on_a_phone, picture};
use crate::page::{Page, Seen};
use thirtyfour::prelude::*;
use trimwright::boat::demo_boat;

/// Something wrong: the field it is put into, what it is, the field that says so, and in what words.
type Wrong<'a> = (&'a str, &'a str, &'a str, &'a str);

/// Opens a line of the demonstration boat.
async fn open(page: &Page, tab: &str, line: &str) -> WebDriverResult<()> {
    page.tap(tab).await?;
    page.tap(line).await?;
    page.see("form-name").await.map(drop)
}

/// Puts something wrong into a field of the open form, sees it told and nothing else changed, and
/// mends it again.
async fn is_refused(page: &Page, (key, wrong, told, words): Wrong<'_>) -> WebDriverResult<()> {
    let (field, error) = (format!("form-{key}"), format!("form-{told}-error"));
    let right = page.see(&field).await?.value;
    let before = page.foot().await?;
    page.fill(&field, wrong).await?;
    page.see_words(&error, words).await?;
    let keeps = |seen: &Seen| seen.value == wrong;
    page.see_that(&field, &format!("keeps {wrong}"), keeps).await?;
    assert_eq!(page.foot().await?, before, "with {wrong} as its {key} the last good boat stays");
    if told == key {
        let invalid =
            |seen: &Seen| seen.attributes.get("aria-invalid").is_some_and(|value| value == "true");
        page.see_that(&field, "is told to screen readers as wrong", invalid).await?;
    }
    // It is not done with before it is right.
    page.tap("form-done").await?;
    page.see_words("form-problem", words).await?;
    picture(&page.driver, &format!("bench-refused-{key}")).await?;
    page.fill(&field, &right).await?;
    page.see_no(&error).await?;
    assert_eq!(page.foot().await?, before, "the {key} is right again");
    page.finish().await
}

/// Opens a line, and sees each of what is wrong refused.
async fn are_refused(
    page: &Page,
    tab: &str,
    line: &str,
    wrong: &[Wrong<'_>],
) -> WebDriverResult<()> {
    for wrong in wrong {
        open(page, tab, line).await?;
        is_refused(page, *wrong).await?;
    }
    Ok(())
}

#[tokio::test(flavor = "multi_thread")]
async fn what_cannot_be_is_told_beside_its_field_and_the_last_good_boat_stays() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        page.tap("go-boat").await?;
        page.see("part-13").await?;
        let battery = [
            ("x", "4500", "x", "ahead of"),
            ("z", "900", "z", "above"),
            ("mass", "-5", "mass", "zero or more"),
        ];
        are_refused(&page, "bench-parts", "part-1", &battery).await?;
        let keel = [
            ("length", "0", "length", "more than zero"),
            ("width", "abc", "width", "not a number"),
        ];
        are_refused(&page, "bench-parts", "part-13", &keel).await?;
        let tank = [
            ("length", "1200", "shape", "the largest part"),
            ("length", "900", "x", "sticks out"),
            ("x", "460", "x", "sticks out"),
        ];
        are_refused(&page, "bench-tanks", "tank-0", &tank).await?;
        let mark = [("x", "600", "x", "ahead of"), ("y", "90", "y", "to port of")];
        are_refused(&page, "bench-marks", "mark-2", &mark).await?;
        open(&page, "bench-parts", "part-13").await?;
        page.unfold().await?;
        is_refused(&page, ("wall", "-1", "wall", "more than zero")).await
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_tank_larger_than_its_part_is_refused() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        page.tap("go-boat").await?;
        let before = page.foot().await?;
        open(&page, "bench-tanks", "tank-0").await?;
        page.tap("shape-change").await?;
        page.tap("shape-box").await?;
        // Inside the box around the hull, but more than the hull.
        for (key, size) in [("length", "900"), ("width", "98"), ("height", "98")] {
            page.fill(&format!("form-{key}"), size).await?;
        }
        page.fill("form-x", "0").await?;
        page.see_words("form-shape-error", "ml").await?;
        assert_eq!(page.foot().await?, before, "the last good boat stays");
        picture(&page.driver, "bench-refused-tank").await?;
        page.fill("form-length", "220").await?;
        page.see_no("form-shape-error").await?;
        page.see_words("bench-tank", " of 2113 ml").await?;
        page.finish().await
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_comma_in_a_mass_divides_the_decimals_or_is_refused() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        page.tap("go-boat").await?;
        open(&page, "bench-parts", "part-6").await?;
        page.fill("form-mass", "1,5").await?;
        page.see_words("form-readout", "1.5 g").await?;
        page.see_no("form-mass-error").await?;
        let mut boat = demo_boat().expect("fixed sizes");
        boat.parts.get_mut(6).expect("its casing").mass = 0.0015;
        page.see_foot_of(&boat).await?;
        let before: Foot = page.foot().await?;
        for (typed, words) in
            [("1.234,5", "two ways"), ("abc", "not a number"), ("1,5 g", "not a number")]
        {
            // What was good is finished: what is typed now begins anew.
            page.finish().await?;
            page.tap("part-6").await?;
            page.fill("form-mass", typed).await?;
            page.see_words("form-mass-error", words).await?;
            assert_eq!(page.see("form-mass").await?.value, typed, "what was typed stays");
            assert_eq!(page.foot().await?, before, "{typed} changes nothing");
            page.fill("form-mass", "1.5").await?;
            page.see_no("form-mass-error").await?;
        }
        page.fill("form-mass", "42").await?;
        page.see_no("form-mass-error").await?;
        page.see_words("form-readout", "42 g").await?;
        page.finish().await
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_form_can_be_left_whatever_is_in_it() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        page.tap("go-boat").await?;
        page.see("part-13").await?;
        let before = page.foot().await?;
        for taps in [&["add-part"][..], &["add-part", "shape-box"]] {
            for tap in taps {
                page.tap(tap).await?;
            }
            page.tap("form-done").await?;
            page.see("form-problem").await?;
            page.tap("form-leave").await?;
            page.see_no("form-leave").await?;
            page.see("part-13").await?;
        }
        page.tap("part-1").await?;
        page.fill("form-x", "4500").await?;
        page.tap("form-leave").await?;
        page.see_no("form-leave").await?;
        page.see_no("part-14").await?;
        assert_eq!(page.foot().await?, before, "the boat is as it was");
        page.tap("part-1").await?;
        assert_eq!(page.see("form-x").await?.value, "240", "and so is its battery");
        Ok(())
    })
    .await;
}
