//! The same build works from any folder of any server, and asks nobody else for anything.

use crate::driver::{FOLDER, on_a_phone};
use crate::page::Page;
use thirtyfour::prelude::*;

/// Addresses that were asked for outside the app's own folder.
const STRANGERS: &str = r#"
const asked = performance.getEntriesByType("resource").map((entry) => entry.name);
return asked.filter((name) => !name.startsWith(arguments[0]) && !name.startsWith("blob:"));
"#;

/// The manifest's own addresses: where an installed app starts, and its pictures.
const MANIFEST: &str = r#"
const [done] = arguments;
const link = document.querySelector("link[rel=manifest]").href;
const asked = (url) => fetch(url).then((answer) => `${answer.status} ${answer.url}`);
fetch(link)
  .then((answer) => answer.json())
  .then((m) => Promise.all([m.start_url, ...m.icons.map((i) => i.src)].map((a) => asked(new URL(a, link)))))
  .then(done, (error) => done([String(error)]));
"#;

async fn works(page: Page) -> WebDriverResult<()> {
    page.tap("start-demo").await?;
    page.see("answer-main").await?;
    page.is_kept_offline().await?;
    let own = page.server.address();
    let strangers: Vec<String> =
        page.run(STRANGERS, vec![own.clone().into()]).await?.unwrap_or_default();
    assert!(strangers.is_empty(), "asked of others: {strangers:?}");
    let answers = page.driver.execute_async(MANIFEST, vec![]).await?;
    let answers: Vec<String> = serde_json::from_value(answers.json().clone())?;
    let wanted = format!("200 {own}");
    assert!(answers.len() > 2, "a start and pictures: {answers:?}");
    assert!(answers.iter().all(|a| a.starts_with(&wanted)), "outside its folder: {answers:?}");
    let scope = "return navigator.serviceWorker.controller.scriptURL;";
    let worker: Option<String> = page.run(scope, vec![]).await?;
    assert_eq!(worker, Some(format!("{own}sw.js")), "the worker is the folder's own");
    Ok(())
}

#[tokio::test(flavor = "multi_thread")]
async fn it_works_from_the_top_of_a_server() {
    on_a_phone("/", works).await;
}

#[tokio::test(flavor = "multi_thread")]
async fn it_works_from_a_folder_of_a_server() {
    on_a_phone(FOLDER, works).await;
}
