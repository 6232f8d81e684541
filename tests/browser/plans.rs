//! Plans: asked for under the answer, shown with what they do and what comes of it, put on with one tap and taken back
//! with another.

use crate::driver::{FOLDER, Folder, on_a_phone, picture, resize};
use crate::page::Page;
use serde_json::Value;
use thirtyfour::prelude::*;

/// A usual and a small phone, CSS pixels.
const PHONES: [(u32, u32); 2] = [(390, 844), (320, 568)];

/// Measures in the page itself how long plans take from the tap on.
const CLOCK: &str = "
    find('plan-ask').addEventListener('click', () => {
        const asked = performance.now();
        const seen = new MutationObserver(() => {
            if (find('plan-0')) {
                window.plansTook = performance.now() - asked;
                seen.disconnect();
            }
        });
        seen.observe(document.body, {childList: true, subtree: true});
    }, {capture: true});
    return null;";

/// The demonstration boat, too light by what five millimetres of water weigh; plans are asked for.
async fn planned(page: &Page) -> WebDriverResult<()> {
    page.tap("start-demo").await?;
    page.enter_mark("stern", Some(-5.0)).await?;
    page.enter_mark("bow", Some(-5.0)).await?;
    page.fill("list-value", "1.2").await?;
    page.run::<()>("document.activeElement?.blur(); return null;", vec![]).await?;
    page.run::<()>(CLOCK, vec![]).await?;
    page.tap("plan-ask").await?;
    page.see("plan-0").await?;
    let took: Option<f64> = page.run("return window.plansTook ?? null;", vec![]).await?;
    #[expect(clippy::print_stdout, reason = "what is measured is printed")]
    {
        println!("FIGURE plans_made {:.0} ms -", took.expect("they were made"));
    }
    Ok(())
}

fn temporary(file: &Value) -> Vec<&Value> {
    let parts = file["boats"][0]["parts"].as_array().expect("parts");
    parts.iter().filter(|part| part["status"] == "temporary").collect()
}

/// Pictures of all that there is of the plans, a screen each, and how wide and high things are.
async fn looked_at(page: &Page, name: &str) -> WebDriverResult<()> {
    for (width, height) in PHONES {
        resize(&page.driver, width, height).await?;
        page.is_at_rest().await?;
        for k in 0..5 {
            let go = "const plan = find(`plan-${arguments[0]}`);
                plan?.scrollIntoView({block: 'start'}); return plan !== null;";
            if page.run::<bool>(go, vec![k.into()]).await? != Some(true) {
                break;
            }
            picture(&page.driver, &format!("{name}-{width}-{k}")).await?;
        }
        page.run::<()>("scrollTo(0, document.body.scrollHeight); return null;", vec![]).await?;
        picture(&page.driver, &format!("{name}-{width}-end")).await?;
        let over = "return document.documentElement.scrollWidth - innerWidth;";
        assert_eq!(page.run::<i32>(over, vec![]).await?, Some(0), "too wide at {width}");
        let high = "return find('plan-0-do').getBoundingClientRect().height;";
        assert!(page.run::<f64>(high, vec![]).await?.is_some_and(|h| h >= 56.0), "at {width}");
    }
    resize(&page.driver, 390, 844).await
}

#[tokio::test(flavor = "multi_thread")]
async fn plans_are_made_when_asked_for_and_put_on_with_one_tap() {
    on_a_phone(FOLDER, |page| async move {
        let folder = Folder::new();
        planned(&page).await?;
        let pieces = page.see("plan-0-pieces").await?.text;
        assert!(pieces.contains("long") && pieces.contains("midship"), "what, and where: {pieces}");
        let text = page.see("plan-0").await?.text;
        for words in ["Fewest pieces", "Afloat: ", "Under water", "On the way", "chance"] {
            assert!(text.contains(words), "{words}: {text}");
        }
        page.see("plan-caution-cutting").await?;
        looked_at(&page, "plans").await?;

        page.tap("plan-0-do").await?;
        page.see_words("answer-main", "Now read again").await?;
        page.see_words("answer-place", "the plan “Fewest pieces").await?;
        page.see_words("pool-message", "list has changed").await?;
        picture(&page.driver, "plans-done").await?;
        page.see_no("plan-0").await?;
        let file = page.export(folder.path()).await?;
        let on = temporary(&file);
        assert!(
            !on.is_empty() && on.len() == pieces.matches("midship").count(),
            "{pieces}: {on:?}"
        );
        let entries = file["sessions"][0]["entries"].as_array().expect("entries");
        let done = entries.iter().map(|e| &e["done"]).find(|d| !d.is_null()).expect("noted");
        assert_eq!(done["deeds"].as_array().map(Vec::len), Some(on.len()), "{done}");
        assert_eq!(done["deeds"][0]["part"], on[0]["name"], "the session names it: {done}");

        page.tap("go-pool").await?;
        page.tap("done-back").await?;
        page.see("plan-ask").await?;
        assert_eq!(temporary(&page.export(folder.path()).await?).len(), 0, "taken back");
        Ok(())
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn plans_go_with_the_answer_that_they_are_of() {
    on_a_phone(FOLDER, |page| async move {
        planned(&page).await?;
        page.fill("list-value", "1.5").await?;
        page.see_no("plan-0").await?;
        page.see("plan-ask").await?;
        // A boat that is not known well enough is not planned for.
        page.fill("list-value", "").await?;
        page.see_no("plan-ask").await
    })
    .await;
}
