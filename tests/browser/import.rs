//! A file is taken in where the boats are: what is new in it is named first, and the phone's own settings change
//! only when that is asked for.

use crate::driver::{FOLDER, Folder, on_a_phone, picture, resize};
use crate::page::{Page, Seen};
use std::path::Path;
use thirtyfour::prelude::*;
use trimwright::boat::demo_boat;
use trimwright::diary::{
    BoatRecord, ChecksRecord, Diary, Draft, Entry, EntryRecord, LengthUnit, ReadingRecord,
    SessionRecord, Settings, WaterDraft, WaterKind, write,
};

/// Another builder's phone: German, in inches, at the sea, with two boats, three readings and a list of checks.
fn of_another_phone() -> Diary {
    let boat = |id: &str, name: &str| BoatRecord {
        name: name.to_owned(),
        ..BoatRecord::ledger(id, &demo_boat().expect("fixed sizes"))
    };
    let reading = |k: usize| EntryRecord {
        id: format!("read-{k}"),
        at: format!("2026-05-0{k}T10:05:00.000Z"),
        what: Entry::Reading(Box::new(ReadingRecord {
            water_density_kg_m3: 1025.0,
            list_deg: Some(1.0),
            ..ReadingRecord::default()
        })),
        extra: serde_json::Map::default(),
    };
    let session = |k: usize, readings: usize| SessionRecord {
        id: format!("session-{k}"),
        boat: "teal".to_owned(),
        started_at: format!("2026-05-0{k}T10:00:00.000Z"),
        entries: (k..k + readings).map(reading).collect(),
        ..SessionRecord::default()
    };
    let checks = ChecksRecord { id: "teal".to_owned(), ..ChecksRecord::default() };
    Diary {
        boats: vec![boat("teal", "Teal"), boat("wigeon", "Wigeon")],
        sessions: vec![session(1, 2), session(4, 1)],
        checks: vec![checks],
        draft: Draft {
            water: WaterDraft { kind: WaterKind::Sea, ..WaterDraft::default() },
            ..Draft::default()
        },
        settings: Settings {
            language: "de".to_owned(),
            theme: "night".to_owned(),
            length: LengthUnit::Inch,
            ..Settings::default()
        },
        ..Diary::default()
    }
}

/// What of the phone could follow a file: language, look, a length, the water.
async fn see_own_settings(page: &Page, how: &str) -> WebDriverResult<()> {
    let look = "const d = document.documentElement; return [d.lang, d.dataset.theme ?? ''];";
    let look: Option<[String; 2]> = page.run(look, vec![]).await?;
    assert_eq!(look, Some(["en", ""].map(str::to_owned)), "{how}");
    page.fill("mark-bow-value", "3").await?;
    page.see_words("mark-bow-side", "mm above").await?;
    page.see_that("water-fresh", "is the water", |seen| seen.checked).await.map(drop)
}

async fn give(page: &Page, by: &Path) -> WebDriverResult<()> {
    std::fs::write(by, write(&of_another_phone()))?;
    page.give_file("import", by).await?;
    page.see("preview").await.map(drop)
}

#[tokio::test(flavor = "multi_thread")]
async fn an_empty_phone_takes_in_a_file_and_keeps_its_own_settings() {
    on_a_phone(FOLDER, |page| async move {
        let folder = Folder::new();
        give(&page, &folder.path().join("teal.json")).await?;
        page.see_words("preview-boats", "Teal, Wigeon").await?;
        page.see_words("preview-readings", "3, sessions: 2").await?;
        page.see_words("preview-checks", "1").await?;
        page.see_that("take-settings", "is not ticked", |seen| !seen.checked).await?;
        resize(&page.driver, 320, 568).await?;
        picture(&page.driver, "import-welcome").await?;
        resize(&page.driver, 390, 844).await?;
        page.tap("take-in").await?;
        page.see("mark-bow-value").await?;
        page.see_words("pool-message", "Opened: 5 new").await?;
        see_own_settings(&page, "after the import").await?;
        page.see_kept().await?;
        page.reload().await?;
        page.see("mark-bow-value").await?;
        see_own_settings(&page, "and when the app starts anew").await
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_file_is_taken_in_from_the_list_of_boats_with_its_settings_when_they_are_asked_for() {
    on_a_phone(FOLDER, |page| async move {
        let folder = Folder::new();
        page.tap("start-demo").await?;
        page.tap("go-boat").await?;
        page.tap("bench-boats").await?;
        give(&page, &folder.path().join("teal.json")).await?;
        // A look at another screen leaves the file.
        page.tap("go-pool").await?;
        page.tap("go-boat").await?;
        page.see_no("preview").await?;
        give(&page, &folder.path().join("again.json")).await?;
        page.tap("take-settings").await?;
        page.see_that("take-settings", "is ticked", |seen| seen.checked).await?;
        page.tap("take-in").await?;
        let german = |seen: &Seen| seen.text.contains("Tagebuch");
        page.see_that("go-diary", "is German", german).await?;
        page.see("take-teal").await?;
        page.tap("go-pool").await?;
        // Six millimetres below.
        page.see_that("mark-bow-value", "is in inches", |seen| seen.value == "0,2362").await?;
        page.see_that("water-sea", "is the water", |seen| seen.checked).await.map(drop)
    })
    .await;
}
