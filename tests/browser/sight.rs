//! The control in use and the answer are both in sight, whatever the phone's size and however it lies.

use crate::driver::{FOLDER, finger, on_a_phone, on_load, picture, resize};
use crate::page::Page;
use serde_json::json;
use thirtyfour::prelude::*;

/// Phones upright and lying, and what a keyboard leaves of one, CSS pixels.
const SIZES: [(u32, u32); 6] =
    [(390, 844), (390, 664), (390, 430), (320, 568), (844, 390), (568, 320)];

/// What of a figure's control or of the answer is not in sight; arguments: the control's name, and
/// what must be in sight of the answer.
const OUT_OF_SIGHT: &str = r#"
const [control, told] = arguments;
const found = [];
const see = (name, e) => {
  const own = e.closest(".answer") ?? e;
  const box = e.getBoundingClientRect();
  if (box.width === 0 || box.height === 0) return found.push(`${name} is not shown`);
  const place = `${Math.round(box.left)}..${Math.round(box.right)}, ` +
    `${Math.round(box.top)}..${Math.round(box.bottom)} of ${innerWidth} x ${innerHeight}`;
  if (box.left < -0.5 || box.top < -0.5 || box.right > innerWidth + 0.5 ||
      box.bottom > innerHeight + 0.5) found.push(`${name} sticks out: ${place}`);
  const isCut = e.scrollWidth > e.clientWidth + 1 || e.scrollHeight > e.clientHeight + 1;
  if (isCut && getComputedStyle(e).display === "flex" && name === "answer-main")
    found.push(`${name} is cut off`);
  const covers = new Set();
  for (let i = 0; i <= 6; i++) for (let k = 0; k <= 6; k++) {
    // Corners are round.
    if (i % 6 === 0 && k % 6 === 0) continue;
    const x = box.left + 3 + (box.width - 6) * i / 6, y = box.top + 3 + (box.height - 6) * k / 6;
    const there = document.elementFromPoint(x, y);
    if (!own.contains(there)) covers.add(there ? there.outerHTML.slice(0, 60) : "nothing");
  }
  for (const cover of covers) found.push(`${name} (${place}) lies under ${cover}`);
};
if (control) see(control, find(`${control}-value`).closest(".stepper, .field"));
for (const name of told) see(name, find(name));
return found;
"#;

/// How high the answer is, and how large its first words are, CSS pixels.
const CARD: &str = r#"
return [find("answer").getBoundingClientRect().height,
        parseFloat(getComputedStyle(find("answer-main")).fontSize)];
"#;
/// Higher than this it is no line.
const LINE: f64 = 66.0;
/// Smaller than this it cannot be read at arm's length in the sun.
const LARGE: f64 = 20.0;

/// Waits until a control and parts of the answer are in sight, all of them.
pub(crate) async fn see_both(
    page: &Page,
    how: &str,
    control: &str,
    told: &[&str],
) -> WebDriverResult<()> {
    let ask =
        async || page.run::<Vec<String>>(OUT_OF_SIGHT, vec![json!(control), json!(told)]).await;
    let is_well = async || Ok(ask().await?.filter(Vec::is_empty).map(drop));
    if page.wait_for(is_well).await?.is_none() {
        let name = how.replace(' ', "-");
        picture(&page.driver, &format!("failed-sight-{name}")).await?;
        let found = ask().await?.unwrap_or_default().join("\n");
        panic!("{how}: not in sight (see artefacts/failed-sight-{name}.png)\n{found}");
    }
    Ok(())
}

/// Waits until the answer is one line, or not.
async fn see_line(page: &Page, how: &str, is_line: bool) -> WebDriverResult<()> {
    let ask = async || {
        let card: Option<[f64; 2]> = page.run(CARD, vec![]).await?;
        Ok(card.filter(|[height, large]| (*height < LINE) == is_line && *large >= LARGE))
    };
    page.until(&format!("{how}: the answer is {} line", if is_line { "one" } else { "no" }), ask)
        .await
        .map(drop)
}

#[tokio::test(flavor = "multi_thread")]
async fn while_a_figure_is_typed_its_control_and_the_answer_are_in_sight() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        for (width, height) in SIZES {
            resize(&page.driver, width, height).await?;
            for state in ["state-afloat", "state-under"] {
                page.tap(state).await?;
                let afloat = state == "state-afloat";
                let figures: &[&str] = if afloat {
                    &["mark-stern", "mark-bow", "list", "trim"]
                } else {
                    &["fill", "residual", "list", "trim"]
                };
                for figure in figures {
                    let how = format!("{figure} on {width} x {height}");
                    // From far away, as after a look at something else.
                    page.run::<()>("scrollTo(0, 0); return null;", vec![]).await?;
                    page.fill(&format!("{figure}-value"), "2").await?;
                    see_line(&page, &how, true).await?;
                    see_both(&page, &how, figure, &["answer", "answer-main"]).await?;
                }
                picture(&page.driver, &format!("hands-typed-{state}-{width}x{height}")).await?;
            }
        }
        Ok(())
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn at_rest_the_whole_answer_is_in_sight() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        for (width, height) in SIZES {
            resize(&page.driver, width, height).await?;
            let how = format!("at rest on {width} x {height}");
            page.fill("trim-value", "").await?;
            see_line(&page, &how, true).await?;
            page.rest().await?;
            see_line(&page, &how, false).await?;
            let all = ["answer", "answer-main", "answer-place", "answer-after", "keep-reading"];
            see_both(&page, &how, "", &all).await?;
            picture(&page.driver, &format!("hands-rest-{width}x{height}")).await?;
            page.fill("list-value", "1.8").await?;
            see_line(&page, &how, true).await?;
            page.tap("answer-whole").await?;
            see_line(&page, "tapped", false).await?;
            see_both(&page, &how, "", &all).await?;
        }
        Ok(())
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn the_answer_never_lies_over_the_buttons_in_use() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        for (width, height) in SIZES {
            resize(&page.driver, width, height).await?;
            for figure in ["mark-bow", "list", "trim"] {
                let how = format!("{figure} stepped on {width} x {height}");
                let script = "find(arguments[0]).closest('.stepper').scrollIntoView(
                    { block: 'center' }); return null;";
                let button = format!("{figure}-more");
                page.run::<()>(script, vec![json!(button)]).await?;
                for _ in 0..2 {
                    let at = page.see(&button).await?.middle;
                    finger(&page.driver, Some(at)).await?;
                    finger(&page.driver, None).await?;
                    see_both(&page, &how, figure, &["answer", "answer-main"]).await?;
                }
            }
            picture(&page.driver, &format!("hands-stepped-{width}x{height}")).await?;
        }
        Ok(())
    })
    .await;
}

/// A keyboard that lies over the page instead of making it lower, as on some phones.
const OVERLAY: &str = r#"
const laidOver = new EventTarget();
Object.assign(laidOver, { scale: 1, height: innerHeight, width: innerWidth, offsetTop: 0, offsetLeft: 0 });
Object.defineProperty(window, "visualViewport", { value: laidOver });
"#;

#[tokio::test(flavor = "multi_thread")]
async fn a_keyboard_that_lies_over_the_page_does_not_hide_the_answer() {
    on_a_phone(FOLDER, |page| async move {
        on_load(&page.driver, OVERLAY).await?;
        page.load().await?;
        page.tap("start-demo").await?;
        page.tap("mark-bow-value").await?;
        let keyboard = "visualViewport.height = innerHeight - 300; \
                        visualViewport.dispatchEvent(new Event('resize')); return null;";
        page.run::<()>(keyboard, vec![]).await?;
        let is_over = "const box = find('answer').getBoundingClientRect(); \
                       return box.bottom <= innerHeight - 300 && box.top > 0 ? true : null;";
        let ask = async || page.run::<bool>(is_over, vec![]).await;
        page.until("the answer stands over the keyboard", ask).await.map(drop)
    })
    .await;
}
