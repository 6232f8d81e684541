//! Checks: a list is worked through, what fails stays in sight, lists are changed, each boat has its own.

use crate::driver::{FOLDER, Folder, on_a_phone, picture, resize};
use crate::page::{Page, Seen};
use serde_json::Value;
use thirtyfour::prelude::*;

/// What the browser's own clock says of a mark is not tested; that it is an old one is.
const LONG_AGO: &str = "2026-01-02T09:30:00.000Z";

impl Page {
    /// Marks some checks of the boat in hand, one of each kind.
    pub(crate) async fn mark_checks(&self) -> WebDriverResult<()> {
        self.tap("go-checks").await?;
        self.tap("check-battery-charged").await?;
        self.fail("hatch-seal", "weeps at the bow").await?;
        self.tap("check-radio-range-not-today").await?;
        self.see("check-radio-range-because").await.map(drop)
    }

    /// Marks a check as failed, and says why.
    async fn fail(&self, id: &str, because: &str) -> WebDriverResult<()> {
        self.tap(&format!("check-{id}-failed")).await?;
        self.fill(&format!("check-{id}-because"), because).await
    }

    /// Waits until a check is in a state.
    async fn see_check(&self, id: &str, state: &str) -> WebDriverResult<()> {
        let is_so = |seen: &Seen| seen.attributes.get("data-state").is_some_and(|s| s == state);
        self.see_that(&format!("check-{id}-row"), &format!("is {state}"), is_so).await.map(drop)
    }

    /// The checks of the list that is shown, by identity, in order.
    async fn listed(&self) -> WebDriverResult<Vec<String>> {
        let script = r#"
            const rows = document.querySelectorAll(".check, .check-edit");
            const id = (row) => row.querySelector("[data-testid]").dataset.testid;
            return [...rows].map((row) => id(row).replace(/^check-/, "").replace(/-words$/, ""));
        "#;
        Ok(self.run(script, vec![]).await?.unwrap_or_default())
    }

    /// Waits until the list that is shown is so long.
    async fn see_listed(&self, n: usize) -> WebDriverResult<Vec<String>> {
        let ask = async || Ok(Some(self.listed().await?).filter(|list| list.len() == n));
        self.until(&format!("{n} checks are listed"), ask).await
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn a_failed_check_stays_in_sight_until_it_is_good() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        page.see("answer-main").await?;
        page.see_no("failed-0").await?;
        page.tap("go-checks").await?;
        page.see_words("checks-before", "0 of 16").await?;
        page.tap("check-battery-charged").await?;
        page.see_check("battery-charged", "good").await?;
        page.see_words("checks-before", "1 of 16").await?;
        page.fail("hatch-seal", "weeps").await?;
        page.see_check("hatch-seal", "failed").await?;
        page.see_words("checks-before", "✕ 1 failed").await?;
        page.see_words("failed-0", "Hatch and dry-box seals — weeps").await?;
        page.see_kept().await?;
        page.reload().await?;
        page.tap("go-pool").await?;
        page.see_words("failed-0", "✕ Failed check: Hatch and dry-box seals — weeps").await?;
        page.see("answer-main").await?;

        // It leads to its row, where it can be seen to.
        page.tap("failed-0").await?;
        page.see_that("check-hatch-seal", "has the focus", |seen| seen.focused).await?;
        let because = page.see("check-hatch-seal-because").await?;
        assert_eq!(because.value, "weeps", "what was wrong with it");
        page.tap("check-hatch-seal").await?;
        page.see_check("hatch-seal", "good").await?;
        page.see_no("failed-0").await?;
        page.see_words("checks-message", "No longer failed").await?;

        // A wet thumb may have slipped.
        page.tap("undo").await?;
        page.see_check("hatch-seal", "failed").await?;
        page.see_words("failed-0", "weeps").await?;
        page.tap("check-hatch-seal").await?;
        page.see_check("hatch-seal", "good").await?;
        page.tap("go-pool").await?;
        page.see("answer-main").await?;
        page.see_no("failed-0").await?;
        page.see_kept().await?;
        page.reload().await?;
        page.tap("go-pool").await?;
        page.see("answer-main").await?;
        page.see_no("failed-0").await
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn not_today_has_a_reason_and_the_session_tells_it() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        page.tap("go-checks").await?;
        page.tap("checks-after").await?;
        page.see_listed(9).await?;
        for id in ["drained", "battery-out", "pressure-off", "dry-and-open", "seals-off"] {
            page.tap(&format!("check-{id}")).await?;
        }
        page.tap("check-rinsed-not-today").await?;
        page.tap("check-rinsed-reason-1").await?;
        page.see_that("check-rinsed-because", "is \"Not needed\"", |s| s.value == "Not needed")
            .await?;
        page.tap("check-shafts-dry-not-today").await?;
        page.fill("check-shafts-dry-because", "no grease here").await?;
        page.see_words("checks-summary", "2 of 9 to check · 2 not today").await?;
        page.tap("check-battery-stored").await?;
        page.tap("check-all-home").await?;
        page.see_words("checks-summary", "✓ Done · 2 not today").await?;
        page.see_words("checks-after", "✓ 9 of 9").await?;
        // What is tapped once more was not meant.
        page.tap("check-all-home").await?;
        page.see_check("all-home", "open").await?;
        page.see_words("checks-after", "8 of 9").await?;
        page.see_kept().await?;
        page.reload().await?;
        page.tap("go-checks").await?;
        page.tap("checks-after").await?;
        page.see_check("shafts-dry", "not-today").await?;
        let because = page.see("check-shafts-dry-because").await?;
        assert_eq!(because.value, "no grease here", "the reason is kept");
        page.tap("go-diary").await?;
        page.tap("session-0-open").await?;
        page.see_words("entry-0", "Checks after: 6 of 9 good").await?;
        page.see_words(
            "entry-0",
            "Not today: Shafts and linkages dried and greased — no grease here",
        )
        .await?;
        page.see_no("entry-1").await
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn started_over_a_list_is_open_but_for_what_failed() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        page.tap("go-checks").await?;
        page.tap("checks-between").await?;
        page.see_listed(8).await?;
        page.tap("check-box-looked-into").await?;
        page.tap("check-seals-wiped").await?;
        page.fail("battery-good", "warm").await?;
        page.see_words("checks-summary", "5 of 8 to check · ✕ 1 failed").await?;
        page.tap("checks-anew").await?;
        page.see_check("seals-wiped", "open").await?;
        page.see_check("battery-good", "failed").await?;
        page.see_words("checks-summary", "7 of 8 to check · ✕ 1 failed").await?;
        page.tap("undo").await?;
        page.see_check("seals-wiped", "good").await?;
        page.tap("checks-anew").await?;
        page.see_check("seals-wiped", "open").await?;
        page.see_words("failed-0", "warm").await?;

        // What was gone through before stays in the session; the next time is another entry.
        page.tap("check-seals-wiped").await?;
        page.see_check("seals-wiped", "good").await?;
        page.tap("go-diary").await?;
        page.tap("session-0-open").await?;
        page.see_words("entry-0", "Checks between: 2 of 8 good").await?;
        page.see_words("entry-1", "Checks between: 1 of 8 good").await?;
        page.see_no("entry-2").await
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_list_is_its_builders() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        page.tap("go-checks").await?;
        page.tap("checks-between").await?;
        let usual = page.see_listed(8).await?;
        page.tap("checks-edit").await?;
        page.fill("check-seals-wiped-words", "Both O-rings wiped").await?;
        page.tap("check-straps-again-up").await?;
        page.see_that("check-straps-again-up", "keeps the focus", |seen| seen.focused).await?;
        page.tap("check-weed-off-remove").await?;
        page.see_listed(7).await?;
        page.see_words("checks-message", "Removed: Weed and line").await?;
        page.tap("undo").await?;
        page.see_listed(8).await?;
        page.tap("check-weed-off-remove").await?;
        page.see_listed(7).await?;
        page.tap("check-add").await?;
        page.fill("check-new", "Lamp lit").await?;
        page.tap("check-add").await?;
        let edited = page.see_listed(8).await?;
        assert!(page.see("check-new").await?.value.is_empty(), "ready for one more");
        picture(&page.driver, "checks-edit-390").await?;
        let own = edited.last().expect("the list has eight").clone();
        let wanted = ["box-looked-into", "battery-good", "straps-again", "seals-wiped", "air-left"];
        assert_eq!(edited[..5], wanted, "in the new order");
        assert!(!edited.iter().any(|id| id == "weed-off"), "without the removed one: {edited:?}");
        page.tap("checks-done").await?;
        page.see_words("check-seals-wiped", "Both O-rings wiped").await?;
        page.see_words(&format!("check-{own}"), "Lamp lit").await?;
        page.see_kept().await?;
        page.reload().await?;
        page.tap("go-checks").await?;
        page.tap("checks-between").await?;
        assert_eq!(page.see_listed(8).await?, edited, "kept");
        page.see_words("check-seals-wiped", "Both O-rings wiped").await?;

        // A failed check of one's own does not go with the rest.
        page.fail(&own, "dark").await?;
        page.tap("checks-edit").await?;
        page.tap("checks-usual").await?;
        let back = page.see_listed(9).await?;
        assert_eq!(back[..8], usual, "the usual list");
        assert_eq!(back[8], own, "and what failed");
        page.tap("checks-done").await?;
        page.see_words("check-seals-wiped", "Seals wiped").await?;
        page.see_words("failed-0", "Lamp lit — dark").await.map(drop)
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn words_that_are_taken_away_come_back() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        page.tap("go-checks").await?;
        page.tap("checks-edit").await?;
        let usual = page.see("check-straps-words").await?.value;
        page.fill("check-straps-words", "").await?;
        page.see_that("check-straps-words", "is empty", |seen| seen.value.is_empty()).await?;
        page.press("Bungees").await?;
        page.see_that("check-straps-words", "is as typed", |seen| seen.value == "Bungees").await?;
        page.fill("check-straps-words", "").await?;
        page.tap("check-new").await?;
        page.see_that("check-straps-words", "is as usual", |seen| seen.value == usual).await?;
        page.see("check-straps-up").await.map(drop)
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn each_boat_has_its_own_lists() {
    on_a_phone(FOLDER, |page| async move {
        page.see("start-demo").await?;
        page.tap("go-checks").await?;
        page.see("checks-no-boat").await?;
        page.tap("checks-to-boat").await?;
        page.tap("start-demo").await?;
        page.see("answer-main").await?;
        page.mark_checks().await?;
        page.see_words("checks-before", "✕ 1 failed").await?;
        page.tap("go-boat").await?;
        page.tap("bench-boats").await?;
        page.tap("template-0").await?;
        page.tap("go-checks").await?;
        page.see_words("checks-before", "0 of 16").await?;
        page.see_no("failed-0").await?;
        page.tap("check-straps").await?;
        page.see_words("checks-before", "1 of 16").await?;
        page.tap("go-boat").await?;
        page.tap("bench-boats").await?;
        page.tap("start-demo").await?;
        page.see_words("failed-0", "weeps at the bow").await?;
        page.tap("go-checks").await?;
        page.see_check("straps", "open").await?;
        page.see_check("battery-charged", "good").await
    })
    .await;
}

/// Gives every mark in a file another time.
fn age(value: &mut Value) {
    match value {
        Value::Object(fields) => {
            if fields.contains_key("state") && fields.contains_key("at") {
                fields.insert("at".to_owned(), LONG_AGO.into());
            }
            fields.values_mut().for_each(age);
        }
        Value::Array(list) => list.iter_mut().for_each(age),
        _ => {}
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn marks_of_another_outing_are_not_taken_for_todays() {
    on_a_phone(FOLDER, |page| async move {
        let folder = Folder::new();
        page.tap("start-demo").await?;
        page.mark_checks().await?;
        page.see_no("checks-old").await?;
        let mut file = page.export(folder.path()).await?;
        age(&mut file["checks"]);
        let old = folder.path().join("old.json");
        std::fs::write(&old, file.to_string())?;
        page.remove_everything().await?;
        page.take_in_file(&old).await?;
        page.tap("go-checks").await?;
        page.see_words("checks-old", "These ticks are old: 2026-01-02").await?;
        page.see_check("battery-charged", "good").await?;
        page.tap("checks-old-anew").await?;
        page.see_check("battery-charged", "open").await?;
        page.see_no("checks-old").await?;
        page.see_check("hatch-seal", "failed").await?;
        page.tap("check-battery-charged").await?;
        page.see_check("battery-charged", "good").await?;
        page.see_no("checks-old").await
    })
    .await;
}

/// Places to go whose name is wider than their button, and checks that are not under one thumb.
const CRAMPED: &str = r#"
const cut = (e) => e.scrollWidth > e.clientWidth;
const low = (e) => e.getBoundingClientRect().height < 55.9;
const buttons = ".check-times button, .check-main, .check-side button, .check-acts button";
return [
  ...[...document.querySelectorAll(".place")].filter((e) => cut(e) || low(e)),
  ...[...document.querySelectorAll(buttons)].filter((e) => cut(e) || low(e)),
].map((e) => e.dataset.testid);
"#;

#[tokio::test(flavor = "multi_thread")]
async fn five_places_and_every_check_fit_a_small_phone_and_a_wet_thumb() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        page.mark_checks().await?;
        for (width, height) in [(320, 568), (390, 844)] {
            resize(&page.driver, width, height).await?;
            page.is_at_rest().await?;
            let cramped: Vec<String> = page.run(CRAMPED, vec![]).await?.unwrap_or_default();
            assert!(cramped.is_empty(), "cramped at {width}: {cramped:?}");
            page.run::<()>("scrollTo(0, 0); return null;", vec![]).await?;
            picture(&page.driver, &format!("checks-marked-{width}")).await?;
        }
        Ok(())
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_caution_unfolds_beside_its_check() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        page.tap("go-checks").await?;
        let open = |seen: &Seen| seen.attributes.contains_key("open");
        let folded = page.see("check-battery-charged-lithium").await?;
        assert!(!open(&folded) && folded.text.contains("⚠ Lithium cells"), "{folded:?}");
        page.tap("check-battery-charged-lithium").await?;
        page.see_words("check-battery-charged-lithium", "swollen").await?;
        page.see_words("check-rescue-going-in", "⚠ Never in after a boat").await?;
        page.tap("caution-mains").await?;
        page.see_words("caution-mains", "residual-current").await?;
        page.see_words("cautions", "Local codes").await.map(drop)
    })
    .await;
}
