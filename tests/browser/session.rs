//! A session makes itself while somebody works: readings, what was foretold and what came of it, what
//! was done, notes, a picture, a run, in the order of time; and it can be printed.

use crate::driver::{FOLDER, Folder, on_a_phone, picture, print_to};
use crate::expected::{Entry, demo_answer};
use crate::page::Page;
use thirtyfour::prelude::*;

/// A picture of two pixels.
const PNG: [u8; 68] = [
    137, 80, 78, 71, 13, 10, 26, 10, 0, 0, 0, 13, 73, 72, 68, 82, 0, 0, 0, 2, 0, 0, 0, 1, 8, 0, 0,
    0, 0, 209, 73, 32, 86, 0, 0, 0, 11, 73, 68, 65, 84, 120, 156, 99, 112, 56, 0, 0, 1, 67, 1, 1,
    5, 17, 119, 124, 0, 0, 0, 0, 73, 69, 78, 68, 174, 66, 96, 130,
];

/// Keeps a reading and follows its advice.
async fn keep_and_do(page: &Page) -> WebDriverResult<()> {
    page.tap("keep-reading").await?;
    page.see_words("keep-reading", "Done").await?;
    page.tap("keep-reading").await?;
    page.see_words("answer-main", "Now read again").await.map(drop)
}

#[tokio::test(flavor = "multi_thread")]
async fn an_advice_is_closed_by_the_reading_that_follows() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        let first = Entry {
            marks: vec![("stern", -1.0), ("bow", -6.0)],
            list: Some(1.8),
            ..Entry::default()
        };
        page.see_answer(&demo_answer(&first)).await?;
        let advised = page.see("answer-main").await?.text;
        keep_and_do(&page).await?;
        // In the water again: nearly as foretold, but for a mark.
        page.enter_mark("stern", Some(0.0)).await?;
        page.enter_mark("bow", Some(0.0)).await?;
        page.fill("list-value", "0.1").await?;
        page.tap("keep-reading").await?;
        page.tap("go-diary").await?;
        page.tap("session-now").await?;
        page.see("entry-2").await?;
        picture(&page.driver, "session").await?;
        let [reading, done] = [page.see("entry-0").await?.text, page.see("entry-1").await?.text];
        assert!(reading.contains(&advised), "what was advised: {reading}");
        assert!(done.contains("✓ Done") && done.contains(&advised), "what was done: {done}");
        let closed = page.see("closed").await?.text;
        assert!(closed.contains("✓ List: predicted upright"), "the list came true: {closed}");
        assert!(closed.contains("got 0.1° to starboard"), "what was read: {closed}");
        assert!(closed.contains("Water at bow: predicted"), "the marks too: {closed}");
        page.reload().await?;
        page.tap("go-diary").await?;
        page.tap("session-0-open").await?;
        assert_eq!(page.see("closed").await?.text, closed, "it is kept");
        Ok(())
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn notes_pictures_and_runs_stand_in_the_order_of_time() {
    on_a_phone(FOLDER, |page| async move {
        let folder = Folder::new();
        let file = folder.path().join("bow.png");
        std::fs::write(&file, PNG)?;
        page.tap("start-demo").await?;
        page.tap("go-diary").await?;
        page.see_no("session-0").await?;
        page.fill("note-text", "Weed on the bow plane").await?;
        page.tap("note-add").await?;
        page.see_words("file-message", "Note kept").await?;
        page.tap("run").await?;
        page.see_words("run", "0:01").await?;
        page.reload().await?;
        page.tap("go-diary").await?;
        page.see_words("run", "End the run").await?;
        page.tap("run").await?;
        page.see_words("run", "Start a run").await?;
        page.give_file("picture", &file).await?;
        page.see_words("file-message", "Picture kept").await?;
        page.tap("session-now").await?;
        page.fill("session-place", "Quarry pond").await?;
        page.fill("session-weather", "Still, 12 °C").await?;
        page.see_words("entry-0", "Weed on the bow plane").await?;
        page.see_words("entry-1", "Run of 0:0").await?;
        let shown =
            "const e = find('picture-shown'); return e?.complete && e.naturalWidth === 2 || null;";
        page.until("the picture is shown", async || page.run::<bool>(shown, vec![]).await).await?;
        page.see_kept().await?;
        let all = page.export(folder.path()).await?;
        let entries = &all["sessions"][0]["entries"];
        let name = entries[2]["picture"]["name"].as_str().expect("the picture's name");
        assert!(all["pictures"][name]["base64"].is_string(), "its bytes are in the file: {all}");
        assert_eq!(all["sessions"][0]["place"], "Quarry pond", "the place is in the file");

        page.remove_everything().await?;
        let saved = folder.path().join("all.json");
        std::fs::write(&saved, all.to_string())?;
        page.take_in_file(&saved).await?;
        assert_eq!(page.export(folder.path()).await?, all, "all of it is back, the picture too");

        // An entry that goes can be put back, and so can a session.
        page.tap("go-diary").await?;
        page.tap("session-0-open").await?;
        page.tap("entry-0-remove").await?;
        page.see_no("entry-2").await?;
        page.tap("undo").await?;
        page.see_words("entry-0", "Weed on the bow plane").await?;
        page.tap("session-remove").await?;
        page.see_no("session-0").await?;
        page.tap("undo").await?;
        page.see("session-0").await?;
        page.see_kept().await?;
        page.reload().await?;
        page.tap("go-diary").await?;
        page.see_words("session-0", "Quarry pond").await.map(drop)
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_session_fits_on_a4_and_on_letter() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        keep_and_do(&page).await?;
        page.tap("go-diary").await?;
        page.fill("note-text", "Weed on the bow plane").await?;
        page.tap("note-add").await?;
        page.see_words("file-message", "Note kept").await?;
        page.tap("session-now").await?;
        page.fill("session-place", "Quarry pond").await?;
        page.see("session-print").await?;
        // Inches.
        for (name, [width, height]) in [("a4", [8.27, 11.69]), ("letter", [8.5, 11.0])] {
            let pdf = print_to(&page.driver, &format!("sheet-{name}"), [width, height]).await?;
            assert!(pdf.starts_with(b"%PDF"), "a sheet of {name}");
        }
        // What is printed is the sheet, and nothing of the screen.
        let printed = page.printed_text().await?;
        for words in [
            "Dipper · session sheet",
            "Quarry pond",
            "Weed on the bow plane",
            "All aboard, tanks empty",
        ] {
            assert!(printed.contains(words), "{words:?} is on the sheet: {printed}");
        }
        assert!(!printed.contains("Remove"), "no buttons on paper: {printed}");
        Ok(())
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn an_export_is_asked_for_after_some_sessions() {
    on_a_phone(FOLDER, |page| async move {
        let folder = Folder::new();
        page.tap("start-demo").await?;
        page.see_kept().await?;
        let sessions: Vec<_> = (1..=5)
            .map(|k| {
                serde_json::json!({
                    "id": format!("s{k}"),
                    "boat": "demo-dipper",
                    "started_at": format!("2026-05-0{k}T10:00:00.000Z"),
                    "entries": [],
                })
            })
            .collect();
        let file = folder.path().join("five.json");
        let text =
            serde_json::json!({ "format": "trimwright", "version": 3, "sessions": sessions });
        std::fs::write(&file, text.to_string())?;
        page.go_to_files().await?;
        page.see_no("export-reminder").await?;
        page.take_in_file(&file).await?;
        page.see_words("export-reminder", "5 sessions since").await?;
        page.export(folder.path()).await?;
        page.see_no("export-reminder").await?;
        page.reload().await?;
        page.tap("go-diary").await?;
        page.see("session-4").await?;
        page.see_no("export-reminder").await
    })
    .await;
}
