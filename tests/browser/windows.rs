//! Two windows on one store: what one does is in the other, beside what is being typed there.

use crate::driver::{Folder, Tabs, run_for};
use std::time::Duration;

/// Longest that one of these may take.
const LIMIT: Duration = Duration::from_secs(180);

/// A boat of six numbers with a session, as a file.
const SMEW: &str = r#"{ "format": "trimwright", "version": 3,
  "boats": [{ "id": "smew", "name": "Smew", "quick": { "length_m": 0.9, "beam_m": 0.12, "depth_m": 0.14,
    "mass_kg": 6.2, "waterline_m": 0.1, "fullness": 0.75, "water_density_kg_m3": 998.2 } }],
  "sessions": [{ "id": "s1", "boat": "smew", "started_at": "2026-05-09T10:31:00.000Z",
    "entries": [{ "id": "n1", "at": "2026-05-09T10:32:00.000Z", "note": "from a file" }] }] }"#;

#[tokio::test(flavor = "multi_thread")]
async fn what_one_window_imports_is_in_the_other_beside_what_is_typed_there() {
    run_for(LIMIT, async |page, tabs: Tabs| {
        let folder = Folder::new();
        let file = folder.path().join("smew.json");
        std::fs::write(&file, SMEW)?;
        page.load().await?;
        page.tap("start-demo").await?;
        page.see_kept().await?;
        let one = page.driver.window().await?;
        let other = tabs.open(page).await?;
        page.load().await?;
        page.driver.switch_to_window(one.clone()).await?;
        page.tap("go-diary").await?;
        page.fill("note-text", "half a note").await?;
        page.see_kept().await?;
        page.driver.switch_to_window(other).await?;
        page.take_in_file(&file).await?;
        page.driver.switch_to_window(one).await?;
        page.see_words("session-0", "Smew").await?;
        assert_eq!(page.see("note-text").await?.value, "half a note", "it goes on");
        page.tap("go-boat").await?;
        page.tap("bench-boats").await?;
        page.see_words("take-smew", "Smew").await.map(drop)
    })
    .await;
}

/// Holds the shelf of meshes, so that whoever reads there waits, until `release` is called.
const HOLD_MESHES: &str = r#"
const done = arguments[arguments.length - 1];
const open = indexedDB.open("trimwright");
open.onsuccess = () => {
  const store = open.result.transaction("mesh", "readwrite").objectStore("mesh");
  let held = true;
  const go_on = () => { if (held) store.count().onsuccess = go_on; else open.result.close(); };
  go_on();
  window.release = () => { held = false; };
  done(true);
};
"#;

/// A boat as another window would have changed it, and told.
const CHANGE_ELSEWHERE: &str = r#"
const done = arguments[arguments.length - 1];
const open = indexedDB.open("trimwright");
open.onsuccess = () => {
  const all = open.result.transaction("record", "readwrite");
  const store = all.objectStore("record");
  const keys = store.getAllKeys();
  keys.onsuccess = () => {
    const key = keys.result.find((key) => key[0] === "boat");
    const get = store.get(key);
    get.onsuccess = () => {
      const one = JSON.parse(get.result);
      one.boats[0].parts[2].mass_kg = 0.777;
      store.put(JSON.stringify(one), key);
    };
    all.oncomplete = () => {
      open.result.close();
      new BroadcastChannel("trimwright").postMessage([["record", ...key]]);
      done(true);
    };
  };
};
"#;

#[tokio::test(flavor = "multi_thread")]
async fn what_is_typed_while_a_change_is_taken_over_stays() {
    run_for(LIMIT, async |page, _tabs: Tabs| {
        let folder = Folder::new();
        let file = folder.path().join("hull.stl");
        std::fs::write(&file, crate::mesh::large_file())?;
        page.load().await?;
        page.tap("start-demo").await?;
        page.tap("go-boat").await?;
        page.give_file("mesh-file", &file).await?;
        page.see("mesh-preview").await?;
        page.tap("mesh-use").await?;
        page.see("form-readout").await?;
        page.finish().await?;
        // The list goes to where it was left; a tap meanwhile would hit what passes under it.
        tokio::time::sleep(Duration::from_millis(500)).await;
        page.tap("part-1").await?;
        page.see("form-mass").await?;
        page.see_kept().await?;
        // What is told has a mesh, and that takes its time.
        page.run_async::<bool>(HOLD_MESHES).await?;
        page.run_async::<bool>(CHANGE_ELSEWHERE).await?;
        tokio::time::sleep(Duration::from_millis(500)).await;
        page.fill("form-mass", "432").await?;
        page.run::<()>("window.release(); return null;", vec![]).await?;
        page.see_kept().await?;
        for time in ["at once", "after a start"] {
            let mass = page.see("form-mass").await?.value;
            assert_eq!(mass, "432", "mine, that was typed meanwhile, {time}");
            page.finish().await?;
            page.tap("part-2").await?;
            page.see_that("form-mass", "is theirs", |seen| seen.value == "777").await?;
            page.finish().await?;
            page.see_kept().await?;
            page.load().await?;
            page.tap("go-boat").await?;
            page.tap("part-1").await?;
        }
        Ok(())
    })
    .await;
}

/// A figure typed for a boat as another window would have, and told.
const TYPE_ELSEWHERE: &str = r#"
const done = arguments[arguments.length - 1];
const open = indexedDB.open("trimwright");
open.onsuccess = () => {
  const all = open.result.transaction("record", "readwrite");
  const key = ["draft", "demo-dipper"];
  const get = all.objectStore("record").get(key);
  get.onsuccess = () => {
    const one = JSON.parse(get.result);
    one.draft.list = "4.5";
    all.objectStore("record").put(JSON.stringify(one), key);
  };
  all.oncomplete = () => {
    open.result.close();
    new BroadcastChannel("trimwright").postMessage([["record", ...key]]);
    done(true);
  };
};
"#;

#[tokio::test(flavor = "multi_thread")]
async fn what_is_typed_elsewhere_for_a_boat_that_is_not_in_hand_is_there_when_it_is() {
    run_for(LIMIT, async |page, _tabs: Tabs| {
        page.load().await?;
        page.tap("start-demo").await?;
        page.see_kept().await?;
        page.tap("go-boat").await?;
        page.tap("bench-boats").await?;
        page.tap("template-0").await?;
        page.see_kept().await?;
        page.run_async::<bool>(TYPE_ELSEWHERE).await?;
        page.see_kept().await?;
        tokio::time::sleep(Duration::from_millis(300)).await;
        page.tap("bench-boats").await?;
        page.tap("take-demo-dipper").await?;
        page.tap("go-pool").await?;
        page.see_that("list-value", "is theirs", |seen| seen.value == "4.5").await?;
        page.see_kept().await?;
        page.load().await?;
        page.see_that("list-value", "is theirs", |seen| seen.value == "4.5").await.map(drop)
    })
    .await;
}
