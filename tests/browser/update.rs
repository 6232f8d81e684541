//! A newer version waits until the person lets it take over; nothing that was typed is lost.

use crate::driver::{FOLDER, Folder, built_app, run};
use crate::expected::{Entry, demo_answer};
use serde_json::json;
use std::path::Path;
use thirtyfour::prelude::*;

/// Asks the server for a newer version, as the browser does by itself now and then.
pub(crate) const ASK: &str = r"
const [done] = arguments;
navigator.serviceWorker.getRegistration().then((r) => r.update()).then(() => done(), done);
";
/// The line of the worker that carries its version.
pub(crate) const VERSION: &str = "const version = \"";

pub(crate) fn copy(from: &Path, to: &Path) -> std::io::Result<()> {
    std::fs::create_dir_all(to)?;
    for entry in std::fs::read_dir(from)? {
        let entry = entry?;
        let target = to.join(entry.file_name());
        if entry.file_type()?.is_dir() {
            copy(&entry.path(), &target)?;
        } else {
            std::fs::copy(entry.path(), target)?;
        }
    }
    Ok(())
}

#[tokio::test(flavor = "multi_thread")]
async fn a_newer_version_waits_for_leave_and_loses_nothing() {
    let folder = Folder::new();
    copy(&built_app(), folder.path()).expect("a copy of the app");
    let worker = folder.path().join("sw.js");
    run(folder.path(), FOLDER, |page| async move {
        page.tap("start-demo").await?;
        page.is_kept_offline().await?;
        assert!(page.look("update-apply").await?.is_none(), "nothing waits yet");

        let old = std::fs::read_to_string(&worker)?;
        assert!(old.contains(VERSION), "the worker carries its version");
        std::fs::write(&worker, old.replace(VERSION, "const version = \"newer-"))?;
        page.driver.execute_async(ASK, vec![]).await?;
        page.see("update-apply").await?;

        let entry = Entry { marks: vec![("stern", 6.0), ("bow", 5.0)], ..Entry::default() };
        page.enter(&entry).await?;
        page.see_answer(&demo_answer(&entry)).await?;
        page.take_update().await?;
        page.see_no("update-apply").await?;
        page.see_answer(&demo_answer(&entry)).await?;
        let names = "const [done] = arguments; caches.keys().then(done);";
        let names = page.driver.execute_async(names, vec![]).await?.json().to_string();
        assert!(names.contains(" newer-"), "the newer version is kept: {names}");
        Ok(())
    })
    .await;
}

/// The digest of a text as the worker's list has it.
const DIGEST: &str = r#"
const [text, done] = arguments;
crypto.subtle.digest("SHA-256", new TextEncoder().encode(text))
  .then((digest) => done(`sha256-${btoa(String.fromCharCode(...new Uint8Array(digest)))}`));
"#;
/// Whether a newer worker has given up, or is still at it or there.
const GAVE_UP: &str = r"
const [done] = arguments;
navigator.serviceWorker.getRegistration().then((r) => done(!r.installing && !r.waiting));
";
/// What the app's copy has of a file.
const COPY: &str = r"
const [name, done] = arguments;
caches.match(new URL(name, location)).then((answer) => answer.text()).then(done, (e) => done(String(e)));
";

#[tokio::test(flavor = "multi_thread")]
async fn a_newer_version_is_kept_whole_or_not_at_all() {
    const FILE: &str = "manifest.webmanifest";
    let folder = Folder::new();
    copy(&built_app(), folder.path()).expect("a copy of the app");
    let (worker, file) = (folder.path().join("sw.js"), folder.path().join(FILE));
    run(folder.path(), FOLDER, |page| async move {
        let ask = async |script: &str, with: &[&str]| {
            let with: Vec<_> = with.iter().map(|text| json!(text)).collect();
            Ok::<_, WebDriverError>(page.driver.execute_async(script, with).await?.json().clone())
        };
        page.is_kept_offline().await?;
        let (old, list) = (std::fs::read_to_string(&file)?, std::fs::read_to_string(&worker)?);
        let new = format!("{old}\n");
        let [was, is] = [ask(DIGEST, &[&old]).await?, ask(DIGEST, &[&new]).await?];
        let [was, is] = [&was, &is].map(|digest| digest.as_str().expect("a text"));
        assert!(list.contains(was), "the worker's list has the digest {was}");

        // The list of the newer version is there, one of its files is still that of the older one.
        let newer = list.replace(VERSION, "const version = \"newer-").replace(was, is);
        std::fs::write(&worker, newer)?;
        ask(ASK, &[]).await?;
        let gave_up = async || Ok((ask(GAVE_UP, &[]).await? == true).then_some(()));
        page.until("the newer version is given up", gave_up).await?;
        assert!(page.look("update-apply").await?.is_none(), "half a version is not offered");
        assert_eq!(ask(COPY, &[FILE]).await?, old, "the older one is still there, whole");

        // Under the same name as the older one, which the browser has in its own cache.
        std::fs::write(&file, &new)?;
        ask(ASK, &[]).await?;
        page.see("update-apply").await?;
        page.take_update().await?;
        assert_eq!(ask(COPY, &[FILE]).await?, new, "the newer file");
        Ok(())
    })
    .await;
}
