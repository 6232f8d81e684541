//! Removing everything asks first and can be put back whole; leftovers go when nothing can need them;
//! a session's rows stand while another entry comes.

use crate::driver::{FOLDER, Folder, Tabs, on_a_phone, picture, run_for};
use crate::faults::Faults;
use crate::page::Page;
use serde_json::{Value, json};
use std::time::Duration;
use thirtyfour::prelude::*;
use trimwright::boat::{Boat, Part};
use trimwright::diary::{BoatRecord, Diary, write};
use trimwright::frame::Position;
use trimwright::geometry::{Fineness, Solid};

/// Longest that a test with several tabs may take.
const LIMIT: Duration = Duration::from_secs(180);

/// All that is in the database, shelf by shelf: texts as they are, bytes as their number.
const DUMP: &str = r#"
const done = arguments[arguments.length - 1];
const open = indexedDB.open("trimwright");
open.onsuccess = async () => {
  const all = {};
  for (const name of open.result.objectStoreNames) {
    const store = open.result.transaction([name]).objectStore(name);
    const ask = (request) => new Promise((go) => { request.onsuccess = () => go(request.result); });
    const [keys, values] = await Promise.all([ask(store.getAllKeys()), ask(store.getAll())]);
    all[name] = keys.map((key, k) => [String(key), values[k].length < 1e4 ? String(values[k]) : values[k].length]);
  }
  open.result.close();
  done(all);
};
"#;

/// Puts texts that cannot be read where a boat and a session are kept.
const DAMAGE: &str = r#"
const done = arguments[arguments.length - 1];
const open = indexedDB.open("trimwright");
open.onsuccess = () => {
  const all = open.result.transaction(["record", "session"], "readwrite");
  all.objectStore("record").put('{"format":"trimwright","vers', ["boat", "hurt"]);
  all.objectStore("session").put("\u0000", ["2025-01-01T10:00:00.000Z", "demo-dipper", "hurt"]);
  all.oncomplete = () => { open.result.close(); done(true); };
};
"#;

/// Whether one window holds a place, if so.
const ALONE: &str = r#"
const done = arguments[arguments.length - 1];
navigator.locks.query().then(({ held }) => {
  done(held.filter((lock) => lock.name === "trimwright.window").length === 1 || null);
});
"#;

/// A picture of two pixels.
const PNG: [u8; 68] = [
    137, 80, 78, 71, 13, 10, 26, 10, 0, 0, 0, 13, 73, 72, 68, 82, 0, 0, 0, 2, 0, 0, 0, 1, 8, 0, 0,
    0, 0, 209, 73, 32, 86, 0, 0, 0, 11, 73, 68, 65, 84, 120, 156, 99, 112, 56, 0, 0, 1, 67, 1, 1,
    5, 17, 119, 124, 0, 0, 0, 0, 73, 69, 78, 68, 174, 66, 96, 130,
];

impl Page {
    async fn dump(&self) -> WebDriverResult<Value> {
        self.see_kept().await?;
        Ok(self.run_async(DUMP).await?.expect("the shelves"))
    }

    /// Notes a picture in the session that goes on.
    async fn add_picture(&self, folder: &Folder) -> WebDriverResult<()> {
        let file = folder.path().join("bow.png");
        std::fs::write(&file, PNG)?;
        self.tap("go-diary").await?;
        self.give_file("picture", &file).await?;
        self.see_words("file-message", "Picture kept").await.map(drop)
    }

    async fn add_note(&self, words: &str) -> WebDriverResult<()> {
        self.fill("note-text", words).await?;
        self.tap("note-add").await?;
        self.see_words("file-message", "Note kept").await.map(drop)
    }

    /// Clears out leftovers, and waits for these words.
    async fn sweep(&self, words: &str) -> WebDriverResult<()> {
        self.go_to_files().await?;
        self.tap("sweep").await?;
        self.see_words("file-message", words).await.map(drop)
    }
}

fn shelf<'a>(dump: &'a Value, name: &str) -> &'a [Value] {
    dump[name].as_array().map_or(&[], Vec::as_slice)
}

#[tokio::test(flavor = "multi_thread")]
async fn everything_is_removed_only_when_asked_and_comes_back_whole() {
    on_a_phone(FOLDER, |page| async move {
        let folder = Folder::new();
        page.tap("start-demo").await?;
        page.add_picture(&folder).await?;
        // A second boat, with something typed for each.
        page.tap("go-pool").await?;
        page.fill("list-value", "2.25").await?;
        page.tap("go-boat").await?;
        page.tap("bench-boats").await?;
        page.tap("template-2").await?;
        page.tap("go-pool").await?;
        page.fill("list-value", "3.75").await?;
        // What is typed while there is no boat is nobody's.
        let of_somebody = |mut all: Value| {
            let records = all["record"].as_array_mut().expect("a list");
            records.retain(|r| r[0] != json!("draft,"));
            all
        };
        let before = of_somebody(page.dump().await?);

        page.go_to_files().await?;
        assert!(page.look("remove-all").await?.is_none(), "not beside the table");
        page.tap("go-remove").await?;
        let asked = page.see_words("remove-what", "Removes all").await?.text;
        assert!(asked.contains("sessions (1)") && asked.contains("kB"), "what would go: {asked}");
        picture(&page.driver, "remove-everything").await?;
        let file: Value =
            serde_json::from_str(&page.download("remove-export", folder.path()).await?)?;
        assert_eq!(file["boats"].as_array().map(Vec::len), Some(2), "the file of it first");
        page.tap("remove-not").await?;
        assert_eq!(of_somebody(page.dump().await?), before, "nothing was removed");

        page.remove_everything().await?;
        let said = page.see("file-message").await?.text;
        assert!(said.contains("until you remove something else or close"), "no more: {said}");
        let gone = page.dump().await?;
        for name in ["session", "state", "mesh", "picture"] {
            assert_eq!(shelf(&gone, name), &[] as &[Value], "{name}");
        }
        page.tap("undo").await?;
        page.see_words("file-message", "Restored").await?;
        let back = of_somebody(page.dump().await?);
        assert_eq!(back, before, "to the last letter: what was typed for the other boat too");
        page.tap("go-pool").await?;
        assert_eq!(page.see("list-value").await?.value, "3.75", "the boat in hand");

        page.remove_everything().await?;
        page.reload().await?;
        page.go_to_files().await?;
        page.see_no("undo").await?;
        let said = page.look("file-message").await?.map(|seen| seen.text).unwrap_or_default();
        assert_eq!(said, "", "after a start nothing is claimed");
        Ok(())
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn what_cannot_be_read_is_not_removed_with_the_rest() {
    on_a_phone(FOLDER, |page| async move {
        let folder = Folder::new();
        page.lay_faults().await?;
        page.reload().await?;
        page.tap("start-demo").await?;
        page.add_picture(&folder).await?;
        page.see_kept().await?;
        page.run_async::<bool>(DAMAGE).await?;
        page.reload().await?;
        page.go_to_files().await?;
        page.tap("go-remove").await?;
        page.see_words("remove-what", "sessions (1)").await?;
        let before = page.dump().await?;

        // What the store does not give is in no copy: then nothing is removed.
        page.let_fail(Faults::all(&["get picture"])).await?;
        page.see("remove-all").await?;
        page.mend().await?;
        page.let_fail(Faults::all(&["get session"])).await?;
        page.tap("remove-all").await?;
        page.see_words("file-message", "Nothing was removed").await?;
        page.mend().await?;
        assert_eq!(page.dump().await?, before, "nothing was removed");

        page.tap("remove-all").await?;
        page.see_words("file-message", "records stay (2)").await?;
        let left = page.dump().await?;
        assert_eq!(shelf(&left, "session").len(), 1, "the one that cannot be read: {left}");
        assert_eq!(shelf(&left, "picture").len(), 1, "it may name a picture: {left}");
        page.tap("go-diary").await?;
        page.see_words("apart", "boat hurt").await?;
        page.see_words("session-0", "cut short").await?;
        // A put-back that fails can be tried again.
        page.let_fail(Faults::all(&["put"])).await?;
        page.tap("undo").await?;
        page.see_words("file-message", "Not restored").await?;
        page.mend().await?;
        page.tap("undo").await?;
        page.see_words("file-message", "Restored").await?;
        page.see("session-1").await.map(drop)
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn leftovers_go_when_nothing_can_need_them() {
    run_for(LIMIT, async |page, tabs: Tabs| {
        let folder = Folder::new();
        page.load().await?;
        page.tap("start-demo").await?;
        page.add_picture(&folder).await?;
        page.add_note("stays").await?;
        page.sweep("There are no leftovers").await?;
        page.tap("go-diary").await?;
        page.tap("session-now").await?;
        page.tap("entry-0-remove").await?;
        page.see_kept().await?;
        page.sweep("There are no leftovers").await?;
        page.tap("undo").await?;
        page.see_kept().await?;
        assert_eq!(shelf(&page.dump().await?, "picture").len(), 1, "it could be put back");

        // Removed for good: the next removal takes its place.
        page.tap("go-diary").await?;
        page.tap("session-now").await?;
        page.tap("entry-0-remove").await?;
        page.see_words("entry-0", "stays").await?;
        page.tap("entry-0-remove").await?;
        page.see_kept().await?;
        let one = page.driver.window().await?;
        let _other = tabs.open(page).await?;
        page.load().await?;
        page.see("mark-bow-value").await?;
        page.driver.switch_to_window(one.clone()).await?;
        page.sweep("another window").await?;
        assert_eq!(shelf(&page.dump().await?, "picture").len(), 1, "the other may name it");
        tabs.close_others(page, &one).await?;
        // The browser takes its time to let go of a window's place.
        page.until("no other window is open", async || page.run_async::<bool>(ALONE).await).await?;
        page.sweep("Leftovers cleared out: 1").await?;
        let left = page.dump().await?;
        assert_eq!(shelf(&left, "picture"), &[] as &[Value], "it is gone: {left}");
        assert_eq!(shelf(&left, "state").len(), 1, "the boat of the session is not: {left}");

        // The same picture again is kept again, and so is the boat as it was.
        page.add_picture(&folder).await?;
        page.see_kept().await?;
        assert_eq!(shelf(&page.dump().await?, "picture").len(), 1, "kept again");

        page.run_async::<bool>(DAMAGE).await?;
        page.tap("go-diary").await?;
        page.tap("session-now").await?;
        page.tap("session-remove").await?;
        page.see_kept().await?;
        page.load().await?;
        page.sweep("unreadable records (2)").await?;
        let left = page.dump().await?;
        assert_eq!(shelf(&left, "picture").len(), 1, "it may name it: {left}");
        page.tap("go-diary").await?;
        for _ in 0..2 {
            page.tap("apart-remove").await?;
            page.see_kept().await?;
        }
        page.sweep("Leftovers cleared out: 2").await?;
        let left = page.dump().await?;
        assert_eq!(shelf(&left, "picture"), &[] as &[Value], "{left}");
        assert_eq!(shelf(&left, "state"), &[] as &[Value], "{left}");
        Ok(())
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_boat_as_it_was_that_was_cleared_out_is_kept_again_when_it_is_named_again() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        page.tap("go-diary").await?;
        page.add_note("first").await?;
        page.tap("session-now").await?;
        page.tap("session-remove").await?;
        // Another removal, so that this one cannot be taken back.
        page.tap("go-pool").await?;
        page.tap("new-reading").await?;
        page.see_kept().await?;
        page.sweep("Leftovers cleared out: 1").await?;
        page.tap("go-diary").await?;
        page.add_note("second").await?;
        let now = page.dump().await?;
        assert_eq!(shelf(&now, "state").len(), 1, "the boat as it was at the start: {now}");
        Ok(())
    })
    .await;
}

/// A file with a boat whose hull is a mesh of many triangles.
fn boat_with_a_mesh() -> String {
    let ball = Solid::Sphere { diameter: 0.2, centre: Position::ORIGIN };
    let mesh = ball.mesh(Fineness { around: 48, along: 24 }).expect("a sphere");
    let hull = Part::solid("ball", 2.0, Position::ORIGIN, Solid::Mesh(mesh));
    let boat = Boat { name: "Ball".to_owned(), parts: vec![hull], ..Boat::default() };
    write(&Diary { boats: vec![BoatRecord::ledger("ball", &boat)], ..Diary::default() })
}

#[tokio::test(flavor = "multi_thread")]
async fn a_shape_stays_until_its_boat_cannot_be_put_back() {
    on_a_phone(FOLDER, |page| async move {
        let folder = Folder::new();
        page.tap("start-demo").await?;
        let file = folder.path().join("ball.json");
        std::fs::write(&file, boat_with_a_mesh())?;
        page.take_in_file(&file).await?;
        assert_eq!(shelf(&page.dump().await?, "mesh").len(), 1, "its shape is apart");
        let remove = async || {
            page.tap("go-boat").await?;
            page.tap("bench-boats").await?;
            page.driver.find(By::Css("[aria-label='Remove Ball']")).await?.click().await?;
            page.see_words("boat-message", "Boat removed").await?;
            page.see_kept().await
        };
        remove().await?;
        page.sweep("There are no leftovers").await?;
        page.tap("undo").await?;
        page.see_kept().await?;
        page.reload().await?;
        let all = page.export(folder.path()).await?;
        assert_eq!(all["missing"], Value::Null, "its shape is there: {}", all["missing"]);
        assert_eq!(all["boats"].as_array().map(Vec::len), Some(2), "both boats");
        remove().await?;
        page.reload().await?;
        page.sweep("Leftovers cleared out: 1").await?;
        assert_eq!(shelf(&page.dump().await?, "mesh"), &[] as &[Value], "gone with its boat");
        Ok(())
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_row_stands_while_another_entry_comes_and_its_picture_is_let_go_of() {
    on_a_phone(FOLDER, |page| async move {
        let folder = Folder::new();
        page.count_addresses().await?;
        page.reload().await?;
        page.tap("start-demo").await?;
        page.tap("go-diary").await?;
        page.add_note("before").await?;
        page.add_picture(&folder).await?;
        page.tap("session-now").await?;
        page.see("picture-shown").await?;
        let shown = "return find('picture-shown')?.naturalWidth === 2 || null;";
        page.until("the picture is shown", async || page.run::<bool>(shown, vec![]).await).await?;
        let mark = "find('picture-shown').mine = true; return null;";
        page.run::<()>(mark, vec![]).await?;
        let is_marked = "return find('picture-shown').mine === true;";
        page.add_note("after").await?;
        page.see_words("entry-2", "after").await?;
        assert_eq!(page.run(is_marked, vec![]).await?, Some(true), "the same picture");
        page.tap("entry-0-remove").await?;
        page.see_words("entry-1", "after").await?;
        assert_eq!(page.run(is_marked, vec![]).await?, Some(true), "and here");
        assert_eq!(page.n_addresses().await?, 1, "one picture");
        page.tap("diary-back").await?;
        page.see("session-now").await?;
        assert_eq!(page.n_addresses().await?, 0, "let go of");

        // A row that goes before its picture has come.
        let hurry = "const done = arguments[arguments.length - 1];
          find('session-now').click();
          const look = () => {
            if (!find('entry-0')) return setTimeout(look);
            find('diary-back').click();
            done(true);
          };
          look();";
        page.run_async::<bool>(hurry).await?;
        page.see("session-now").await?;
        page.is_at_rest().await?;
        let none = async || Ok((page.n_addresses().await? == 0).then_some(()));
        page.until("no address is left open", none).await?;
        tokio::time::sleep(Duration::from_millis(300)).await;
        assert_eq!(page.n_addresses().await?, 0, "none came after");
        Ok(())
    })
    .await;
}
