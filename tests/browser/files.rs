//! Files say what is not in them, nothing counts as exported before somebody has it, and an import that
//! could not be compared changes nothing.

use crate::driver::{FOLDER, Folder, on_a_phone, on_load, picture, short_or_long};
use crate::faults::Faults;
use crate::page::Page;
use serde_json::{Value, json};
use std::path::Path;
use thirtyfour::prelude::*;

/// How many sessions the file of [`file_with_sessions`] has.
const N: usize = 3;

/// Bytes that stand for a picture: what is kept is not looked at.
const PICTURE: &str = "/9j/4AAQ";

/// A file with sessions of the demonstration boat, one with a picture.
fn file_with_sessions() -> Value {
    let session = |k: usize| {
        let at = format!("2026-05-0{k}T10:00:00.000Z");
        let note = json!({ "id": "e1", "at": at, "note": format!("outing {k}") });
        let shown = json!({ "name": "picture-a", "width_px": 2, "height_px": 1 });
        let shown = json!({ "id": "e2", "at": at, "picture": shown });
        let entries = if k == 1 { vec![note, shown] } else { vec![note] };
        json!({ "id": format!("s{k}"), "boat": "demo-dipper", "started_at": at, "entries": entries })
    };
    let sessions: Vec<Value> = (1..=N).map(session).collect();
    let pictures = json!({ "picture-a": { "kind": "image/jpeg", "base64": PICTURE } });
    json!({ "format": "trimwright", "version": 3, "sessions": sessions, "pictures": pictures })
}

impl Page {
    /// Takes in a file of these contents.
    pub(crate) async fn take_in_json(&self, file: &Value, by: &Path) -> WebDriverResult<()> {
        std::fs::write(by, file.to_string())?;
        self.take_in_file(by).await
    }

    /// A phone whose stores can fail, with the demonstration boat and three sessions that are not in memory.
    async fn with_sessions(&self, folder: &Folder) -> WebDriverResult<()> {
        self.lay_faults().await?;
        self.reload().await?;
        self.tap("start-demo").await?;
        self.see_kept().await?;
        self.take_in_json(&file_with_sessions(), &folder.path().join("sessions.json")).await?;
        self.reload().await?;
        self.tap("go-pool").await?;
        self.see("mark-bow-value").await?;
        self.go_to_files().await
    }
}

/// How many there are of what the file says is missing.
fn n_missing(file: &Value, kind: &str) -> usize {
    file["missing"][kind].as_array().map_or(0, Vec::len)
}

fn n_sessions(file: &Value) -> usize {
    file["sessions"].as_array().map_or(0, Vec::len)
}

#[tokio::test(flavor = "multi_thread")]
async fn an_export_says_what_it_could_not_read_on_the_screen_and_in_the_file() {
    on_a_phone(FOLDER, |page| async move {
        let folder = Folder::new();
        page.with_sessions(&folder).await?;
        let whole = page.export(folder.path()).await?;
        assert_eq!(n_sessions(&whole), N, "one of them may go on and is in memory");
        assert_eq!(whole["missing"], Value::Null, "nothing is missing: {whole}");
        page.see_no("export-reminder").await?;

        // The latest session is in memory; the store gives none of the others.
        page.let_fail(Faults::all(&["get session"])).await?;
        let short = page.export(folder.path()).await?;
        assert!(!page.mend().await?.is_empty(), "something failed");
        assert_eq!(n_sessions(&short), 1, "what is in memory: {short}");
        assert_eq!(n_missing(&short, "sessions"), N - 1, "it says so itself: {short}");
        let said = page.see_words("file-message", "sessions: 2").await?.text;
        assert!(said.contains("The file is incomplete"), "and on the screen: {said}");
        picture(&page.driver, "export-not-whole").await?;

        // Which there are cannot be read either.
        page.let_fail(Faults::all(&["getAllKeys session", "get session"])).await?;
        let short = page.export(folder.path()).await?;
        page.mend().await?;
        assert_eq!(n_missing(&short, "sessions"), N - 1, "they are known from the start: {short}");

        page.let_fail(Faults::all(&["get picture"])).await?;
        let short = page.export(folder.path()).await?;
        page.mend().await?;
        assert_eq!(short["missing"]["pictures"], json!(["picture-a"]), "it has none: {short}");

        assert_eq!(page.export(folder.path()).await?, whole, "and all of it when it can be read");

        // Opened on another phone, such a file says so too.
        let file = folder.path().join("short.json");
        std::fs::write(&file, short.to_string())?;
        page.give_file("import", &file).await?;
        page.see_words("preview", "was incomplete").await?;
        page.see_words("preview", "pictures: 1").await?;
        page.tap("take-in").await?;
        page.see_words("file-message", "was incomplete").await.map(drop)
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn whichever_read_fails_an_export_is_whole_or_says_what_is_missing() {
    on_a_phone(FOLDER, |page| async move {
        let folder = Folder::new();
        page.with_sessions(&folder).await?;
        let whole = page.export(folder.path()).await?;
        let (mut n, mut short) = (0, 0);
        for late in [false, true] {
            for at in 1.. {
                page.let_fail(Faults { late, ..Faults::one(at) }).await?;
                let mut file = page.export(folder.path()).await?;
                if page.mend().await?.is_empty() {
                    break;
                }
                n += 1;
                let there = n_sessions(&file) + n_missing(&file, "sessions");
                assert_eq!(there, N, "call {at}, late: {late}: {file}");
                let is_short = file["missing"] != Value::Null;
                let said = page.see("file-message").await?.text;
                assert_eq!(said.contains("is incomplete"), is_short, "call {at}: {said}");
                short += usize::from(is_short);
                if !is_short {
                    // What can be read at a second try is as good.
                    assert_eq!(file.take(), whole, "call {at}, late: {late}");
                }
            }
        }
        println!("{n} reads failed, {short} exports said that something was missing");
        assert!(n > 5 && short > 0, "{n} reads failed, {short} exports were short");
        Ok(())
    })
    .await;
}

/// Of the calls to the store during an import this many pass between two that fail: in a short run, and in a
/// long one.
const EVERY: [usize; 2] = [4, 1];

#[tokio::test(flavor = "multi_thread")]
async fn whichever_call_fails_an_import_is_there_or_nothing_has_changed() {
    on_a_phone(FOLDER, |page| async move {
        let folder = Folder::new();
        page.with_sessions(&folder).await?;
        let mut before = page.export(folder.path()).await?;
        let [mut taken, mut refused] = [0, 0];
        let [short, long] = EVERY;
        for late in [false, true] {
            for at in (1_u32..).step_by(short_or_long(short, long)) {
                let mut new = file_with_sessions();
                for session in new["sessions"].as_array_mut().expect("a list") {
                    session["place"] = json!(format!("pond {at}, late: {late}"));
                }
                let file = folder.path().join("new.json");
                std::fs::write(&file, new.to_string())?;
                page.give_file("import", &file).await?;
                page.see("preview").await?;
                page.let_fail(Faults { late, ..Faults::one(at) }).await?;
                page.tap("take-in").await?;
                let said = page.see_words("file-message", "opened").await?.text;
                let nothing_failed = page.mend().await?.is_empty();
                let after = page.export(folder.path()).await?;
                if nothing_failed {
                    before = after;
                    break;
                }
                if said.starts_with("Opened") {
                    taken += 1;
                    assert_eq!(n_sessions(&after), n_sessions(&before) + N, "call {at}: {said}");
                    before = after;
                } else {
                    refused += 1;
                    assert_eq!(after, before, "call {at}, late: {late}: {said}");
                }
            }
        }
        println!("{refused} imports were refused, {taken} got over what failed");
        assert!(refused > 1 && taken + refused > 3, "{refused} refused, {taken} taken");
        Ok(())
    })
    .await;
}

/// A person who closes the sheet of apps, one who chooses an app, and a phone whose sheet does not open.
const SHARES: &str = r#"
navigator.canShare = () => true;
navigator.share = async () => {
  if (window.sheet === "closed") throw new DOMException("closed", "AbortError");
  if (window.sheet === "none") throw new DOMException("no", "NotAllowedError");
};
"#;

#[tokio::test(flavor = "multi_thread")]
async fn only_a_file_that_somebody_has_counts_as_exported() {
    on_a_phone(FOLDER, |page| async move {
        let folder = Folder::new();
        on_load(&page.driver, SHARES).await?;
        page.reload().await?;
        page.tap("start-demo").await?;
        let mut five = file_with_sessions();
        for k in 4..=5 {
            let at = format!("2026-05-0{k}T10:00:00.000Z");
            let more = json!({ "id": format!("s{k}"), "boat": "demo-dipper", "started_at": at, "entries": [] });
            five["sessions"].as_array_mut().expect("a list").push(more);
        }
        page.take_in_json(&five, &folder.path().join("five.json")).await?;
        page.see_words("export-reminder", "5 sessions").await?;
        page.run::<()>("window.sheet = 'closed'; return null;", vec![]).await?;
        page.tap("share").await?;
        page.see_words("file-message", "Not shared").await?;
        page.see_words("export-reminder", "5 sessions").await?;
        page.run::<()>("window.sheet = 'open'; return null;", vec![]).await?;
        page.tap("share").await?;
        page.see_words("file-message", "Shared.").await?;
        page.see_no("export-reminder").await?;
        page.run::<()>("window.sheet = 'none'; return null;", vec![]).await?;
        page.download("share", folder.path()).await?;
        page.see_words("file-message", "Saved as").await.map(drop)
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_broken_file_takes_the_last_preview_with_it() {
    on_a_phone(FOLDER, |page| async move {
        let folder = Folder::new();
        page.tap("start-demo").await?;
        page.go_to_files().await?;
        let [good, bad] = ["good.json", "bad.json"].map(|name| folder.path().join(name));
        let text = file_with_sessions().to_string();
        std::fs::write(&good, &text)?;
        std::fs::write(&bad, &text[..text.len() / 2])?;
        page.give_file("import", &good).await?;
        page.see_words("preview-new", "3").await?;
        page.give_file("import", &bad).await?;
        page.see_words("file-message", "Not opened").await?;
        page.see_no("preview").await?;
        page.see_no("take-in").await
    })
    .await;
}

/// Writes a text that is no record where a session of the file is to come.
const DAMAGE: &str = r#"
const done = arguments[arguments.length - 1];
const open = indexedDB.open("trimwright");
open.onsuccess = () => {
  const all = open.result.transaction(["session"], "readwrite");
  all.objectStore("session").put("cut sho", ["2026-05-01T10:00:00.000Z", "demo-dipper", "s1"]);
  all.oncomplete = () => { open.result.close(); done(true); };
};
"#;

/// What is put aside.
const ASIDE: &str = r#"
const done = arguments[arguments.length - 1];
const open = indexedDB.open("trimwright");
open.onsuccess = () => {
  const all = open.result.transaction(["apart"]).objectStore("apart").getAll();
  all.onsuccess = () => { open.result.close(); done(all.result); };
};
"#;

#[tokio::test(flavor = "multi_thread")]
async fn an_import_writes_over_nothing_that_it_could_not_read() {
    on_a_phone(FOLDER, |page| async move {
        let folder = Folder::new();
        page.with_sessions(&folder).await?;
        let file = folder.path().join("again.json");
        let mut changed = file_with_sessions();
        changed["sessions"][0]["place"] = json!("Quarry pond");
        std::fs::write(&file, changed.to_string())?;
        // A session that cannot be read is not a session that is not there.
        page.let_fail(Faults::all(&["get session"])).await?;
        page.give_file("import", &file).await?;
        page.see_words("file-message", "could not be read to compare").await?;
        page.see_no("preview").await?;
        page.mend().await?;
        page.give_file("import", &file).await?;
        page.see_words("preview-differs", "1").await?;
        page.let_fail(Faults::all(&["get session"])).await?;
        page.tap("take-in").await?;
        page.see_words("file-message", "could not be read to compare").await?;
        page.mend().await?;
        page.tap("leave-file").await?;

        // One that is damaged stays as it is, aside.
        assert_eq!(page.run_async::<bool>(DAMAGE).await?, Some(true), "damaged");
        page.take_in_file(&file).await?;
        let aside: Vec<String> = page.run_async(ASIDE).await?.expect("a list");
        assert_eq!(aside, ["cut sho"], "not written over");
        let all = page.export(folder.path()).await?;
        assert_eq!(all["sessions"][0]["place"], "Quarry pond", "and the other one came: {all}");
        Ok(())
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn what_could_not_be_read_at_the_start_is_not_taken_for_nothing() {
    on_a_phone(FOLDER, |page| async move {
        let folder = Folder::new();
        page.with_sessions(&folder).await?;
        let whole = page.export(folder.path()).await?;
        page.let_fail_at_start(Faults::all(&["getAll record"])).await?;
        page.reload().await?;
        page.see_words("not-loaded", "could not be read").await?;
        picture(&page.driver, "not-loaded").await?;
        let short = page.export(folder.path()).await?;
        assert_eq!(short["missing"]["unknown"], json!(true), "the file says so: {short}");
        page.see_words("file-message", "The file is incomplete").await?;
        page.mend().await?;
        page.tap("load-again").await?;
        page.see_no("not-loaded").await?;
        assert_eq!(page.export(folder.path()).await?, whole, "all is there");
        // Once is no matter: it is asked for twice.
        page.let_fail_at_start(Faults { times: 1, ..Faults::all(&["getAll record"]) }).await?;
        page.reload().await?;
        page.tap("go-pool").await?;
        page.see("mark-bow-value").await?;
        page.see_no("not-loaded").await
    })
    .await;
}

/// Lets the test say when a minute is over, and see which addresses of files are open.
const ADDRESSES: &str = r"
window.open_addresses = new Set();
window.minutes = [];
const [make, end, wait] = [URL.createObjectURL, URL.revokeObjectURL, window.setTimeout];
URL.createObjectURL = (of) => { const made = make(of); window.open_addresses.add(made); return made; };
URL.revokeObjectURL = (of) => { window.open_addresses.delete(of); end(of); };
window.setTimeout = (act, time, ...rest) =>
  time >= 30000 ? window.minutes.push(act) : wait(act, time, ...rest);
";
const N_OPEN: &str = "return window.open_addresses.size;";

impl Page {
    /// Lays a count of files' addresses before the app, from the next load on.
    pub(crate) async fn count_addresses(&self) -> WebDriverResult<()> {
        on_load(&self.driver, ADDRESSES).await
    }

    /// How many addresses of files are open.
    pub(crate) async fn n_addresses(&self) -> WebDriverResult<usize> {
        Ok(self.run(N_OPEN, vec![]).await?.unwrap_or_default())
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn a_file_can_be_read_while_it_downloads_and_is_let_go_of_then() {
    on_a_phone(FOLDER, |page| async move {
        let folder = Folder::new();
        page.count_addresses().await?;
        page.reload().await?;
        page.tap("start-demo").await?;
        page.export(folder.path()).await?;
        assert_eq!(page.n_addresses().await?, 1, "it may still be read");
        page.run::<()>("window.minutes.forEach((act) => act()); return null;", vec![]).await?;
        assert_eq!(page.n_addresses().await?, 0, "it is let go of");
        Ok(())
    })
    .await;
}

/// Browsers that have promised, and that have not.
const PROMISES: [(&str, &str); 2] =
    [("true", "promised not to clear"), ("false", "may clear this data")];

#[tokio::test(flavor = "multi_thread")]
async fn whether_the_browser_may_clear_what_is_kept_is_said() {
    for (promised, words) in PROMISES {
        on_a_phone(FOLDER, |page| async move {
            let stub = format!(
                "window.asked = 0;
                navigator.storage.persisted = async () => false;
                navigator.storage.persist = async () => {{ window.asked += 1; return {promised}; }};"
            );
            on_load(&page.driver, &stub).await?;
            page.reload().await?;
            let asked = "return window.asked;";
            assert_eq!(page.run::<u32>(asked, vec![]).await?, Some(0), "nothing to lose yet");
            page.tap("start-demo").await?;
            page.go_to_files().await?;
            page.see_words("promise", words).await?;
            assert_eq!(page.run::<u32>(asked, vec![]).await?, Some(1), "asked with the first boat");
            picture(&page.driver, &format!("promised-{promised}")).await
        })
        .await;
    }
}
