//! The two-minute start: a boat of six numbers, a reading, advice.

use crate::driver::{FOLDER, on_a_phone, picture};
use crate::expected::{Entry, GREBE, quick_answer};

#[tokio::test(flavor = "multi_thread")]
async fn six_numbers_and_a_reading_give_the_advice_of_the_core() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-quick").await?;
        page.fill("quick-name", "Grebe").await?;
        for (field, number) in GREBE {
            page.fill_next(&format!("quick-{field}"), &number.to_string()).await?;
        }
        assert!(page.see("quick-fullness-usual").await?.checked, "the usual fullness is preset");
        picture(&page.driver, "quick-form").await?;
        page.tap("quick-use").await?;
        let entry = Entry {
            marks: vec![("stern", 6.0), ("bow", -4.0)],
            list: Some(1.5),
            ..Entry::default()
        };
        for (mark, mm) in &entry.marks {
            page.enter_mark(mark, Some(*mm)).await?;
        }
        page.enter_sided("list", entry.list, ["to starboard", "to port"]).await?;
        page.see_answer(&quick_answer(&entry)).await?;
        println!("FIGURE taps_quick {} taps 12", page.n_taps());
        picture(&page.driver, "quick-answer").await
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn numbers_that_make_no_boat_are_told_beside_their_field() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-quick").await?;
        for (field, number) in GREBE {
            page.fill(&format!("quick-{field}"), &number.to_string()).await?;
        }
        for (field, wrong, words) in [
            ("length", "abc", "not a number"),
            ("mass", "99000", "at most"),
            ("waterline", "150", "below the deck"),
            ("beam", "0", "more than zero"),
        ] {
            let id = format!("quick-{field}");
            page.fill(&id, wrong).await?;
            page.tap("quick-use").await?;
            page.see_words(&format!("{id}-error"), words).await?;
            assert_eq!(page.see(&id).await?.value, wrong, "what was typed stays");
            let (_, right) = GREBE.into_iter().find(|(name, _)| *name == field).expect("its own");
            page.fill(&id, &right.to_string()).await?;
            page.see_no(&format!("{id}-error")).await?;
        }
        page.tap("quick-use").await?;
        page.see("state-afloat").await.map(drop)
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn six_numbers_under_water_are_right_when_they_are_neutral_and_ask_for_nothing_more() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-quick").await?;
        for (field, number) in GREBE {
            page.fill_next(&format!("quick-{field}"), &number.to_string()).await?;
        }
        page.tap("quick-use").await?;
        page.tap("state-under").await?;
        let asked = page.see_words("answer-place", "How heavy or light").await?.text;
        assert!(!asked.contains("list"), "it is not asked for: {asked}");
        page.fill("residual-value", "0").await?;
        // Neutral with how much in its tank? Nothing is right before that is known.
        page.see_words("answer-main", "What does the tank hold?").await?;
        page.tap("takes-none").await?;
        page.see_words("answer-main", "Right: neutral").await?;
        page.see_no("answer-next").await?;
        page.fill("residual-value", "60").await?;
        page.see_words("answer-main", "Take off").await?;
        // What was seen of how it hangs has its fields too.
        page.fill("residual-value", "0").await?;
        page.enter_sided("list", Some(4.0), ["to starboard", "to port"]).await?;
        page.see_words("answer-main", "Shift").await?;
        page.tap("answer-whole").await?;
        page.see_words("answer-place", "to port").await.map(drop)
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn what_the_tank_takes_is_asked_under_water_and_kept_with_the_boat() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-quick").await?;
        for (field, number) in GREBE {
            page.fill_next(&format!("quick-{field}"), &number.to_string()).await?;
        }
        page.tap("quick-use").await?;
        page.see("state-afloat").await?;
        page.see_no("takes-value").await?;
        page.tap("state-under").await?;
        page.fill("residual-value", "70").await?;
        page.see_words("answer-main", "What does the tank hold?").await?;
        picture(&page.driver, "quick-takes").await?;
        page.fill("takes-value", "7000").await?;
        page.tap("takes-use").await?;
        page.see_words("takes-value-error", "must hold less").await?;
        page.fill("takes-value", "640").await?;
        page.tap("takes-use").await?;
        // Neutral at 1 - 70 / (640 · 0.9982): Archimedes.
        page.see_words("answer-main", "89").await?;
        page.see_words("answer-main", "Right").await?;
        page.see("fill-value").await?;
        picture(&page.driver, "quick-right").await?;
        page.reload().await?;
        page.see_words("answer-main", "89").await?;
        page.see_words("takes-change", "640").await?;
        page.tap("takes-change").await?;
        page.tap("takes-none").await?;
        page.see_words("takes-change", "No tank").await?;
        page.see_no("fill-value").await?;
        page.see_words("answer-main", "Take off").await.map(drop)
    })
    .await;
}
