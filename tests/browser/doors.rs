//! The locked doors: nothing that is not the app's own runs in the page, nothing is asked of others,
//! a first visit asks for each file once, and no name is taken for markup.

use crate::driver::{FOLDER, Folder, on_a_phone};
use crate::page::Page;
use crate::server::Server;
use std::collections::BTreeMap;
use thirtyfour::prelude::*;
use trimwright::boat::demo_boat;
use trimwright::diary::{BoatRecord, Diary, write};

/// Tries what the page's policy must refuse, and notes what ran and what was refused. After the
/// script, because a test's own may evaluate what the page may not.
const BREAK_IN: &str = r#"
const [other] = arguments;
window.ran = [];
window.refused = [];
addEventListener("securitypolicyviolation", (e) => refused.push(e.effectiveDirective));
const add = (tag, how, into = document.body) => {
  const made = Object.assign(document.createElement(tag), how);
  into.append(made);
  return made;
};
const written = (markup) => {
  const place = add("div", { hidden: true });
  place.innerHTML = markup;
  return place.firstChild;
};
const attempts = [
  () => add("script", { textContent: "ran.push('a script in the page')" }),
  () => add("script", { src: `${other}/script.js` }),
  () => import(`${other}/module.js`).catch(() => {}),
  () => written(`<button onclick="ran.push('a handler in markup')"></button>`).click(),
  () => eval("ran.push('eval')"),
  () => new Function("ran.push('a function of a text')")(),
  () => setTimeout("ran.push('a timer with a text')"),
  () => add("style", { textContent: `@import url(${other}/import.css)` }),
  () => add("link", { rel: "stylesheet", href: `${other}/sheet.css` }),
  () => written(`<p style="background: url(${other}/of-a-style.png)"></p>`),
  () => add("img", { src: `${other}/picture.png` }),
  () => add("img", { src: "data:image/gif;base64,R0lGODlhAQABAAAAACw=" }),
  () => add("video", { src: `${other}/film.mp4` }),
  () => add("iframe", { src: `${other}/frame.html` }),
  () => add("object", { data: `${other}/object.svg` }),
  () => add("base", { href: `${other}/` }, document.head),
  () => add("form", { action: `${other}/form`, method: "post" }).submit(),
  () => new Worker(URL.createObjectURL(new Blob(["1"]))),
  () => fetch(`${other}/fetch`, { mode: "no-cors" }).catch(() => {}),
  () => navigator.sendBeacon(`${other}/beacon`, "x"),
  () => new WebSocket(`${other.replace("http", "ws")}/socket`),
  () => new EventSource(`${other}/events`),
];
for (const attempt of attempts) {
  setTimeout(() => {
    try {
      attempt();
    } catch {
      // Refused.
    }
  });
}
return null;
"#;

/// What must have been refused, each at least so often, by the directive that refused it.
const REFUSED: [(&str, usize); 13] = [
    ("base-uri", 1),
    ("connect-src", 4),
    ("form-action", 1),
    ("frame-src", 1),
    ("img-src", 2),
    ("media-src", 1),
    ("object-src", 1),
    ("script-src", 3),
    ("script-src-attr", 1),
    ("script-src-elem", 3),
    ("style-src-attr", 1),
    ("style-src-elem", 2),
    ("worker-src", 1),
];

#[tokio::test(flavor = "multi_thread")]
async fn nothing_that_is_not_the_app_s_own_runs_or_is_asked_for() {
    on_a_phone(FOLDER, |page| async move {
        let folder = Folder::new();
        let other = Server::start(folder.path(), "/").await;
        page.see("start-demo").await?;
        page.run::<()>(BREAK_IN, vec![other.origin().into()]).await?;
        let refused = async || {
            let all: Vec<String> =
                page.run("return window.refused;", vec![]).await?.unwrap_or_default();
            let mut counts = BTreeMap::<String, usize>::new();
            for directive in all {
                *counts.entry(directive).or_default() += 1;
            }
            Ok::<_, WebDriverError>(counts)
        };
        let all_refused = async || {
            let counts = refused().await?;
            let is_there = |(name, n): &(&str, usize)| counts.get(*name).is_some_and(|m| m >= n);
            Ok(REFUSED.iter().all(is_there).then_some(()))
        };
        page.until("each attempt is refused", all_refused).await?;
        let ran: Option<Vec<String>> = page.run("return window.ran;", vec![]).await?;
        assert_eq!(ran, Some(Vec::new()), "what ran all the same");
        let base: Option<String> = page.run("return document.baseURI;", vec![]).await?;
        assert_eq!(base, Some(page.server.address()), "addresses begin where they began");
        assert_eq!(other.asked(), Vec::<String>::new(), "asked of another server");
        // The app itself goes on. What was refused stands in the console, which must be empty at
        // the end of a test.
        page.tap("start-demo").await?;
        page.see("answer-main").await?;
        page.driver.browser_log().await.map(drop)
    })
    .await;
}

/// Addresses that were asked for outside the app's own folder.
const STRANGERS: &str = r#"
const asked = performance.getEntriesByType("resource").map((entry) => entry.name);
return asked.filter((name) => !name.startsWith(arguments[0]) && !name.startsWith(`blob:${origin}`));
"#;

#[tokio::test(flavor = "multi_thread")]
async fn no_screen_asks_anything_of_others() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        page.tap("keep-reading").await?;
        page.mark_checks().await?;
        page.tour(async |screen| {
            let own = vec![page.server.address().into()];
            let strangers: Vec<String> = page.run(STRANGERS, own).await?.unwrap_or_default();
            assert!(strangers.is_empty(), "{screen}: asked of others: {strangers:?}");
            Ok(())
        })
        .await
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_first_visit_asks_for_each_file_once() {
    on_a_phone(FOLDER, |page| async move {
        page.is_kept_offline().await?;
        let mut asked = page.server.asked();
        asked.sort();
        let ends = |end: &str| asked.iter().filter(|path| path.ends_with(end)).count();
        assert_eq!(
            [FOLDER, ".wasm", "sw.js"].map(ends),
            [1; 3],
            "the page, the program, the worker"
        );
        // The picture in the tab is the browser's own affair: it asks when it likes, and asks anew.
        asked.retain(|path| !path.ends_with("icon/icon.svg"));
        let twice: Vec<&String> =
            asked.windows(2).filter(|pair| pair[0] == pair[1]).map(|pair| &pair[0]).collect();
        assert!(twice.is_empty(), "more than once: {twice:?} of {asked:?}");
        Ok(())
    })
    .await;
}

/// A name with everything in it that could end an attribute or a text, and with spaces.
const NAME: &str = "Bow left <b>&amp;' <img src=x onerror=alert(1)>";

/// What must not come of it, and identities that do not hold.
const OF_NAMES: &str = r#"
const wrong = [...document.querySelectorAll("b > b, img[src=x], svg b, svg img")].map((e) => e.outerHTML);
const ids = [...document.querySelectorAll("[id]")].map((e) => e.id);
wrong.push(...ids.filter((id, k) => /\s/.test(id) || !id || ids.indexOf(id) !== k).map((id) => `id ${id}`));
for (const name of ["aria-describedby", "aria-labelledby", "aria-controls", "for"]) {
  for (const e of document.querySelectorAll(`[${name}]`)) {
    const lost = e.getAttribute(name).split(/\s+/).filter((id) => !document.getElementById(id));
    wrong.push(...lost.map((id) => `${e.dataset.testid ?? e.outerHTML.slice(0, 80)} ${name} ${id}`));
  }
}
return wrong;
"#;

/// The demonstration boat, with that name for whatever has one.
fn hostile_boat() -> String {
    let mut boat = demo_boat().expect("fixed sizes");
    NAME.clone_into(&mut boat.name);
    NAME.clone_into(&mut boat.parts[1].name);
    NAME.clone_into(&mut boat.tanks[0].name);
    NAME.clone_into(&mut boat.marks[0].name);
    NAME.clone_into(&mut boat.places[0].name);
    write(&Diary { boats: vec![BoatRecord::ledger("of-others", &boat)], ..Diary::default() })
}

async fn see_no_harm(page: &Page, screen: &str) -> WebDriverResult<()> {
    let wrong: Vec<String> = page.run(OF_NAMES, vec![]).await?.unwrap_or_default();
    assert!(wrong.is_empty(), "{screen}:\n{}", wrong.join("\n"));
    Ok(())
}

#[tokio::test(flavor = "multi_thread")]
async fn a_name_is_never_taken_for_markup_nor_parts_an_identity() {
    on_a_phone(FOLDER, |page| async move {
        let folder = Folder::new();
        let file = folder.path().join("boat.json");
        std::fs::write(&file, hostile_boat())?;
        page.take_in_file(&file).await?;
        page.tap("go-boat").await?;
        page.see("share-of-others").await?;
        let take = "document.querySelector('.row .row-main').click(); return null;";
        page.run::<()>(take, vec![]).await?;
        page.tap("go-pool").await?;
        page.see(&format!("draw-mark-{NAME}")).await?;
        page.tap(&format!("draw-mark-{NAME}")).await?;
        let field = format!("mark-{NAME}-value");
        page.fill(&field, "seven").await?;
        // The field names the message that tells what is wrong with it.
        let message = "const e = find(arguments[0]);
            return document.getElementById(e.getAttribute('aria-describedby'))?.innerText ?? null;";
        let ask = async || page.run::<String>(message, vec![field.clone().into()]).await;
        let said = page.until("the field names its message", ask).await?;
        assert_eq!(said, page.see(&format!("{field}-error")).await?.text, "that message");
        see_no_harm(&page, "pool, a field that cannot be read").await?;
        page.fill(&field, "7").await?;
        page.tap("keep-reading").await?;
        page.tour(async |screen| see_no_harm(&page, screen).await).await
    })
    .await;
}
