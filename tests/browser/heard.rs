//! What a screen reader hears: the answer once, when typing pauses, and buttons that keep their names.

use crate::driver::{FOLDER, on_a_phone};
use serde_json::Value;

/// Types three figures one after the other, so quickly that no clock runs between them, and notes what
/// is said from then on: every change in a region that says its changes by itself.
const TYPE_QUICKLY: &str = r#"
const done = arguments[arguments.length - 1];
const aloud = "[aria-live]:not([aria-live=off]), [role=status], [role=alert], [role=log], output";
window.said = [];
new MutationObserver((changes) => {
  for (const { target } of changes) {
    const region = (target instanceof Element ? target : target.parentElement)?.closest(aloud);
    if (region) said.push(region.textContent);
  }
}).observe(document.body, { subtree: true, childList: true, characterData: true });
(async () => {
  const field = find("mark-bow-value");
  for (const text of ["1", "12", "12.5"]) {
    field.value = text;
    field.dispatchEvent(new InputEvent("input", { bubbles: true }));
    for (let k = 0; k < 200; k++) await null;
  }
  done(true);
})();
"#;

#[tokio::test(flavor = "multi_thread")]
async fn the_answer_is_said_once_when_typing_pauses() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        page.see("mark-bow-value").await?;
        let before = page.see("answer-main").await?.text;
        page.run_async::<bool>(TYPE_QUICKLY).await?;
        let changed = |seen: &crate::page::Seen| seen.text != before;
        let answer = page.see_that("answer-main", "answers what was typed", changed).await?.text;
        let said = async || page.run::<Vec<String>>("return window.said;", vec![]).await;
        let any = async || Ok(said().await?.filter(|all| !all.is_empty()));
        let first = page.until("something is said", any).await?;
        let [words] = first.as_slice() else { panic!("said more than once: {first:#?}") };
        let words = words.replace(['\u{a0}', '\u{2009}', '\u{202f}'], " ");
        assert!(words.contains(&answer), "\"{answer}\" is not in \"{words}\"");
        assert!(words.chars().count() < 160, "one short sentence: \"{words}\"");
        // Another answer afterwards is said as well.
        page.fill("mark-bow-value", "3").await?;
        let twice = async || Ok(said().await?.filter(|all| all.len() > 1));
        page.until("the next answer is said", twice).await.map(drop)
    })
    .await;
}

/// Buttons that are pressed or not, tapped and tapped again: what each is called, before and after.
const PRESSED: &str = r#"
const done = arguments[arguments.length - 1];
const called = (e) => {
  const by = e.getAttribute("aria-labelledby");
  if (by) return by.split(/\s+/).map((id) => document.getElementById(id)?.textContent).join(" ");
  if (e.getAttribute("aria-label")) return e.getAttribute("aria-label");
  const copy = e.cloneNode(true);
  for (const unseen of copy.querySelectorAll("[aria-hidden=true], [hidden]")) unseen.remove();
  return copy.textContent.trim();
};
const pause = () => new Promise((go) => setTimeout(go, 10));
(async () => {
  const names = [];
  for (const e of [...document.querySelectorAll("button[aria-pressed]")].slice(0, 12)) {
    if (!e.checkVisibility()) continue;
    const [name, was] = [called(e), e.getAttribute("aria-pressed")];
    e.click();
    for (let k = 0; k < 300 && e.isConnected && e.getAttribute("aria-pressed") === was; k++) await pause();
    if (e.isConnected) names.push([name, called(e)]);
    e.click();
    await pause();
  }
  done(names);
})();
"#;

#[tokio::test(flavor = "multi_thread")]
async fn what_is_pressed_keeps_its_name() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        page.fill("mark-bow-value", "7").await?;
        let mut n = 0;
        for screen in ["pool", "checks"] {
            page.tap(&format!("go-{screen}")).await?;
            page.see(if screen == "pool" { "before-after" } else { "check-battery-charged" })
                .await?;
            let names: Value = page.run_async(PRESSED).await?.expect("a list");
            for pair in names.as_array().expect("a list") {
                assert_eq!(pair[0], pair[1], "{screen}: called otherwise when it is pressed");
                n += 1;
            }
        }
        assert!(n > 3, "only {n} were tried");
        Ok(())
    })
    .await;
}
