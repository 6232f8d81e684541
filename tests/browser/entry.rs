//! Entering a reading on the Pool screen, and reading the answer off it.

use crate::expected::{Answer, Entry};
use crate::page::{Page, Seen};
use thirtyfour::prelude::*;

/// The marks of every boat in these tests.
pub(crate) const MARKS: [&str; 3] = ["stern", "midship", "bow"];

impl Page {
    /// Types a whole reading in place of what is there, a side chosen by a tap where it needs one.
    pub(crate) async fn enter(&self, entry: &Entry) -> WebDriverResult<()> {
        let under = entry.heavy.is_some();
        self.tap(if under { "state-under" } else { "state-afloat" }).await?;
        for mark in MARKS.iter().filter(|_| !under) {
            let read = entry.marks.iter().find(|(name, _)| name == mark).map(|(_, mm)| *mm);
            self.enter_mark(mark, read).await?;
        }
        if let Some(grams) = entry.heavy {
            self.enter_sided("residual", Some(grams), ["heavy", "light"]).await?;
            let fill = entry.fill.map_or_else(String::new, |fill| fill.to_string());
            self.fill("fill-value", &fill).await?;
        }
        self.enter_sided("list", entry.list, ["to starboard", "to port"]).await?;
        self.enter_sided("trim", entry.trim, ["bow down", "stern down"]).await?;
        if !under && self.see("phone-aboard").await?.checked != entry.phone_aboard {
            self.tap("phone-aboard").await?;
        }
        self.tap(&format!("place-{}", entry.place)).await
    }

    /// Types the water at a mark, millimetres above it; none empties the field. A mark without a
    /// field gets one by a tap on it in the drawing.
    pub(crate) async fn enter_mark(&self, mark: &str, mm: Option<f64>) -> WebDriverResult<()> {
        if self.look(&format!("mark-{mark}-value")).await?.is_none() {
            if mm.is_none() {
                return Ok(());
            }
            self.tap(&format!("draw-mark-{mark}")).await?;
        }
        self.enter_sided(&format!("mark-{mark}"), mm, ["above", "below"]).await
    }

    /// Types a figure without its sign, and gives it its side: the words for more and less than
    /// nothing.
    pub(crate) async fn enter_sided(
        &self,
        id: &str,
        figure: Option<f64>,
        [more, less]: [&str; 2],
    ) -> WebDriverResult<()> {
        let typed = figure.map_or_else(String::new, |figure| figure.abs().to_string());
        self.fill(&format!("{id}-value"), &typed).await?;
        let Some(figure) = figure.filter(|figure| figure.abs() > 0.0) else { return Ok(()) };
        let (side, words) = (format!("{id}-side"), if figure > 0.0 { more } else { less });
        // The side follows what was typed a moment ago.
        let known = |seen: &Seen| seen.text.contains(more) || seen.text.contains(less);
        if !self.see_that(&side, "names a side", known).await?.text.contains(words) {
            self.tap(&side).await?;
        }
        self.see_words(&side, words).await.map(drop)
    }

    /// Takes the focus from whatever has it: the answer is whole when nothing is typed.
    pub(crate) async fn rest(&self) -> WebDriverResult<()> {
        self.run::<()>("document.activeElement.blur(); return null;", vec![]).await.map(drop)
    }

    /// The answer on the screen.
    pub(crate) async fn answer(&self) -> WebDriverResult<Answer> {
        Ok(answer_in(&self.see("answer").await?))
    }

    /// Waits for the answer that the core gives.
    pub(crate) async fn see_answer(&self, expected: &Answer) -> WebDriverResult<()> {
        let is_so = |seen: &Seen| answer_in(seen) == *expected;
        self.see_that("answer", &format!("says {expected:?}"), is_so).await?;
        self.see_it_in_words(expected).await
    }

    /// The answer's words name what its figures do, and what comes of it.
    async fn see_it_in_words(&self, expected: &Answer) -> WebDriverResult<()> {
        let Some([grams, ..]) = expected.figures else { return Ok(()) };
        self.rest().await?;
        let verb = match expected.kind.as_str() {
            "add" => "Add",
            "take-off" => "Take off",
            _ => "Shift",
        };
        let main = self.see("answer-main").await?.text;
        assert_eq!(main, format!("{verb} {grams} g"), "the answer in words");
        assert!(!self.see("answer-after").await?.text.is_empty(), "what comes of it is told");
        let place = self.see("answer-place").await?.text;
        assert!(place.contains("mm") && place.contains('±'), "where, with a ±: {place:?}");
        if expected.kind != "shift" {
            let spread = self.see("answer-spread").await?.text;
            assert!(spread.contains('±') && spread.ends_with('g'), "how sure: {spread:?}");
        }
        Ok(())
    }
}

pub(crate) fn answer_in(seen: &Seen) -> Answer {
    let attribute = |name: &str| seen.attributes.get(name).map(String::as_str);
    let figure = |name: &str| attribute(name).and_then(|text| text.parse::<i64>().ok());
    let kind = attribute("data-kind").unwrap_or("none").to_owned();
    let figures = match (figure("data-grams"), figure("data-x-mm"), figure("data-y-mm")) {
        (Some(grams), Some(x), Some(y)) if kind != "leave" && kind != "lower" => {
            Some([grams, x, y])
        }
        _ => None,
    };
    Answer { kind, figures }
}
