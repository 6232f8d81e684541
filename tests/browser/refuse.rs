//! A file that cannot be read whole is refused with the reason, and nothing kept changes.

use crate::driver::{FOLDER, Folder, on_a_phone, picture};

/// Name, contents, and words of the reason.
const BAD_FILES: [(&str, &[u8], &str); 6] = [
    ("cut.json", br#"{ "format": "trimwright", "version": 1, "boats": [ { "id""#, "cut short"),
    ("foreign.json", br#"{ "rows": [1, 2, 3] }"#, "not a Trimwright file"),
    ("newer.json", br#"{ "format": "trimwright", "version": 99, "boats": [] }"#, "version 99"),
    (
        "wrong.json",
        br#"{ "format": "trimwright", "version": 1, "boats": [ { "id": 7 } ] }"#,
        "damaged",
    ),
    ("picture.json", b"\x89PNG\r\n\x1a\n\x00\xff\xfe", "damaged"),
    ("empty.json", b"", "damaged"),
];

#[tokio::test(flavor = "multi_thread")]
async fn a_damaged_a_foreign_and_a_newer_file_are_refused_and_nothing_changes() {
    on_a_phone(FOLDER, |page| async move {
        let folder = Folder::new();
        page.tap("start-demo").await?;
        page.tap("keep-reading").await?;
        page.tap("go-diary").await?;
        page.see("session-0").await?;
        let before = page.export(folder.path()).await?;
        for (name, contents, reason) in BAD_FILES {
            let file = folder.path().join(name);
            std::fs::write(&file, contents)?;
            page.go_to_files().await?;
            page.give_file("import", &file).await?;
            page.see_words("file-message", reason).await?;
            assert_eq!(page.export(folder.path()).await?, before, "after {name}");
        }
        picture(&page.driver, "diary-refused").await?;
        page.reload().await?;
        page.tap("go-diary").await?;
        page.see("session-0").await?;
        assert_eq!(page.export(folder.path()).await?, before, "after a reload");
        Ok(())
    })
    .await;
}
