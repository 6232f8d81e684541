//! Two versions of the app, one after the other and side by side on one store: nothing is lost.

use crate::driver::{FOLDER, Folder, built_app, on_a_phone, run};
use crate::update::{ASK, VERSION, copy};
use serde::Deserialize;

#[tokio::test(flavor = "multi_thread")]
async fn an_app_that_is_updated_in_the_middle_of_a_session_loses_nothing() {
    let folder = Folder::new();
    copy(&built_app(), folder.path()).expect("a copy of the app");
    let worker = folder.path().join("sw.js");
    run(folder.path(), FOLDER, |page| async move {
        page.tap("start-demo").await?;
        page.is_kept_offline().await?;
        page.tap("go-diary").await?;
        page.fill("note-text", "before the update").await?;
        page.tap("note-add").await?;
        let old = std::fs::read_to_string(&worker)?;
        std::fs::write(&worker, old.replace(VERSION, "const version = \"newer-"))?;
        page.driver.execute_async(ASK, vec![]).await?;
        page.see("update-apply").await?;

        // The old one goes on.
        page.tap("go-pool").await?;
        page.enter_mark("bow", Some(-4.0)).await?;
        page.tap("keep-reading").await?;
        page.tap("go-boat").await?;
        page.tap("part-1").await?;
        page.fill("form-mass", "12 or 13").await?;
        page.tap("go-diary").await?;
        page.fill("note-text", "half a note").await?;
        page.take_update().await?;
        page.tap("go-pool").await?;
        assert_eq!(page.see("mark-bow-value").await?.value, "4", "the figure");
        page.see_words("keep-reading", "Done").await?;
        page.tap("go-boat").await?;
        assert_eq!(page.see("form-mass").await?.value, "12 or 13", "the form");
        page.tap("go-diary").await?;
        assert_eq!(page.see("note-text").await?.value, "half a note", "the note");
        assert_eq!(page.notes().await?, ["before the update"], "the session");
        page.see("entry-1").await.map(drop)
    })
    .await;
}

/// What a later version might do to the store: a shelf of its own, and fields of its own in the records.
const LATER: &str = r#"
const done = arguments[arguments.length - 1];
const open = indexedDB.open("trimwright", 3);
open.onupgradeneeded = () => open.result.createObjectStore("later");
open.onsuccess = () => {
  const all = open.result.transaction(["record", "session"], "readwrite");
  const told = [];
  for (const name of ["record", "session"]) {
    const store = all.objectStore(name);
    store.openCursor().onsuccess = (ev) => {
      const cursor = ev.target.result;
      if (!cursor) return;
      const one = JSON.parse(cursor.value);
      for (const thing of [...(one.boats ?? []), ...(one.sessions ?? []), one.draft ?? {}]) {
        thing.of_a_later_version = 1;
      }
      cursor.update(JSON.stringify(one));
      told.push([name, ...[cursor.key].flat()]);
      cursor.continue();
    };
  }
  all.oncomplete = () => {
    open.result.close();
    new BroadcastChannel("trimwright").postMessage(told);
    done(told.length);
  };
};
"#;

/// How many records have the later version's field, and what is put aside.
const FOUND: &str = r#"
const done = arguments[arguments.length - 1];
const open = indexedDB.open("trimwright");
open.onsuccess = () => {
  const all = open.result.transaction(["record", "session", "apart"]);
  const asked = ["record", "session", "apart"].map((name) => all.objectStore(name).getAll());
  all.oncomplete = () => {
    open.result.close();
    const texts = asked.map((a) => a.result.map(String));
    done({
      later: texts.slice(0, 2).flat().filter((t) => t.includes("of_a_later_version")).length,
      apart: texts[2],
    });
  };
};
"#;

#[derive(Debug, Deserialize)]
struct Found {
    later: u32,
    apart: Vec<String>,
}

#[tokio::test(flavor = "multi_thread")]
async fn a_page_goes_on_beside_a_later_version_on_the_same_store() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        page.tap("go-diary").await?;
        page.fill("note-text", "the first").await?;
        page.tap("note-add").await?;
        page.see_kept().await?;
        let records = page.run_async::<u32>(LATER).await?;
        assert_eq!(records, Some(4), "the boat, what is typed for it and for none, the session");
        page.fill("note-text", "the second").await?;
        page.tap("note-add").await?;
        page.tap("go-pool").await?;
        page.enter_mark("bow", Some(-4.0)).await?;
        page.tap("go-boat").await?;
        page.tap("part-1").await?;
        page.fill("form-mass", "345").await?;
        page.finish().await?;
        page.see_kept().await?;
        let found: Found = page.run_async(FOUND).await?.expect("the store");
        // The draft of no boat is empty, and has no place for a field.
        assert_eq!(found.later, 3, "what the later version wrote is there: {found:?}");
        page.reload().await?;
        page.tap("go-pool").await?;
        assert_eq!(page.see("mark-bow-value").await?.value, "4", "the figure");
        assert_eq!(page.notes().await?, ["the first", "the second"], "the notes");
        Ok(())
    })
    .await;
}

/// The boat's record as a version writes it that this one cannot read.
const UNREADABLE: &str = r#"
const done = arguments[arguments.length - 1];
const open = indexedDB.open("trimwright");
open.onsuccess = () => {
  const all = open.result.transaction("record", "readwrite");
  const key = ["boat", "demo-dipper"];
  all.objectStore("record").put('{"format":"trimwright","version":99,"boats":"otherwise"}', key);
  all.oncomplete = () => {
    open.result.close();
    new BroadcastChannel("trimwright").postMessage([["record", ...key]]);
    done(true);
  };
};
"#;

#[tokio::test(flavor = "multi_thread")]
async fn what_a_later_version_wrote_is_not_written_over() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        page.see_kept().await?;
        page.run_async::<bool>(UNREADABLE).await?;
        page.tap("go-boat").await?;
        page.tap("part-1").await?;
        for grams in ["34", "345"] {
            page.fill("form-mass", grams).await?;
            page.see_kept().await?;
        }
        let store = async || {
            let found: Option<Found> = page.run_async(FOUND).await?;
            Ok(found.filter(|f| f.apart.iter().any(|text| text.contains("0.345"))))
        };
        let found = page.until("what was typed is put aside", store).await?;
        let later = page.run_async::<String>(BOAT_TEXT).await?;
        assert!(later.is_some_and(|t| t.contains("otherwise")), "the later version's record stays");
        assert_eq!(found.apart.len(), 1, "and mine waits beside it, once: {found:?}");
        Ok(())
    })
    .await;
}

/// The text of the boat's record.
const BOAT_TEXT: &str = r#"
const done = arguments[arguments.length - 1];
const open = indexedDB.open("trimwright");
open.onsuccess = () => {
  const get = open.result.transaction("record").objectStore("record").get(["boat", "demo-dipper"]);
  get.onsuccess = () => { open.result.close(); done(get.result); };
};
"#;
