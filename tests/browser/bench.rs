//! Entering a boat part by part on the Boat screen, and reading what it says of the boat.

use crate::page::{Page, Seen};
use serde_json::json;
use std::path::Path;
use thirtyfour::prelude::*;
use trimwright::diary::{BoatRecord, read};

/// Fields that the keyboard's "next" key may pass over on the way to another.
const NEAR: u32 = 4;
/// The keyboard's "next" key.
const NEXT: &str = "\u{e007}";

/// What the foot of the bench says of the boat.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Foot {
    /// How it lies.
    pub(crate) lies: String,
    /// Its stiffness and mass.
    pub(crate) figures: String,
    /// What its tank must and can take.
    pub(crate) tank: String,
}

/// Who has the focus: its name.
const FOCUSED: &str = r#"
const e = document.activeElement;
return e?.matches("input, select, textarea") ? (e.dataset.testid ?? "") : null;
"#;

impl Page {
    /// Types into one field after the other, going on with the keyboard's "next" key; a field that
    /// cannot be reached so is tapped.
    pub(crate) async fn type_row(&self, fields: &[(&str, &str)]) -> WebDriverResult<()> {
        for (key, text) in fields {
            self.go_to(&format!("form-{key}")).await?;
            self.press(text).await?;
        }
        Ok(())
    }

    async fn go_to(&self, id: &str) -> WebDriverResult<()> {
        self.see(id).await?;
        for _ in 0..NEAR {
            match self.run::<String>(FOCUSED, vec![]).await? {
                Some(here) if here == id => return Ok(()),
                // There the key begins a new line.
                Some(here) if here != "form-table" => self.press(NEXT).await?,
                _ => break,
            }
        }
        self.tap(id).await
    }

    /// Puts a text into a field at once in place of what is there, as pasting does: no part of it is
    /// ever in the field alone.
    pub(crate) async fn paste(&self, id: &str, text: &str) -> WebDriverResult<()> {
        self.fill(id, "").await?;
        self.driver.cdp().send_raw("Input.insertText", json!({ "text": text })).await.map(drop)
    }

    /// Chooses one of the options of a list: a tap opens it, a tap chooses.
    pub(crate) async fn choose(&self, id: &str, option: &str) -> WebDriverResult<()> {
        self.tap(id).await?;
        let list = self.driver.find(By::Testid(id)).await?;
        self.count_tap();
        list.find(By::Css(format!("option[value=\"{option}\"]"))).await?.click().await
    }

    /// Unfolds what of a form is needed less often.
    pub(crate) async fn unfold(&self) -> WebDriverResult<()> {
        let open = |seen: &Seen| seen.attributes.contains_key("open");
        if !open(&self.see("form-more").await?) {
            self.tap("form-more").await?;
        }
        self.see_that("form-more", "is unfolded", open).await.map(drop)
    }

    /// Finishes the open form; then the list is there again, from its top.
    pub(crate) async fn finish(&self) -> WebDriverResult<()> {
        self.tap("form-done").await?;
        self.see_no("form-done").await?;
        self.is_at_rest().await
    }

    /// What the foot of the bench says now.
    pub(crate) async fn foot(&self) -> WebDriverResult<Foot> {
        let text = async |id: &str| Ok::<_, WebDriverError>(self.see(id).await?.text);
        Ok(Foot {
            lies: text("bench-lies").await?,
            figures: text("bench-figures").await?,
            tank: text("bench-tank").await?,
        })
    }

    /// The boat of that name as its file has it, which the phone saves; from the Boats tab.
    pub(crate) async fn boat_file(&self, name: &str, into: &Path) -> WebDriverResult<BoatRecord> {
        let text = self.download(&self.share_button(name).await?, into).await?;
        let diary = read(&text).expect("the app's own file can be read");
        Ok(diary.boats.into_iter().next().expect("the boat is in it"))
    }

    /// The button that gives away the boat of that name.
    pub(crate) async fn share_button(&self, name: &str) -> WebDriverResult<String> {
        let button = r#"
            const label = `Share ${arguments[0]}`;
            return document.querySelector(`[aria-label="${label}"]`)?.dataset.testid ?? null;
        "#;
        let ask = async || self.run::<String>(button, vec![name.into()]).await;
        self.until(&format!("{name} can be shared"), ask).await
    }
}
