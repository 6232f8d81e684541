//! Everyone can use it: names for screen readers, targets for wet thumbs, room on a small phone.

use crate::driver::{FOLDER, on_a_phone, picture, resize, set_text_size};
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
/// Screens that are used with wet hands.
const WET: [&str; 3] = ["pool", "dive", "checks"];
/// Least height and width of a target there and elsewhere, CSS pixels.
const LEAST_WET: f64 = 56.0;
const LEAST: f64 = 48.0;
/// A usual and a small phone, CSS pixels.
const PHONES: [(u32, u32); 2] = [(390, 844), (320, 568)];

/// What can be tapped on the screen, with the size of what the thumb hits.
const TARGETS: &str = r#"
const all = "button, input, select, textarea, summary, a[href], [role=button], [role=radio]";
return [...document.querySelectorAll(all)].flatMap((e) => {
  const small = e.matches("input[type=radio], input[type=checkbox], input[type=file]");
  const target = small && e.labels?.length ? e.labels[0] : e;
  const box = target.getBoundingClientRect();
  if (box.width === 0 || box.height === 0) return [];
  const name = e.dataset.testid ?? e.outerHTML.slice(0, 120);
  return [{ name, width: box.width, height: box.height }];
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
    width: f64,
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
  const group = e.closest("[role=radiogroup], [role=group]")?.ariaLabel ?? "";
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
async fn every_target_is_large_enough_both_ways_for_a_thumb() {
    on_a_phone(FOLDER, |page| async move {
        set_up(&page).await?;
        let mut small = Vec::new();
        let mut look = async |screen: &str| {
            let least = if WET.contains(&screen) { LEAST_WET } else { LEAST };
            let targets: Vec<Target> = page.run(TARGETS, vec![]).await?.unwrap_or_default();
            assert!(!targets.is_empty(), "the {screen} screen has something to tap");
            let too_small = targets.into_iter().filter(|t| t.width.min(t.height) < least - 0.01);
            small.extend(too_small.map(|t| {
                let Target { name, width, height } = t;
                format!("{screen}: {name} is {width:.1} × {height:.1}, not {least}")
            }));
            Ok::<_, WebDriverError>(())
        };
        for (width, height) in PHONES {
            resize(&page.driver, width, height).await?;
            page.tour(&mut look).await?;
            page.tap("go-pool").await?;
            page.tap("state-under").await?;
            page.see("residual-value").await?;
            look("pool").await?;
            page.tap("state-afloat").await?;
        }
        small.dedup();
        assert!(small.is_empty(), "too small:\n{}", small.join("\n"));
        Ok(())
    })
    .await;
}

/// The places to go: how large their letters are, pixels, and whether a tap on their middle meets them.
const PLACES: &str = r#"
return [...document.querySelectorAll(".place")].map((e) => {
  const box = e.getBoundingClientRect();
  const met = document.elementFromPoint(box.x + box.width / 2, box.y + box.height / 2);
  return { letters: parseFloat(getComputedStyle(e).fontSize), met: e.contains(met) };
});
"#;

#[derive(Debug, Deserialize)]
struct Place {
    letters: f64,
    met: bool,
}

async fn places(page: &Page) -> WebDriverResult<Vec<Place>> {
    let places: Vec<Place> = page.run(PLACES, vec![]).await?.unwrap_or_default();
    assert_eq!(places.len(), 5, "five places");
    Ok(places)
}

#[tokio::test(flavor = "multi_thread")]
async fn the_places_to_go_grow_with_text_twice_as_large() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        let usual = places(&page).await?;
        set_text_size(&page.driver, 32).await?;
        page.reload().await?;
        let mut wrong = Vec::new();
        for place in ["boat", "dive", "checks", "diary", "pool"] {
            let go = "find(arguments[0]).click(); scrollTo(0, 0); return null;";
            page.run::<()>(go, vec![json!(format!("go-{place}"))]).await?;
            page.is_at_rest().await?;
            wrong.extend(too_wide(&page, place).await?);
            picture(&page.driver, &format!("{place}-text-200")).await?;
            let large = places(&page).await?;
            let grow =
                |(usual, large): (&Place, &Place)| large.letters >= 2.0 * usual.letters - 0.1;
            assert!(usual.iter().zip(&large).all(grow), "{large:?} where it was {usual:?}");
            assert!(
                large.iter().all(|place| place.met),
                "{place}: one lies under another: {large:?}"
            );
        }
        assert!(wrong.is_empty(), "too wide:\n{}", wrong.join("\n"));
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
        page.see_words("lever-curve-words", "Maximum lever").await?;
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
