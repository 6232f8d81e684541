//! What is half typed outlives another place, another boat, and a new start of the app.

use crate::driver::{FOLDER, Tabs, on_a_phone, run_for};
use crate::page::Page;
use std::time::Duration;
use thirtyfour::prelude::*;

/// Longest that a test with several tabs may take.
const LIMIT: Duration = Duration::from_secs(180);

/// Whether a text is in a record in the store.
const STORED: &str = r#"
const done = arguments[arguments.length - 1];
const open = indexedDB.open("trimwright");
open.onsuccess = () => {
  const asked = open.result.transaction("record").objectStore("record").getAll();
  asked.onsuccess = () => { open.result.close(); done(asked.result.map(String)); };
};
"#;

impl Page {
    /// Waits until a text is in the store: not every form has the sign that says so.
    async fn see_stored(&self, text: &str) -> WebDriverResult<()> {
        let has = async || {
            let texts: Option<Vec<String>> = self.run_async(STORED).await?;
            Ok(texts.into_iter().flatten().any(|t| t.contains(text)).then_some(()))
        };
        self.until(&format!("\"{text}\" is stored"), has).await
    }

    /// Waits until a field has a text.
    async fn see_typed(&self, id: &str, text: &str) -> WebDriverResult<()> {
        self.see_that(id, &format!("has \"{text}\""), |seen| seen.value == text).await.map(drop)
    }

    /// Goes to the list of boats.
    async fn go_to_boats(&self) -> WebDriverResult<()> {
        self.tap("go-boat").await?;
        self.tap("bench-boats").await
    }

    /// Takes a boat in hand.
    async fn take_boat(&self, id: &str) -> WebDriverResult<()> {
        self.go_to_boats().await?;
        self.tap(&format!("take-{id}")).await
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn a_note_that_is_being_written_is_there_after_all_that() {
    run_for(LIMIT, async |page, tabs: Tabs| {
        page.load().await?;
        page.tap("start-demo").await?;
        page.tap("go-diary").await?;
        page.fill("note-text", "windy, and").await?;
        page.tap("go-pool").await?;
        page.tap("go-diary").await?;
        page.see_typed("note-text", "windy, and").await?;
        page.go_to_boats().await?;
        page.tap("template-0").await?;
        page.tap("go-diary").await?;
        page.see_typed("note-text", "").await?;
        page.fill("note-text", "of the other boat").await?;
        page.take_boat("demo-dipper").await?;
        page.tap("go-diary").await?;
        page.see_typed("note-text", "windy, and").await?;
        page.see_kept().await?;
        tabs.kill(page).await?;
        page.load().await?;
        page.tap("go-diary").await?;
        page.see_typed("note-text", "windy, and").await?;
        // Once it is a note it is typed no more.
        page.tap("note-add").await?;
        page.see_typed("note-text", "").await?;
        page.see_kept().await?;
        page.load().await?;
        page.tap("go-diary").await?;
        page.see_typed("note-text", "").await
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn six_numbers_that_are_half_typed_wait() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-quick").await?;
        page.fill("quick-name", "Grebe").await?;
        page.fill("quick-length", "90").await?;
        page.tap("quick-fullness-blunt").await?;
        page.tap("go-pool").await?;
        page.tap("go-boat").await?;
        page.see_typed("quick-length", "90").await?;
        page.see_stored("Grebe").await?;
        page.see_stored("0.9").await?;
        page.reload().await?;
        page.tap("go-boat").await?;
        page.see_typed("quick-name", "Grebe").await?;
        page.see_typed("quick-length", "90").await?;
        assert!(page.see("quick-fullness-blunt").await?.checked, "and what was chosen");
        // Another boat in hand, and it waits until it is asked for.
        page.tap("go-pool").await?;
        page.tap("start-demo").await?;
        page.go_to_boats().await?;
        page.tap("start-quick").await?;
        page.see_typed("quick-length", "90").await?;
        page.tap("quick-leave").await?;
        page.see_kept().await?;
        page.reload().await?;
        page.go_to_boats().await?;
        page.tap("start-quick").await?;
        page.see_typed("quick-length", "90").await?;
        for (field, text) in [
            ("length", "900"),
            ("beam", "100"),
            ("depth", "110"),
            ("waterline", "70"),
            ("mass", "4000"),
        ] {
            page.fill(&format!("quick-{field}"), text).await?;
        }
        page.tap("quick-use").await?;
        page.see("state-afloat").await?;
        page.tap("go-boat").await?;
        page.tap("start-quick").await?;
        page.see_typed("quick-length", "").await
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_form_that_cannot_be_used_yet_waits() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        page.tap("go-boat").await?;
        page.tap("part-1").await?;
        let name = page.see("form-name").await?.value;
        page.fill("form-mass", "12 or 13").await?;
        page.tap("go-pool").await?;
        page.tap("go-boat").await?;
        page.see_typed("form-mass", "12 or 13").await?;
        page.see_kept().await?;
        page.reload().await?;
        page.tap("go-boat").await?;
        page.see_typed("form-mass", "12 or 13").await?;
        page.see_typed("form-name", &name).await?;
        page.see("form-mass-error").await?;
        // It is left on purpose: then it is as it was.
        page.tap("form-leave").await?;
        page.tap("part-1").await?;
        let mass = page.see("form-mass").await?.value;
        assert!(!mass.contains("or"), "as it was: {mass}");
        page.finish().await?;
        // A part that is not there yet.
        page.tap("add-part").await?;
        page.tap("shape-weight").await?;
        page.fill("form-name", "lead").await?;
        page.fill("form-mass", "85").await?;
        page.see_kept().await?;
        page.reload().await?;
        page.tap("go-boat").await?;
        page.see_typed("form-name", "lead").await?;
        page.see_typed("form-mass", "85").await?;
        page.fill("form-x", "10").await?;
        page.finish().await?;
        page.see_kept().await?;
        page.reload().await?;
        page.tap("go-boat").await?;
        page.see_words("part-14", "lead").await.map(drop)
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_new_boat_takes_nothing_from_the_one_before_and_stays_in_hand() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        page.enter_mark("bow", Some(-7.5)).await?;
        page.go_to_boats().await?;
        page.tap("start-bench").await?;
        page.fill("form-name", "Teal").await?;
        page.see_stored("Teal").await?;
        page.reload().await?;
        page.tap("go-boat").await?;
        page.see_typed("form-name", "Teal").await?;
        page.fill("form-length", "800").await?;
        page.fill("form-waterline", "60").await?;
        page.tap("boat-begin").await?;
        page.see_no("boat-begin").await?;
        page.see_kept().await?;
        page.reload().await?;
        page.tap("go-boat").await?;
        page.see("bench-parts").await?;
        let title = "return document.querySelector('h1').textContent;";
        let title: Option<String> = page.run(title, vec![]).await?;
        assert!(title.is_some_and(|t| t.contains("Teal")), "the new boat is in hand");
        page.take_boat("demo-dipper").await?;
        page.tap("go-pool").await?;
        page.see_typed("mark-bow-value", "7.5").await?;
        page.see_words("mark-bow-side", "below").await.map(drop)
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_lean_and_a_check_that_are_half_typed_wait() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        page.tap("go-dive").await?;
        page.fill("seen-lean", "3.").await?;
        page.tap("seen-side").await?;
        page.see_words("seen-side", "to port").await?;
        page.tap("go-checks").await?;
        page.tap("checks-edit").await?;
        page.fill("check-new", "hatch taped, and").await?;
        page.see_kept().await?;
        page.reload().await?;
        page.tap("go-dive").await?;
        page.see_typed("seen-lean", "3.").await?;
        page.see_words("seen-side", "to port").await?;
        page.tap("go-checks").await?;
        page.tap("checks-edit").await?;
        page.see_typed("check-new", "hatch taped, and").await
    })
    .await;
}
