//! The forms of the bench: what follows a corrected figure, what is asked, how the keyboard goes through, and what
//! the list of parts says.

use crate::driver::{FOLDER, Folder, on_a_phone, picture, resize};
use crate::page::{Page, Seen};
use thirtyfour::prelude::*;
use trimwright::diary::BoatRecord;

/// The key of a phone's "next", and of a keyboard's Enter.
const ENTER: &str = "\u{e007}";

/// Begins a boat of parts of 700 mm that floats at 90 mm.
async fn begin(page: &Page) -> WebDriverResult<()> {
    page.tap("start-bench").await?;
    page.type_row(&[("name", "Tern"), ("length", "700"), ("waterline", "90")]).await?;
    page.tap("boat-begin").await?;
    page.see("add-part").await.map(drop)
}

async fn see_value(page: &Page, id: &str, value: &str) -> WebDriverResult<()> {
    let shows = |seen: &Seen| seen.value == value;
    page.see_that(id, &format!("shows {value}"), shows).await.map(drop)
}

async fn see_focus(page: &Page, id: &str) -> WebDriverResult<()> {
    page.see_that(id, "has the focus", |seen| seen.focused).await.map(drop)
}

/// Where the marks are along and up, and how high the places, millimetres.
fn heights(boat: &BoatRecord) -> (Vec<[f64; 2]>, Vec<f64>) {
    let mm = |metres: f64| (metres * 1e5).round() / 100.0;
    let marks = boat.marks.iter().map(|m| [m.at_m[0], m.at_m[2]].map(mm));
    (marks.collect(), boat.places.iter().map(|p| mm(p.height_m)).collect())
}

#[tokio::test(flavor = "multi_thread")]
async fn what_was_proposed_follows_a_corrected_length_and_waterline_and_one_step_takes_it_back() {
    on_a_phone(FOLDER, |page| async move {
        let folder = Folder::new();
        begin(&page).await?;
        // The bow mark is moved by hand: it stays.
        page.tap("bench-marks").await?;
        page.tap("mark-2").await?;
        page.fill("form-x", "600").await?;
        page.finish().await?;
        page.tap("bench-boats").await?;
        page.tap("edit-boat").await?;
        see_value(&page, "form-waterline", "90").await?;
        page.fill("form-waterline", "80").await?;
        page.see_words("boat-followed", "stern, midship, bow, inside, on deck").await?;
        page.fill("form-length", "800").await?;
        page.see_words("boat-followed", "Moved with it: stern.").await?;
        for (width, height) in [(320, 568), (390, 844)] {
            resize(&page.driver, width, height).await?;
            picture(&page.driver, &format!("forms-boat-{width}")).await?;
        }
        page.finish().await?;
        let changed = page.boat_file("Tern", folder.path()).await?;
        // 0.35 of 800 mm; 600 mm from the stern of 800 mm are 200 mm forward of midship.
        let marks = vec![[-280.0, 80.0], [0.0, 80.0], [200.0, 80.0]];
        assert_eq!(heights(&changed), (marks, vec![0.0, 40.0, 80.0]), "{changed:?}");
        page.tap("undo-change").await?;
        let shorter = page.boat_file("Tern", folder.path()).await?;
        let marks = vec![[-245.0, 80.0], [0.0, 80.0], [250.0, 80.0]];
        assert_eq!(heights(&shorter), (marks, vec![0.0, 40.0, 80.0]), "the length is one step");
        page.tap("undo-change").await?;
        let before = page.boat_file("Tern", folder.path()).await?;
        let marks = vec![[-245.0, 90.0], [0.0, 90.0], [250.0, 90.0]];
        assert_eq!(heights(&before), (marks, vec![0.0, 45.0, 90.0]), "and so is the waterline");
        Ok(())
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_length_in_metres_is_asked_for_and_a_tap_takes_what_was_meant() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-bench").await?;
        page.type_row(&[("length", "0.7")]).await?;
        // While it is typed it may be the beginning of another figure.
        page.see_no("form-length-error").await?;
        page.type_row(&[("waterline", "0.09")]).await?;
        page.see_words("form-length-error", "0.7 mm: did you mean 700 mm?").await?;
        page.tap("boat-begin").await?;
        page.see_words("form-waterline-error", "did you mean 90 mm?").await?;
        for (width, height) in [(320, 568), (390, 844)] {
            resize(&page.driver, width, height).await?;
            picture(&page.driver, &format!("forms-doubt-{width}")).await?;
        }
        page.tap("form-length-meant").await?;
        see_value(&page, "form-length", "700").await?;
        page.see_no("form-length-error").await?;
        page.tap("form-waterline-meant").await?;
        see_value(&page, "form-waterline", "90").await?;
        page.tap("boat-begin").await?;
        page.see("add-part").await?;

        // What is so small is taken when it is so.
        page.tap("bench-boats").await?;
        page.tap("edit-boat").await?;
        page.fill("form-length", "40").await?;
        page.tap("form-name").await?;
        page.see_words("form-length-error", "40 mm: did you mean 400 mm?").await?;
        page.tap("form-length-sure").await?;
        page.see_no("form-length-error").await?;
        page.finish().await
    })
    .await;
}

/// The Control key, held until [`NONE`].
const CONTROL: &str = "\u{e009}";
const NONE: &str = "\u{e000}";

/// Presses a key with the Control key, wherever the focus is.
async fn control(page: &Page, key: &str) -> WebDriverResult<()> {
    page.driver.active_element().await?.send_keys(format!("{CONTROL}{key}{NONE}")).await
}

#[tokio::test(flavor = "multi_thread")]
async fn control_z_takes_back_and_control_y_does_again_but_not_in_a_field() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        page.tap("go-boat").await?;
        page.tap("part-1").await?;
        page.fill("form-mass", "745").await?;
        page.see_words("form-readout", "745 g").await?;
        // There the browser undoes the typing itself.
        control(&page, "z").await?;
        page.see_that("redo-change", "has nothing to do again", |seen| {
            seen.attributes.contains_key("disabled")
        })
        .await?;
        page.fill("form-mass", "745").await?;
        page.finish().await?;
        page.rest().await?;
        page.see_words("part-1", "745 g").await?;
        for (key, mass) in [("z", "620 g"), ("y", "745 g"), ("z", "620 g")] {
            control(&page, key).await?;
            page.see_words("part-1", mass).await?;
        }
        Ok(())
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn enter_goes_through_a_parts_form_and_on_to_the_next_part() {
    on_a_phone(FOLDER, |page| async move {
        begin(&page).await?;
        page.tap("add-part").await?;
        page.tap("shape-weight").await?;
        see_focus(&page, "form-name").await?;
        page.press("lead").await?;
        // The group is filled in seldom: it is passed over.
        for (field, text) in
            [("form-x", "350"), ("form-y", ""), ("form-z", "12"), ("form-mass", "85")]
        {
            page.press(ENTER).await?;
            see_focus(&page, field).await?;
            page.press(text).await?;
        }
        page.press(ENTER).await?;
        see_focus(&page, "form-next").await?;
        page.press(ENTER).await?;
        page.see("shape-box").await?;
        page.tap("shape-box").await?;
        see_focus(&page, "form-name").await?;
        see_value(&page, "form-name", "").await?;
        page.tap("form-leave").await?;
        page.see_words("part-0", "85 g").await.map(drop)
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_usual_name_is_a_tap_and_typing_goes_on_behind_it() {
    on_a_phone(FOLDER, |page| async move {
        begin(&page).await?;
        page.tap("add-part").await?;
        page.tap("shape-weight").await?;
        let battery = page.see("name-0").await?.text;
        for (width, height) in [(320, 568), (390, 844)] {
            resize(&page.driver, width, height).await?;
            picture(&page.driver, &format!("forms-names-{width}")).await?;
        }
        page.tap("name-0").await?;
        see_value(&page, "form-name", &battery.to_lowercase()).await?;
        see_focus(&page, "form-x").await?;
        page.see_no("name-0").await?;
        page.type_row(&[("x", "300"), ("z", "40"), ("mass", "200")]).await?;
        page.tap("form-next").await?;
        page.tap("shape-weight").await?;
        let next = page.see("name-0").await?.text;
        assert_ne!(next, battery, "the boat has one: another name comes first");
        Ok(())
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_new_part_is_of_nothing_until_it_is_said_and_the_list_adds_up_by_groups() {
    on_a_phone(FOLDER, |page| async move {
        begin(&page).await?;
        page.tap("add-part").await?;
        page.tap("shape-box").await?;
        see_focus(&page, "form-name").await?;
        let bar = [("name", "bar"), ("group", "trim"), ("length", "100"), ("width", "10")];
        page.type_row(&bar).await?;
        page.type_row(&[("height", "10"), ("x", "350"), ("z", "10")]).await?;
        page.choose("form-material", "lead").await?;
        // 10 ml of lead: 113 g and a half.
        page.see_words("form-readout", "113 g").await?;
        page.tap("form-next").await?;
        page.tap("shape-box").await?;
        see_value(&page, "form-material", "").await?;
        see_value(&page, "form-group", "trim").await?;
        see_focus(&page, "form-name").await?;
        let block = [("name", "block"), ("length", "100"), ("width", "10"), ("height", "10")];
        page.type_row(&block).await?;
        page.type_row(&[("x", "300"), ("z", "30"), ("mass", "40")]).await?;
        page.tap("form-next").await?;
        page.tap("shape-weight").await?;
        see_focus(&page, "form-name").await?;
        page.type_row(&[("name", "spare"), ("x", "300"), ("z", "30"), ("mass", "500")]).await?;
        page.unfold().await?;
        page.tap("form-status-planned").await?;
        page.finish().await?;
        page.see_words("part-2", "planned, does not count").await?;
        let headings =
            "return [...document.querySelectorAll('.group-name')].map((e) => e.innerText);";
        let headings: Vec<String> = page.run(headings, vec![]).await?.unwrap_or_default();
        let [heading] = headings.as_slice() else { panic!("one group: {headings:?}") };
        let plain = heading.replace(['\u{202f}', '\u{a0}', '\n'], " ");
        assert!(plain.contains("trim") && plain.contains("153 g"), "113 and 40: {plain}");
        Ok(())
    })
    .await;
}
