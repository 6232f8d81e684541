//! A newer version waits until the person lets it take over; nothing that was typed is lost.

use crate::driver::{FOLDER, Folder, built_app, run};
use crate::expected::{Entry, demo_answer};
use std::path::Path;

/// Asks the server for a newer version, as the browser does by itself now and then.
const ASK: &str = r"
const [done] = arguments;
navigator.serviceWorker.getRegistration().then((r) => r.update()).then(() => done(), done);
";
/// The line of the worker that carries its version.
const VERSION: &str = "const version = \"";

fn copy(from: &Path, to: &Path) -> std::io::Result<()> {
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
        page.run::<()>("window.before = true; return null;", vec![]).await?;
        page.tap("update-apply").await?;
        let afresh = "return window.before ? null : true;";
        page.until("the page is loaded afresh", async || page.run::<bool>(afresh, vec![]).await)
            .await?;
        page.is_ready().await?;
        page.see_no("update-apply").await?;
        page.see_answer(&demo_answer(&entry)).await?;
        let names = "const [done] = arguments; caches.keys().then(done);";
        let names = page.driver.execute_async(names, vec![]).await?.json().to_string();
        assert!(names.contains(" newer-"), "the newer version is kept: {names}");
        Ok(())
    })
    .await;
}
