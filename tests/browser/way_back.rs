//! The phone's own way back: one step at a time through screens, forms and sessions, and out of the app
//! from the first screen only. Title and focus follow.

use crate::driver::{FOLDER, on_a_phone};
use crate::page::Page;
use thirtyfour::prelude::*;

/// What has the focus: a heading's words, or the name of what can be tapped.
const FOCUSED: &str = r#"
const e = document.activeElement;
if (!e || e === document.body) return "";
return /^H[12]$/.test(e.tagName) ? e.innerText.replace(/\s+/g, " ").trim() : e.dataset.testid ?? "";
"#;

impl Page {
    /// The phone's own way back; waits until `id` is on the screen.
    async fn back_to(&self, id: &str) -> WebDriverResult<()> {
        self.driver.back().await?;
        self.see(id).await.map(drop)
    }

    /// As [`Self::back_to`], the other way.
    async fn forward_to(&self, id: &str) -> WebDriverResult<()> {
        self.driver.forward().await?;
        self.see(id).await.map(drop)
    }

    async fn see_focus(&self, words: &str) -> WebDriverResult<()> {
        let has = async || {
            let focused: String = self.run(FOCUSED, vec![]).await?.unwrap_or_default();
            Ok(focused.starts_with(words).then_some(()))
        };
        self.until(&format!("\"{words}\" has the focus"), has).await
    }

    async fn see_title(&self, title: &str) -> WebDriverResult<()> {
        let is_it = async || Ok((self.driver.title().await? == title).then_some(()));
        self.until(&format!("the title is \"{title}\""), is_it).await
    }

    /// How many entries the browser's history has.
    async fn n_entries(&self) -> WebDriverResult<u32> {
        Ok(self.run("return history.length;", vec![]).await?.unwrap_or_default())
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn back_goes_one_step_through_screens_and_forms_and_keeps_what_was_typed() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        let at_first = page.n_entries().await?;
        page.tap("go-boat").await?;
        page.tap("part-1").await?;
        page.fill("form-mass", "321").await?;
        page.back_to("add-part").await?;
        page.see_no("form-mass").await?;
        page.see_words("part-1", "321").await?;
        page.forward_to("form-mass").await?;
        assert_eq!(page.see("form-mass").await?.value, "321", "the same form");
        // Finished, it is not come back to.
        page.tap("form-done").await?;
        page.see("add-part").await?;
        page.tap("bench-tanks").await?;
        page.see("tank-0").await?;
        page.tap("go-dive").await?;
        page.see("dive-down").await?;
        page.tap("go-checks").await?;
        page.tap("checks-edit").await?;
        page.see("checks-done").await?;
        page.back_to("checks-edit").await?;
        page.back_to("dive-down").await?;
        page.back_to("tank-0").await?;
        page.back_to("add-part").await?;
        page.back_to("answer").await?;
        assert_eq!(
            page.n_entries().await?,
            at_first + 5,
            "bench, tanks, dive, checks, their change"
        );
        for id in ["add-part", "tank-0", "dive-down", "checks-edit"] {
            page.forward_to(id).await?;
        }
        Ok(())
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn back_leaves_the_app_from_the_first_screen_only() {
    on_a_phone(FOLDER, |page| async move {
        let outside = "about:blank";
        page.driver.goto(outside).await?;
        page.load().await?;
        page.tap("start-demo").await?;
        page.tap("go-diary").await?;
        page.tap("go-files").await?;
        page.back_to("go-settings").await?;
        page.back_to("answer").await?;
        page.driver.back().await?;
        let gone =
            async || Ok((page.driver.current_url().await?.as_str() == outside).then_some(()));
        page.until("the app is left", gone).await?;
        page.driver.forward().await?;
        page.is_ready().await?;
        page.see("answer").await.map(drop)
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn back_goes_through_sessions_and_a_reload_stays_where_it_was() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        page.tap("keep-reading").await?;
        page.tap("go-diary").await?;
        page.tap("session-0-open").await?;
        page.see("session-place").await?;
        page.reload().await?;
        page.see("session-place").await?;
        page.see_words("page-title", "Dipper").await?;
        page.back_to("session-0-open").await?;
        page.forward_to("session-place").await?;
        // The app's own way back is the same one.
        let entries = page.n_entries().await?;
        page.tap("diary-back").await?;
        page.see("session-0-open").await?;
        page.tap("session-0-open").await?;
        page.see("session-place").await?;
        assert_eq!(page.n_entries().await?, entries, "back and there again: no entry more");
        // A session that is gone is not come back to.
        page.tap("session-remove").await?;
        page.see_words("session-count", "0").await?;
        page.forward_to("go-settings").await?;
        page.see_no("session-place").await?;
        page.back_to("answer").await.map(drop)
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn the_focus_goes_to_the_heading_of_a_new_view_and_back_to_where_it_came_from() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-quick").await?;
        page.see_focus("My boat in six numbers").await?;
        page.driver.back().await?;
        page.see_focus("start-quick").await?;
        page.tap("start-demo").await?;
        page.tap("go-boat").await?;
        page.see_focus("Dipper").await?;
        page.tap("part-13").await?;
        page.see_focus("keel lead").await?;
        let down = page.run::<f64>("return scrollY;", vec![]).await?;
        assert_eq!(down, Some(0.0), "a new view is seen from its top");
        page.driver.back().await?;
        page.see_focus("part-13").await?;
        let seen = page.see("part-13").await?;
        assert!(seen.in_view, "and the list is scrolled to it: {:?}", seen.middle);
        page.tap("part-13").await?;
        page.see_focus("keel lead").await?;
        page.tap("form-done").await?;
        page.see_focus("part-13").await?;
        // Another tab is no new view.
        page.tap("bench-marks").await?;
        page.see("mark-0").await?;
        page.see_focus("bench-marks").await?;
        page.tap("go-diary").await?;
        page.tap("go-settings").await?;
        page.see_focus("Settings").await?;
        page.tap("diary-back").await?;
        page.see_focus("go-settings").await
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn the_title_says_where_one_is_in_the_language_of_the_view() {
    on_a_phone(FOLDER, |page| async move {
        page.see_title("Pool – Trimwright").await?;
        page.tap("start-demo").await?;
        page.see_title("Dipper, Pool – Trimwright").await?;
        page.tap("go-boat").await?;
        page.tap("bench-tanks").await?;
        page.see_title("Dipper, Tanks, Boat – Trimwright").await?;
        page.tap("go-diary").await?;
        page.tap("go-settings").await?;
        page.see_title("Settings, Diary – Trimwright").await?;
        page.tap("language-de").await?;
        page.see_title("Einstellungen, Tagebuch – Trimwright").await?;
        page.driver.back().await?;
        page.driver.back().await?;
        page.see_title("Dipper, Tanks, Boot – Trimwright").await
    })
    .await;
}

/// How many lengthwise bulkheads the open form has, as typed.
const BULKHEADS: &str = "return find('form-lengthwise')?.value ?? null;";

#[tokio::test(flavor = "multi_thread")]
async fn a_cure_that_is_accepted_is_not_put_back_by_a_form_that_stood_open() {
    on_a_phone(FOLDER, |page| async move {
        page.take_template(3).await?;
        page.tap("bench-tanks").await?;
        page.tap("tank-0").await?;
        page.see("form-mass").await?;
        let bulkheads = async || page.run::<String>(BULKHEADS, vec![]).await;
        let before = bulkheads().await?;
        page.dive().await?;
        page.tap("cure-0-try").await?;
        page.tap("cure-accept").await?;
        page.dive().await?;
        page.tap("go-boat").await?;
        page.see("form-mass").await?;
        let cured = bulkheads().await?;
        assert_ne!(cured, before, "the form has what the cure made");
        page.fill("form-mass", "161").await?;
        page.tap("form-done").await?;
        page.tap("tank-0").await?;
        page.see("form-mass").await?;
        assert_eq!(bulkheads().await?, cured, "and so has the boat");
        Ok(())
    })
    .await;
}
