//! What the phone keeps: a full store says so and loses nothing, two windows keep the edits of both,
//! what cannot be read is set apart.

use crate::driver::{Folder, Tabs, limit_store, picture, run_for};
use crate::page::Page;
use serde_json::json;
use std::time::Duration;
use thirtyfour::prelude::*;

/// Longest that one of these may take.
const LIMIT: Duration = Duration::from_secs(180);

/// Large pieces first, then smaller ones, down to a single byte. Random ones: a browser may press them.
const FILL: &str = r#"
const done = arguments[arguments.length - 1];
const open = indexedDB.open("filler");
open.onupgradeneeded = () => open.result.createObjectStore("all", { autoIncrement: true });
const piece = (size) => {
  const bytes = new Uint8Array(size);
  for (let at = 0; at < size; at += 65536) crypto.getRandomValues(bytes.subarray(at, at + 65536));
  return bytes;
};
const put = (size) => new Promise((go) => {
  const all = open.result.transaction("all", "readwrite", { durability: "strict" });
  all.objectStore("all").put(piece(size));
  all.oncomplete = () => go(true);
  all.onabort = () => go(false);
});
open.onsuccess = async () => {
  let n = 0;
  for (const size of [4194304, 262144, 16384, 1024, 64, 1]) {
    for (let k = 0; k < 64 && await put(size); k++) n += 1;
  }
  done(n);
};
"#;

/// Throws the filler away.
const EMPTY: &str = r#"
const done = arguments[arguments.length - 1];
const open = indexedDB.open("filler");
open.onsuccess = () => {
  const all = open.result.transaction("all", "readwrite");
  all.objectStore("all").clear();
  all.oncomplete = () => { open.result.close(); indexedDB.deleteDatabase("filler"); done(true); };
};
"#;

impl Page {
    /// Writes a note into the session that goes on.
    async fn write_note(&self, words: &str) -> WebDriverResult<()> {
        self.tap("go-diary").await?;
        self.fill("note-text", words).await?;
        self.tap("note-add").await
    }

    /// Fills the browser's database beside the app's own until not one byte more goes in.
    async fn fill_store(&self) -> WebDriverResult<()> {
        let n = self.run_async::<u32>(FILL).await?;
        assert!(n > Some(4), "something was put in: {n:?}");
        Ok(())
    }

    /// Makes room again.
    async fn empty_filler(&self) -> WebDriverResult<()> {
        self.run_async::<bool>(EMPTY).await.map(drop)
    }

    /// The notes of the latest session.
    pub(crate) async fn notes(&self) -> WebDriverResult<Vec<String>> {
        self.tap("go-diary").await?;
        self.tap("session-now").await?;
        self.see("session-place").await?;
        let all =
            "return [...document.querySelectorAll('.timeline .note')].map((e) => e.textContent);";
        Ok(self.run(all, vec![]).await?.unwrap_or_default())
    }
}

/// A diary of one session with a note of six million letters that cannot be pressed: whatever room the
/// browser finds by tidying up, it is not as much.
fn big_diary() -> String {
    let mut state = 1_u64;
    let letter = |_: u32| {
        state =
            state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        char::from(b'a' + u8::try_from((state >> 33) % 26).expect("below 26"))
    };
    let note: String = (0..6_000_000).map(letter).collect();
    let at = "2026-05-09T10:00:00.000Z";
    let entry = json!({ "id": "entry-1", "at": at, "note": note });
    let session = json!({ "id": "long", "boat": "smew", "started_at": at, "entries": [entry] });
    json!({ "format": "trimwright", "version": 3, "sessions": [session] }).to_string()
}

#[tokio::test(flavor = "multi_thread")]
async fn a_full_store_says_so_at_once_and_nothing_is_lost() {
    run_for(LIMIT, async |page, tabs: Tabs| {
        let downloads = Folder::new();
        page.load().await?;
        // So much that the app and a few records go in, and little enough to be filled soon.
        limit_store(page, Some(40_000_000)).await?;
        page.tap("start-demo").await?;
        page.write_note("before").await?;
        page.see_words("file-message", "Note kept").await?;
        page.fill_store().await?;
        page.write_note("into a full store").await?;
        page.see_words("not-kept", "full").await?;
        picture(&page.driver, "store-full").await?;
        assert_eq!(page.notes().await?, ["before", "into a full store"], "both are on the screen");
        let said = page.look("file-message").await?.map(|seen| seen.text).unwrap_or_default();
        assert_eq!(said, "", "it does not say that the note was kept");

        // The export that is offered has what could not be kept.
        let export = page.download("not-kept-export", downloads.path()).await?;
        assert!(export.contains("into a full store"), "{export}");

        // With room again, it is written at the next try.
        page.empty_filler().await?;
        page.tap("not-kept-again").await?;
        page.see_no("not-kept").await?;
        page.see_kept().await?;
        tabs.kill(page).await?;
        page.load().await?;
        assert_eq!(page.notes().await?, ["before", "into a full store"], "both are kept");

        // An import for which there is no room changes nothing. The limit went with the tab.
        limit_store(page, Some(40_000_000)).await?;
        page.fill_store().await?;
        let file = downloads.path().join("big.json");
        std::fs::write(&file, big_diary())?;
        page.go_to_files().await?;
        let before = page.export(downloads.path()).await?;
        page.give_file("import", &file).await?;
        page.see("preview").await?;
        page.tap("take-in").await?;
        page.see_words("file-message", "Nothing was changed").await?;
        assert_eq!(page.export(downloads.path()).await?, before, "all or nothing");
        limit_store(page, None).await
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_small_store_filled_to_the_last_byte_keeps_the_rest_going() {
    run_for(LIMIT, async |page, tabs: Tabs| {
        page.load().await?;
        page.tap("start-demo").await?;
        page.see_kept().await?;
        // Whole pieces first, then single letters, until not one more goes in.
        let fill = r#"
          let k = 0;
          for (const size of [262144, 4096, 64, 1]) {
            const piece = "x".repeat(size);
            for (;;) {
              try { localStorage.setItem(`filler-${k}`, piece); k += 1; } catch { break; }
            }
          }
          return k;
        "#;
        assert!(page.run::<u32>(fill, vec![]).await? > Some(10), "it was filled");
        page.tap("go-diary").await?;
        page.tap("go-settings").await?;
        page.tap("theme-night").await?;
        page.see_words("not-kept", "full").await?;
        page.write_note("beside a full small store").await?;
        page.see_words("file-message", "Note kept").await?;
        page.see_words("not-kept", "full").await?;
        tabs.kill(page).await?;
        page.load().await?;
        assert_eq!(page.notes().await?, ["beside a full small store"], "the diary is elsewhere");
        page.run::<()>("localStorage.clear(); return null;", vec![]).await.map(drop)
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn two_windows_keep_the_edits_of_both() {
    run_for(LIMIT, async |page, tabs: Tabs| {
        page.load().await?;
        page.tap("start-demo").await?;
        page.write_note("the first").await?;
        page.see_kept().await?;
        let one = page.driver.window().await?;
        let other = tabs.open(page).await?;
        page.load().await?;
        // The same session, the same boat, the same reading, in both.
        page.write_note("from the other window").await?;
        page.tap("go-pool").await?;
        page.enter_mark("bow", Some(-9.0)).await?;
        page.see_kept().await?;
        page.driver.switch_to_window(one.clone()).await?;
        page.write_note("from this window").await?;
        page.tap("session-now").await?;
        page.fill("session-place", "Quarry pond").await?;
        page.see_kept().await?;
        let both = ["the first", "from the other window", "from this window"];
        for window in [one, other] {
            page.driver.switch_to_window(window).await?;
            assert_eq!(page.notes().await?, both, "both edits in each window");
            assert_eq!(page.see("session-place").await?.value, "Quarry pond", "and the place");
            page.tap("go-pool").await?;
            assert_eq!(page.see("mark-bow-value").await?.value, "9", "and the figure");
        }
        page.load().await?;
        assert_eq!(page.notes().await?, both, "both edits are kept");
        Ok(())
    })
    .await;
}

/// Writes in both windows without a turn between: each has the record as it was before the other.
const RACE: &str = r#"
const done = arguments[arguments.length - 1];
const open = indexedDB.open("trimwright");
open.onsuccess = () => {
  const store = open.result.transaction("session", "readwrite").objectStore("session");
  const keys = store.getAllKeys();
  keys.onsuccess = () => {
    const get = store.get(keys.result[0]);
    get.onsuccess = () => {
      // As another window would have written it, without telling this one.
      const one = JSON.parse(get.result);
      one.sessions[0].weather = "windy";
      store.put(JSON.stringify(one), keys.result[0]).onsuccess = () => done(true);
    };
  };
};
"#;

#[tokio::test(flavor = "multi_thread")]
async fn what_another_window_wrote_unheard_is_joined_when_it_is_written() {
    run_for(LIMIT, async |page, _tabs: Tabs| {
        page.load().await?;
        page.tap("start-demo").await?;
        page.write_note("the first").await?;
        page.see_kept().await?;
        page.tap("session-now").await?;
        page.see("session-place").await?;
        assert_eq!(page.run_async::<bool>(RACE).await?, Some(true), "written behind its back");
        page.fill("session-place", "Quarry pond").await?;
        page.see_kept().await?;
        let weather = |seen: &crate::page::Seen| seen.value == "windy";
        page.see_that("session-weather", "is taken over", weather).await?;
        page.load().await?;
        page.notes().await?;
        assert_eq!(page.see("session-place").await?.value, "Quarry pond", "mine");
        assert_eq!(page.see("session-weather").await?.value, "windy", "theirs");
        Ok(())
    })
    .await;
}

/// Damages the boat's record and a session's.
const DAMAGE: &str = r#"
const done = arguments[arguments.length - 1];
const open = indexedDB.open("trimwright");
open.onsuccess = () => {
  const all = open.result.transaction(["record", "session"], "readwrite");
  all.objectStore("record").put('{"format":"trimwright","version":3,"boats":[{"id"', ["boat", "hurt"]);
  all.objectStore("session").put("\u0000\u0001", ["2025-01-01T10:00:00.000Z", "demo-dipper", "hurt"]);
  all.oncomplete = () => done(true);
};
"#;

#[tokio::test(flavor = "multi_thread")]
async fn what_cannot_be_read_is_set_apart_and_the_rest_goes_on() {
    run_for(LIMIT, async |page, _tabs: Tabs| {
        let downloads = Folder::new();
        page.load().await?;
        page.tap("start-demo").await?;
        page.write_note("still here").await?;
        page.see_kept().await?;
        page.run_async::<bool>(DAMAGE).await?;
        page.load().await?;
        page.tap("go-pool").await?;
        page.see("mark-bow-value").await?;
        page.tap("go-diary").await?;
        page.see_words("apart", "Could not be read").await?;
        picture(&page.driver, "set-apart").await?;
        assert_eq!(page.notes().await?, ["still here"], "the rest goes on");
        page.tap("go-diary").await?;
        // The damaged session stands in the list, where it belongs.
        page.see_words("session-1", "cut short").await?;
        let export = page.export(downloads.path()).await?;
        assert_eq!(export["boats"].as_array().map(Vec::len), Some(1), "what can be read: {export}");
        page.tap("go-diary").await?;
        page.tap("apart-remove").await?;
        page.see_no("apart").await?;
        page.see_kept().await?;
        page.load().await?;
        page.tap("go-diary").await?;
        page.see("session-now").await?;
        page.see_no("apart").await
    })
    .await;
}

/// What an app of version 2 of the file kept: one text for everything.
const OF_VERSION_2: &str = r#"
localStorage.setItem("trimwright.diary", JSON.stringify({
  format: "trimwright", version: 2,
  boats: [{ id: "old", name: "Smew", quick: { length_m: 0.9, beam_m: 0.12, depth_m: 0.14, mass_kg: 6.2,
    waterline_m: 0.1, fullness: 0.75, water_density_kg_m3: 998.2 } }],
  readings: [{ id: "r1", boat: "old", kept_at: "2026-05-09T10:31:00.000Z", condition: "afloat",
    water_density_kg_m3: 998.2, water: "fresh 20 °C", marks: [], list_deg: 1.5, fill: 0 }],
  draft: { boat: "old", list: "2.5" }, settings: { theme: "night" },
}));
return null;
"#;

#[tokio::test(flavor = "multi_thread")]
async fn what_an_older_app_kept_is_taken_in_record_by_record() {
    run_for(LIMIT, async |page, tabs: Tabs| {
        page.load().await?;
        page.run::<()>(OF_VERSION_2, vec![]).await?;
        page.load().await?;
        assert_eq!(page.see("list-value").await?.value, "2.5", "what was being typed");
        page.tap("go-diary").await?;
        page.see_words("session-0", "list 1.5° to starboard").await?;
        let gone = "return localStorage.getItem('trimwright.diary') === null;";
        assert_eq!(page.run::<bool>(gone, vec![]).await?, Some(true), "it has moved");
        let theme = "return document.documentElement.dataset.theme;";
        assert_eq!(page.run::<String>(theme, vec![]).await?.as_deref(), Some("night"), "the theme");
        tabs.kill(page).await?;
        page.load().await?;
        page.tap("go-diary").await?;
        page.see_words("session-0", "Smew").await.map(drop)
    })
    .await;
}
