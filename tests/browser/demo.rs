//! From an empty phone to advice with the demonstration boat: what the screen says is what the
//! core says.

use crate::driver::{FOLDER, on_a_phone, picture};
use crate::expected::{Entry, demo_answer};
use crate::page::Seen;

#[tokio::test(flavor = "multi_thread")]
async fn an_empty_phone_comes_to_the_first_advice_in_a_tap_or_two() {
    on_a_phone(FOLDER, |page| async move {
        page.see("start-demo").await?;
        picture(&page.driver, "welcome").await?;
        page.tap("start-demo").await?;
        page.see_that("answer-main", "is on the screen whole", |seen| seen.in_view).await?;
        let answer = page.answer().await?;
        assert!(answer.figures.is_some(), "the example has something to do: {answer:?}");
        println!("FIGURE taps_demo {} taps 3", page.n_taps());
        picture(&page.driver, "demo-first-answer").await
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn typed_and_tapped_readings_give_the_advice_of_the_core() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        let mut entry = Entry {
            marks: vec![("stern", 4.0), ("bow", -7.0)],
            list: Some(2.5),
            ..Entry::default()
        };
        page.enter(&entry).await?;
        page.see_answer(&demo_answer(&entry)).await?;
        picture(&page.driver, "demo-typed").await?;

        // The same figures by taps alone: an unread mark starts at one, a side flips.
        page.enter_mark("stern", None).await?;
        page.enter_mark("bow", None).await?;
        for _ in 0..2 {
            page.tap("mark-stern-more").await?;
        }
        for _ in 0..3 {
            page.tap("mark-bow-less").await?;
        }
        page.see_words("mark-bow-side", "below").await?;
        entry.marks = vec![("stern", 2.0), ("bow", -3.0)];
        page.see_answer(&demo_answer(&entry)).await?;

        page.tap("mark-bow-side").await?;
        page.see_words("mark-bow-side", "above").await?;
        page.tap("list-side").await?;
        page.see_words("list-side", "to port").await?;
        entry.marks = vec![("stern", 2.0), ("bow", 3.0)];
        entry.list = Some(-2.5);
        page.see_answer(&demo_answer(&entry)).await?;
        picture(&page.driver, "demo-tapped").await
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_tap_on_a_mark_reads_it_and_it_passes_from_below_to_above() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        page.tap("draw-mark-midship").await?;
        page.see_that("mark-midship-value", "is typed into", |seen| seen.focused).await?;
        for (step, side, value) in [
            ("less", "below", "1"),
            ("more", "at the mark", "0"),
            ("more", "above", "1"),
            ("less", "at the mark", "0"),
            ("less", "below", "1"),
        ] {
            page.tap(&format!("mark-midship-{step}")).await?;
            page.see_words("mark-midship-side", side).await?;
            let shows = |seen: &Seen| seen.value == value;
            page.see_that("mark-midship-value", &format!("shows {value}"), shows).await?;
        }
        Ok(())
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn the_place_and_the_phone_aboard_change_the_advice_as_the_core_says() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        let mut entry = Entry {
            marks: vec![("stern", 5.0), ("midship", 4.0), ("bow", 3.0)],
            list: Some(-4.5),
            ..Entry::default()
        };
        for place in 0..3 {
            entry.place = place;
            page.enter(&entry).await?;
            page.see_answer(&demo_answer(&entry)).await?;
        }
        entry.phone_aboard = true;
        page.tap("phone-aboard").await?;
        page.see_words("phone-zero", "only to ± 1").await?;
        page.see_answer(&demo_answer(&entry)).await
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn under_water_the_residual_weight_gives_the_advice_of_the_core() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        for (heavy, fill) in [(38.0, None), (-25.0, None), (38.0, Some(60.0))] {
            let entry = Entry {
                heavy: Some(heavy),
                fill,
                list: Some(1.5),
                trim: Some(-2.0),
                ..Entry::default()
            };
            page.enter(&entry).await?;
            page.see_answer(&demo_answer(&entry)).await?;
        }
        picture(&page.driver, "demo-under").await
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn one_figure_alone_never_gives_an_advice_without_a_place() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        for entry in [
            Entry { marks: vec![("stern", 3.0)], ..Entry::default() },
            Entry { marks: vec![("midship", -9.0)], ..Entry::default() },
            Entry { list: Some(4.0), ..Entry::default() },
            Entry { trim: Some(2.0), ..Entry::default() },
        ] {
            page.enter(&entry).await?;
            // The whole answer, not its line.
            page.see("answer-place").await?;
            let answer = page.see("answer").await?;
            let to_do = ["Add", "Take off", "Shift"].iter().any(|verb| answer.text.contains(verb));
            let says_where = page.look("answer-place").await?.is_some_and(|s| !s.text.is_empty());
            assert!(!to_do || says_where, "{entry:?}: where? {}", answer.text);
        }
        Ok(())
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_boat_at_its_marks_is_left_alone() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        let entry = Entry {
            marks: vec![("stern", 0.0), ("midship", 0.0), ("bow", 0.0)],
            list: Some(0.0),
            ..Entry::default()
        };
        let expected = demo_answer(&entry);
        assert_eq!(expected.kind, "leave", "the core leaves it");
        page.enter(&entry).await?;
        page.see_answer(&expected).await?;
        page.see_words("answer-main", "Leave it").await?;
        picture(&page.driver, "demo-leave-it").await
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_part_or_a_weight_can_be_shifted_instead() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        let mut entry = Entry {
            marks: vec![("stern", 6.0), ("bow", -6.0)],
            list: Some(-2.5),
            ..Entry::default()
        };
        page.enter(&entry).await?;
        let choose = "const s = document.querySelector('[data-testid=shift-part]'); \
                      s.value = 'battery'; \
                      s.dispatchEvent(new Event('change', { bubbles: true })); return null;";
        page.run::<()>(choose, vec![]).await?;
        page.see_words("answer-main", "Shift battery").await?;
        // The demonstration boat's battery is dry inside and weighs 620 g.
        entry.shift = Some(620.0);
        assert_eq!(page.answer().await?, demo_answer(&entry), "as the core says");
        page.fill("shift-value", "250").await?;
        entry.shift = Some(250.0);
        page.see_answer(&demo_answer(&entry)).await?;
        // Tapping a place goes back to weight put on.
        page.tap("place-0").await?;
        entry.shift = None;
        page.see_answer(&demo_answer(&entry)).await
    })
    .await;
}
