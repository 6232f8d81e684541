//! The three themes, and pictures of every screen in each of them for people to look at.

use crate::driver::{FOLDER, on_a_phone, picture, prefer, resize, short_or_long};
use crate::page::{Page, Seen};
use thirtyfour::prelude::*;

const THEMES: [&str; 3] = ["paper", "night", "sun"];
/// A usual and a small phone, CSS pixels.
const PHONES: [(u32, u32); 2] = [(390, 844), (320, 568)];

async fn theme(page: &Page) -> WebDriverResult<String> {
    let theme = "return document.documentElement.dataset.theme ?? '';";
    Ok(page.run(theme, vec![]).await?.unwrap_or_default())
}

async fn see_theme(page: &Page, name: &str) -> WebDriverResult<()> {
    let is_on = async || Ok((theme(page).await? == name).then_some(()));
    page.until(&format!("the theme is {name}"), is_on).await
}

/// Chooses a theme, among the settings.
async fn choose_theme(page: &Page, name: &str) -> WebDriverResult<()> {
    page.tap("go-diary").await?;
    page.tap("go-settings").await?;
    page.tap(&format!("theme-{name}")).await?;
    see_theme(page, name).await
}

/// Pictures show a screen from its top.
async fn go_to(page: &Page, screen: &str) -> WebDriverResult<()> {
    page.tap(&format!("go-{screen}")).await?;
    page.run::<()>("scrollTo(0, 0); return null;", vec![]).await?;
    page.is_at_rest().await
}

/// Texts that stand out from their ground by less than is asked; not drawings, and not buttons that
/// do nothing now, of which WCAG 2 asks nothing.
const FAINT: &str = r#"
const numbers = (color) => (color.match(/[\d.]+/g) ?? []).map(Number);
const channel = (v) => (v <= 10.31475 ? v / 3294.6 : ((v / 255 + 0.055) / 1.055) ** 2.4);
const luminance = ([r, g, b]) => 0.2126 * channel(r) + 0.7152 * channel(g) + 0.0722 * channel(b);
const ground = (e) => {
  for (; e; e = e.parentElement) {
    const color = numbers(getComputedStyle(e).backgroundColor);
    if (color.length === 3 || color[3] > 0.99) return color;
  }
  return [255, 255, 255];
};
const written = (e) =>
  e.value || [...e.childNodes].some((n) => n.nodeType === Node.TEXT_NODE && n.data.trim());
return [...document.body.querySelectorAll("*:not(svg *, script, style, noscript)")].flatMap((e) => {
  const box = e.getBoundingClientRect();
  if (!written(e) || box.width === 0 || box.height === 0) return [];
  if (e.closest(":disabled")) return [];
  const [a, b] = [numbers(getComputedStyle(e).color), ground(e)].map(luminance).sort((a, b) => b - a);
  const ratio = (a + 0.05) / (b + 0.05);
  const what = (e.innerText || e.value || e.textContent).slice(0, 40);
  return ratio < arguments[0] ? [`"${what}" stands out ${ratio.toFixed(1)}`] : [];
});
"#;

/// What a text's contrast must be in a theme, by the product's own rule (WCAG 2 levels AA, AAA).
fn least_contrast(theme: &str) -> f64 {
    if theme == "sun" { 7.0 } else { 4.5 }
}

/// On the small phone the screens are gone through in the long run only: text is as faint on either.
#[tokio::test(flavor = "multi_thread")]
async fn every_text_stands_out_from_its_ground_in_every_theme() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        page.tap("keep-reading").await?;
        page.mark_checks().await?;
        let mut faint = Vec::new();
        for name in THEMES {
            choose_theme(&page, name).await?;
            for &(width, height) in short_or_long(&PHONES[..1], &PHONES[..]) {
                resize(&page.driver, width, height).await?;
                page.tour(async |screen| {
                    let least = least_contrast(name);
                    let found: Option<Vec<String>> = page.run(FAINT, vec![least.into()]).await?;
                    let found = found.unwrap_or_default().into_iter();
                    faint.extend(found.map(|what| format!("{name} {screen}: {what}, not {least}")));
                    picture(&page.driver, &format!("{screen}-{name}-{width}")).await
                })
                .await?;
            }
        }
        assert!(faint.is_empty(), "hard to read:\n{}", faint.join("\n"));
        Ok(())
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn the_theme_can_be_chosen_and_stays() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        for name in THEMES {
            choose_theme(&page, name).await?;
            page.reload().await?;
            see_theme(&page, name).await?;
        }
        Ok(())
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn on_a_wide_screen_the_answer_is_beside_the_entries() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        resize(&page.driver, 1280, 800).await?;
        go_to(&page, "pool").await?;
        let in_view = |seen: &Seen| seen.in_view;
        page.see_that("answer-main", "is on the screen whole", in_view).await?;
        page.see_that("mark-bow-more", "is on the screen whole", in_view).await?;
        picture(&page.driver, "pool-paper-1280").await
    })
    .await;
}

/// What the drawings and charts say that can hardly be told from its ground: strokes, or areas where
/// there is no stroke, and letters.
const FAINT_LINES: &str = r#"
const numbers = (color) => (color.match(/[\d.]+/g) ?? []).map(Number);
const channel = (v) => (v <= 10.31475 ? v / 3294.6 : ((v / 255 + 0.055) / 1.055) ** 2.4);
const luminance = ([r, g, b]) => 0.2126 * channel(r) + 0.7152 * channel(g) + 0.0722 * channel(b);
const ground = luminance(numbers(getComputedStyle(document.documentElement).backgroundColor));
const said = ".part, .surface, .aim, .tick-line, .tank-surface, .bulkhead, .block path, .sign .ground,"
  + " .sign .quarters, .ruler, .arrow, text, .now, .before, .tried, .zero";
const drawn = [...document.querySelectorAll(":is(.drawing, .chart) svg :is(" + said + ")")]
  .filter((e) => !e.closest("defs") && !(e.tagName === "text" && e.closest(".block")))
  .filter((e) => e.getBoundingClientRect().width + e.getBoundingClientRect().height > 1);
const faint = drawn.flatMap((e) => {
  const { fill, stroke } = getComputedStyle(e);
  const color = e.tagName === "text" || stroke === "none" ? fill : stroke;
  const [a, b] = [luminance(numbers(color)), ground].sort((a, b) => b - a);
  const ratio = (a + 0.05) / (b + 0.05);
  return ratio < arguments[0] ? [`${e.tagName} "${e.getAttribute("class")}" ${color}: ${ratio.toFixed(1)}`] : [];
});
return [String(drawn.length), ...new Set(faint)];
"#;

/// Buttons whose words cannot be read in forced colours: the browser lays a ground of its own under them,
/// unless it is told to leave them alone.
const FAINT_BUTTONS: &str = r#"
if (!matchMedia("(forced-colors: active)").matches) return [];
const numbers = (color) => (color.match(/[\d.]+/g) ?? []).map(Number);
const same = (a, b) => numbers(a).slice(0, 3).join() === numbers(b).slice(0, 3).join();
const ground = getComputedStyle(document.documentElement).backgroundColor;
return [...document.querySelectorAll("button, label.main")].flatMap((e) => {
  const { color, forcedColorAdjust, backgroundColor } = getComputedStyle(e);
  const own = forcedColorAdjust === "none" && numbers(backgroundColor)[3] !== 0;
  const under = own ? backgroundColor : ground;
  return same(color, under) ? [`"${e.innerText}" ${color} on ${under}`] : [];
});
"#;

/// Features of the phone's settings, by name and value.
type Asked = [(&'static str, &'static str); 2];

/// What a phone's settings may ask for, and by how much a line then stands out at least (WCAG 2.1:
/// 3 for what is drawn; 7 where more contrast was asked for, as in the sun).
const ASKED: [(Asked, &str, f64); 4] = [
    ([("forced-colors", "active"), ("prefers-color-scheme", "light")], "forced-light", 3.0),
    ([("forced-colors", "active"), ("prefers-color-scheme", "dark")], "forced-dark", 3.0),
    ([("prefers-contrast", "more"), ("prefers-color-scheme", "light")], "contrast-light", 7.0),
    ([("prefers-contrast", "more"), ("prefers-color-scheme", "dark")], "contrast-dark", 7.0),
];

#[tokio::test(flavor = "multi_thread")]
async fn the_drawing_can_be_seen_in_the_phone_s_own_colours_and_contrast() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        page.fill("mark-bow-value", "7").await?;
        page.see("answer-main").await?;
        let mut faint = Vec::new();
        for (features, name, least) in ASKED {
            prefer(&page.driver, &features).await?;
            for screen in ["dive", "boat", "checks", "pool"] {
                go_to(&page, screen).await?;
                picture(&page.driver, &format!("{screen}-{name}")).await?;
                let found: Option<Vec<String>> = page.run(FAINT_LINES, vec![least.into()]).await?;
                let found = found.unwrap_or_default();
                let n: u32 = found.first().and_then(|n| n.parse().ok()).unwrap_or(0);
                assert!(
                    screen == "checks" || n > 10,
                    "{name} {screen}: only {n} lines were looked at"
                );
                let buttons: Option<Vec<String>> = page.run(FAINT_BUTTONS, vec![]).await?;
                let found = found.into_iter().skip(1).chain(buttons.unwrap_or_default());
                faint.extend(found.map(|what| format!("{name} {screen}: {what}")));
            }
        }
        assert!(faint.is_empty(), "hard to see:\n{}", faint.join("\n"));
        Ok(())
    })
    .await;
}
