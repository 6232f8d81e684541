//! Everyone can use it: names for screen readers, targets for wet thumbs, room on a small phone.

use crate::driver::{FOLDER, on_a_phone, picture, resize};
use crate::page::Page;
use serde::Deserialize;
use serde_json::{Value, json};
use thirtyfour::prelude::*;

/// Roles of what can be operated.
const OPERATED: [&str; 11] = [
    "button",
    "checkbox",
    "combobox",
    "link",
    "menuitem",
    "radio",
    "slider",
    "spinbutton",
    "switch",
    "tab",
    "textbox",
];
/// Least height of a target, CSS pixels.
const LEAST_HEIGHT: f64 = 44.0;

/// What can be tapped on the screen, with the height of what the thumb hits.
const TARGETS: &str = r#"
const all = "button, input, select, textarea, summary, a[href], [role=button], [role=radio]";
return [...document.querySelectorAll(all)].flatMap((e) => {
  const small = e.matches("input[type=radio], input[type=checkbox], input[type=file]");
  const target = small && e.labels?.length ? e.labels[0] : e;
  const box = target.getBoundingClientRect();
  if (box.width === 0 || box.height === 0) return [];
  return [{ name: e.dataset.testid ?? e.outerHTML.slice(0, 120), height: box.height }];
});
"#;

/// What sticks out to the right of the screen, or scrolls sideways within.
const TOO_WIDE: &str = r#"
const width = document.documentElement.clientWidth;
const all = document.scrollingElement.scrollWidth;
if (all <= width) return [];
const wide = (e) => e.getBoundingClientRect().right > width + 0.5;
const out = [...document.body.querySelectorAll("*:not(svg *)")]
  .filter((e) => wide(e) && ![...e.children].some(wide))
  .map((e) => e.dataset.testid ?? e.outerHTML.slice(0, 120));
return [`the page is ${all} wide on a screen of ${width}`, ...out.slice(0, 8)];
"#;

#[derive(Debug, Deserialize)]
struct Target {
    name: String,
    height: f64,
}

/// What can be operated and has no name, as the browser itself computes names.
async fn nameless(page: &Page) -> WebDriverResult<Vec<String>> {
    let tree = page.driver.cdp().send_raw("Accessibility.getFullAXTree", json!({})).await?;
    let nodes = tree["nodes"].as_array().expect("a list of nodes");
    let text = |value: &Value| value.as_str().unwrap_or_default().trim().to_owned();
    let operated = nodes.iter().filter(|node| {
        node["ignored"] != json!(true) && OPERATED.contains(&text(&node["role"]["value"]).as_str())
    });
    Ok(operated
        .filter(|node| text(&node["name"]["value"]).is_empty())
        .map(|node| format!("{} {}", text(&node["role"]["value"]), node["properties"]))
        .collect())
}

/// What is wrong with the headings of a screen: there is one first heading, and none skips a level; and
/// with what the Tab key goes through: in the order of the page, and nothing that cannot be seen.
const DISORDER: &str = r#"
const shown = (e) => e.checkVisibility() && e.getClientRects().length > 0;
const wrong = [];
if (document.querySelectorAll("main").length !== 1) wrong.push("not one main part");
const heads = [...document.querySelectorAll("h1, h2, h3")].filter(shown);
const levels = heads.map((e) => Number(e.tagName[1]));
if (levels.filter((n) => n === 1).length !== 1) wrong.push(`first headings: ${levels}`);
levels.forEach((n, k) => {
  if (n > (levels[k - 1] ?? 0) + 1) wrong.push(`"${heads[k].innerText}" skips a level: ${levels}`);
});
for (const e of document.querySelectorAll("[tabindex]")) {
  if (e.tabIndex > 0) wrong.push(`${e.outerHTML.slice(0, 80)} goes before its turn`);
}
const operated = "button, input, select, textarea, summary, a[href], [tabindex='0']";
const names = new Map();
for (const e of document.querySelectorAll(operated)) {
  const box = e.getBoundingClientRect();
  if (e.tabIndex < 0 || e.disabled || !shown(e)) continue;
  if (e.closest("[aria-hidden=true]")) wrong.push(`${e.outerHTML.slice(0, 80)} is hidden and operated`);
  if (e.tagName !== "BUTTON") continue;
  const group = e.role === "radio" ? e.closest("[role=radiogroup]")?.ariaLabel : "";
  const name = `${group} ${e.ariaLabel ?? e.innerText}`.replace(/\s+/g, " ").trim();
  if (names.has(name)) wrong.push(`two buttons are called "${name}"`);
  names.set(name, e);
}
return wrong;
"#;

/// Opens the demonstration boat and keeps a reading, so that no screen is empty.
async fn set_up(page: &Page) -> WebDriverResult<()> {
    page.tap("start-demo").await?;
    page.tap("keep-reading").await?;
    page.mark_checks().await
}

#[tokio::test(flavor = "multi_thread")]
async fn everything_that_can_be_operated_has_a_name() {
    on_a_phone(FOLDER, |page| async move {
        let mut found = Vec::new();
        page.see("start-demo").await?;
        found.push(("welcome", nameless(&page).await?));
        page.tap("start-quick").await?;
        page.see("quick-name").await?;
        found.push(("quick form", nameless(&page).await?));
        page.reload().await?;
        page.tap("go-pool").await?;
        set_up(&page).await?;
        page.tour(async |screen| {
            found.push((screen, nameless(&page).await?));
            Ok(())
        })
        .await?;
        page.tap("bench-boats").await?;
        page.tap("start-bench").await?;
        found.push(("new boat", nameless(&page).await?));
        page.tap("boat-leave").await?;
        page.tap("go-pool").await?;
        page.tap("state-under").await?;
        page.see("residual-value").await?;
        found.push(("under", nameless(&page).await?));
        found.retain(|(_, nameless)| !nameless.is_empty());
        assert!(found.is_empty(), "without a name: {found:#?}");
        Ok(())
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn every_target_is_high_enough_for_a_wet_thumb() {
    on_a_phone(FOLDER, |page| async move {
        set_up(&page).await?;
        let mut low = Vec::new();
        page.tour(async |screen| {
            let targets: Vec<Target> = page.run(TARGETS, vec![]).await?.unwrap_or_default();
            assert!(!targets.is_empty(), "the {screen} screen has something to tap");
            let too_low = targets.into_iter().filter(|t| t.height < LEAST_HEIGHT - 0.01);
            low.extend(too_low.map(|t| format!("{screen}: {} is {:.1} high", t.name, t.height)));
            Ok(())
        })
        .await?;
        assert!(low.is_empty(), "lower than {LEAST_HEIGHT}:\n{}", low.join("\n"));
        Ok(())
    })
    .await;
}

/// What is too wide on a screen, by its name; a picture of it is left.
pub(crate) async fn too_wide(page: &Page, name: &str) -> WebDriverResult<Vec<String>> {
    let found: Vec<String> = page.run(TOO_WIDE, vec![]).await?.unwrap_or_default();
    if !found.is_empty() {
        picture(&page.driver, &format!("too-wide-{name}")).await?;
    }
    Ok(found.into_iter().map(|what| format!("{name}: {what}")).collect())
}

#[tokio::test(flavor = "multi_thread")]
async fn nothing_scrolls_sideways_on_a_small_phone() {
    on_a_phone(FOLDER, |page| async move {
        resize(&page.driver, 320, 568).await?;
        page.see("start-demo").await?;
        let mut wide = too_wide(&page, "welcome").await?;
        page.tap("start-quick").await?;
        page.see("quick-name").await?;
        wide.extend(too_wide(&page, "quick form").await?);
        page.reload().await?;
        page.tap("go-pool").await?;
        resize(&page.driver, 320, 568).await?;
        set_up(&page).await?;
        page.tour(async |screen| {
            wide.extend(too_wide(&page, screen).await?);
            Ok(())
        })
        .await?;
        page.tap("bench-boats").await?;
        page.tap("start-bench").await?;
        page.see("form-waterline").await?;
        wide.extend(too_wide(&page, "new boat").await?);
        assert!(wide.is_empty(), "too wide:\n{}", wide.join("\n"));
        Ok(())
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn headings_and_names_tell_one_thing_from_another_on_every_screen() {
    on_a_phone(FOLDER, |page| async move {
        let mut wrong = Vec::new();
        let look = async |screen: &str, wrong: &mut Vec<String>| {
            let found: Vec<String> = page.run(DISORDER, vec![]).await?.unwrap_or_default();
            wrong.extend(found.into_iter().map(|what| format!("{screen}: {what}")));
            Ok::<(), WebDriverError>(())
        };
        page.see("start-demo").await?;
        look("welcome", &mut wrong).await?;
        page.tap("start-quick").await?;
        page.see("quick-name").await?;
        look("quick form", &mut wrong).await?;
        page.tap("go-pool").await?;
        set_up(&page).await?;
        page.tour(async |screen| look(screen, &mut wrong).await).await?;
        page.tap("bench-boats").await?;
        page.tap("start-bench").await?;
        page.see("form-waterline").await?;
        look("new boat", &mut wrong).await?;
        assert!(wrong.is_empty(), "hard to follow:\n{}", wrong.join("\n"));
        Ok(())
    })
    .await;
}

/// What of an entry of a session lies under the button that removes it.
const COVERED: &str = r#"
return [...document.querySelectorAll("[data-testid^=entry-]:not(button)")].flatMap((entry) => {
  const own = entry.querySelector("button[data-testid$=-remove]").getBoundingClientRect();
  return [...entry.querySelectorAll("p, li, img")].flatMap((e) => {
    const range = document.createRange();
    range.selectNodeContents(e);
    const lies = (box) => box.right > own.left + 1 && box.left < own.right - 1
      && box.bottom > own.top + 1 && box.top < own.bottom - 1;
    return [...range.getClientRects()].some(lies) ? [e.innerText] : [];
  });
});
"#;

#[tokio::test(flavor = "multi_thread")]
async fn the_button_that_removes_an_entry_covers_nothing_of_it() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        page.tap("keep-reading").await?;
        page.tap("go-diary").await?;
        page.fill("note-text", "Seals greased, the battery moved ten millimetres aft").await?;
        page.tap("note-add").await?;
        let mut covered = Vec::new();
        for (width, text) in [(390, "usual"), (320, "usual"), (320, "large")] {
            resize(&page.driver, width, 568).await?;
            page.tap("go-diary").await?;
            page.tap("go-settings").await?;
            page.tap(&format!("text-{text}")).await?;
            page.tap("go-diary").await?;
            page.tap("session-0-open").await?;
            page.see("entry-1").await?;
            let found: Vec<String> = page.run(COVERED, vec![]).await?.unwrap_or_default();
            covered.extend(found.into_iter().map(|what| format!("{width} {text}: {what}")));
        }
        assert!(covered.is_empty(), "under the button:\n{}", covered.join("\n"));
        Ok(())
    })
    .await;
}

/// How many rows the table behind the curve has, and how many of them have a head.
const ROWS: &str = r#"
const all = (what) => document.querySelectorAll(`[data-testid=lever-curve-table] ${what}`).length;
return [all("tbody tr"), all("tbody th[scope=row]")];
"#;

#[tokio::test(flavor = "multi_thread")]
async fn a_chart_says_itself_in_a_sentence_and_as_a_table_that_is_made_when_it_is_opened() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        page.tap("go-boat").await?;
        page.tap("bench-results").await?;
        page.see_words("lever-curve-words", "Greatest lever").await?;
        page.see_words("lever-curve-figure", "mm").await?;
        let rows = async || page.run::<Vec<u32>>(ROWS, vec![]).await;
        assert_eq!(rows().await?, Some(vec![0, 0]), "nothing is made while it is folded away");
        page.tap("lever-curve-table").await?;
        let made = async || Ok(rows().await?.filter(|r| *r == [10, 10]));
        page.until("the table has its rows", made).await?;
        Ok(())
    })
    .await;
}
