//! What was entered survives a reload and the loss of the network; the exported file brings
//! everything back.

use crate::driver::{FOLDER, Folder, on_a_phone, picture};
use crate::expected::{Entry, answer_of, demo_answer};
use crate::page::Page;
use serde_json::Value;
use thirtyfour::prelude::*;

fn entry() -> Entry {
    Entry { marks: vec![("stern", 5.0), ("bow", -3.0)], list: Some(-1.7), ..Entry::default() }
}

/// How many records of a kind a file holds.
fn n_records(file: &Value, kind: &str) -> usize {
    file[kind].as_array().map_or(0, Vec::len)
}

/// How many readings are in the sessions of a file.
fn n_readings(file: &Value) -> usize {
    let sessions = file["sessions"].as_array().into_iter().flatten();
    let entries = sessions.flat_map(|s| s["entries"].as_array().into_iter().flatten());
    entries.filter(|entry| entry.get("reading").is_some()).count()
}

impl Page {
    /// Opens the latest session and sees so many entries there.
    async fn see_readings(&self, n: usize) -> WebDriverResult<()> {
        self.tap("go-diary").await?;
        self.tap("session-0-open").await?;
        self.see(&format!("entry-{}", n - 1)).await?;
        self.see_no(&format!("entry-{n}")).await
    }

    /// Waits until the whole app is kept on the phone, which the Diary screen tells.
    pub(crate) async fn is_kept_offline(&self) -> WebDriverResult<()> {
        self.go_to_files().await?;
        self.see("offline-ready").await?;
        self.tap("go-pool").await?;
        let kept = "return navigator.serviceWorker.controller?.state === 'activated' || null;";
        let ask = async || self.run::<bool>(kept, vec![]).await;
        self.until("the app's copy is in charge", ask).await.map(drop)
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn a_reload_changes_nothing_that_was_entered() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        page.enter(&entry()).await?;
        page.tap("place-2").await?;
        page.tap("phone-aboard").await?;
        let expected = demo_answer(&Entry { place: 2, phone_aboard: true, ..entry() });
        page.see_answer(&expected).await?;
        page.reload().await?;
        page.see_answer(&expected).await?;
        for (field, value) in [("mark-stern", "5"), ("mark-bow", "3"), ("list", "1.7")] {
            assert_eq!(page.see(&format!("{field}-value")).await?.value, value, "{field}");
        }
        page.see_words("mark-bow-side", "below").await?;
        page.see_words("list-side", "to port").await?;
        assert!(page.see("phone-aboard").await?.checked, "the phone is still aboard");
        Ok(())
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_reading_is_kept_once_and_known_after_a_reload() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        page.enter(&entry()).await?;
        page.tap("keep-reading").await?;
        let is = |words: &'static str| move |seen: &crate::page::Seen| seen.text == words;
        page.see_that("keep-reading", "asks whether it is done", is("Done")).await?;
        page.see_kept().await?;
        page.reload().await?;
        page.see_that("keep-reading", "knows that it is kept", is("Done")).await?;
        // A figure that goes and comes back makes no other reading.
        page.enter_mark("stern", Some(4.0)).await?;
        page.see_that("keep-reading", "is another reading", is("Keep")).await?;
        page.enter_mark("stern", Some(5.0)).await?;
        page.see_that("keep-reading", "is the one that is kept", is("Done")).await?;
        page.tap("keep-reading").await?;
        page.see_no("keep-reading").await?;
        // No such weight was in the list: nothing is said to have changed there.
        page.see_words("pool-message", "the list is unchanged").await?;
        page.see_kept().await?;
        page.reload().await?;
        // The same figures of the boat as it is now are another reading.
        page.enter(&entry()).await?;
        page.see_that("keep-reading", "is a reading of another boat", is("Keep")).await?;
        page.see_readings(2).await
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn without_a_server_it_starts_keeps_exports_and_imports() {
    on_a_phone(FOLDER, |mut page| async move {
        let downloads = Folder::new();
        page.tap("start-demo").await?;
        page.enter(&entry()).await?;
        page.is_kept_offline().await?;
        page.server.kill().await;
        page.reload().await?;
        page.see_answer(&demo_answer(&entry())).await?;
        page.load().await?;
        page.see_answer(&demo_answer(&entry())).await?;

        page.tap("keep-reading").await?;
        page.enter_mark("stern", Some(2.0)).await?;
        let second = Entry { marks: vec![("stern", 2.0), ("bow", -3.0)], ..entry() };
        page.tap("keep-reading").await?;
        page.see_readings(2).await?;
        picture(&page.driver, "diary-offline").await?;

        let first = page.export(downloads.path()).await?;
        // The first reading counts with it.
        let answer = answer_of(&first);
        assert_ne!(answer, demo_answer(&second), "two readings tell more than one");
        page.tap("go-pool").await?;
        page.see_answer(&answer).await?;
        assert_eq!(n_records(&first, "boats"), 1, "the boat is in the file: {first}");
        assert_eq!(n_readings(&first), 2, "the readings are in the file: {first}");
        page.remove_everything().await?;
        page.tap("undo").await?;
        page.see_words("file-message", "Restored").await?;
        page.see_readings(2).await?;
        assert_eq!(page.export(downloads.path()).await?, first, "undone is as if never done");
        page.remove_everything().await?;
        page.tap("go-diary").await?;
        page.see_no("session-0").await?;
        page.reload().await?;
        page.tap("go-pool").await?;
        page.see("start-demo").await?;

        let file = downloads.path().join("kept.json");
        std::fs::write(&file, first.to_string())?;
        page.take_in_file(&file).await?;
        page.see_readings(2).await?;
        assert_eq!(page.export(downloads.path()).await?, first, "all that was in the file is back");

        // The same file once more brings nothing twice.
        let again = downloads.path().join("again.json");
        std::fs::copy(&file, &again)?;
        page.give_file("import", &again).await?;
        page.see_words("preview-new", "0").await?;
        page.see_words("preview-same", "2").await?;
        page.tap("take-in").await?;
        page.see_no("preview").await?;
        assert_eq!(page.export(downloads.path()).await?, first, "nothing came twice");
        page.tap("go-pool").await?;
        page.see_answer(&answer).await
    })
    .await;
}
