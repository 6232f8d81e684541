//! Entering a boat part by part on the Boat screen, and reading what it says of the boat.

use crate::expected::bench_words;
use crate::page::{Page, Seen};
use std::path::Path;
use thirtyfour::prelude::*;
use trimwright::boat::Boat;
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

/// A screen, or a form on it: its name, the taps that lead there, and whether it is a form.
type Stop = (&'static str, &'static [&'static str], bool);

/// Every screen with the demonstration boat in hand, and its forms.
const STOPS: [Stop; 21] = [
    ("pool", &["go-pool"], false),
    ("diary", &["go-diary"], false),
    ("session", &["go-diary", "session-now"], false),
    ("files", &["go-diary", "go-files"], false),
    ("settings", &["go-diary", "go-settings"], false),
    ("past", &["go-diary", "go-past"], false),
    ("dive", &["go-dive"], false),
    ("checks", &["go-checks"], false),
    ("checks-edit", &["go-checks", "checks-edit"], false),
    ("parts", &["go-boat", "bench-parts"], false),
    ("tanks", &["go-boat", "bench-tanks"], false),
    ("marks", &["go-boat", "bench-marks"], false),
    ("results", &["go-boat", "bench-results"], false),
    ("boats", &["go-boat", "bench-boats"], false),
    ("weight", &["go-boat", "bench-parts", "part-1", "form-more"], true),
    ("part", &["go-boat", "bench-parts", "part-13", "form-more"], true),
    ("shapes", &["go-boat", "bench-parts", "part-6", "shape-change"], true),
    ("tank", &["go-boat", "bench-tanks", "tank-0", "form-more"], true),
    ("mark", &["go-boat", "bench-marks", "mark-0"], true),
    ("place", &["go-boat", "bench-marks", "place-0"], true),
    ("length", &["go-boat", "bench-boats", "edit-boat"], true),
];

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

    /// Goes to every screen and form in turn, with the demonstration boat in hand, and looks at each
    /// from its top.
    pub(crate) async fn tour(
        &self,
        mut look: impl AsyncFnMut(&'static str) -> WebDriverResult<()>,
    ) -> WebDriverResult<()> {
        for (name, taps, is_form) in STOPS {
            for tap in taps {
                // What was tapped may have moved what is tapped next.
                self.is_at_rest().await?;
                self.tap(tap).await?;
            }
            self.run::<()>("scrollTo(0, 0); return null;", vec![]).await?;
            self.is_at_rest().await?;
            look(name).await?;
            if is_form {
                self.finish().await?;
            }
        }
        Ok(())
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

    /// Waits until the foot of the bench says of a boat what the core says.
    pub(crate) async fn see_foot_of(&self, boat: &Boat) -> WebDriverResult<()> {
        let [lies, stiffness, mass] = bench_words(boat);
        self.see_words("bench-lies", &lies).await?;
        self.see_words("bench-figures", &stiffness).await?;
        self.see_words("bench-figures", &mass).await.map(drop)
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
