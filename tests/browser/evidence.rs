//! What else can be read than how the boat lies: on the bench, with a known weight on it, pushed over to its other
//! side; and a figure that does not fit the others set aside.

use crate::driver::{FOLDER, Folder, on_a_phone, picture, resize};
use crate::expected::GREBE;
use crate::page::Page;
use serde_json::{Value, json};
use thirtyfour::prelude::*;
use trimwright::boat::demo_boat;
use trimwright::float::{Basin, FloatModel, Tolerance, release};
use trimwright::frame::Position;
use trimwright::geometry::Fineness;
use trimwright::unit::{DEGREE, GRAM, MILLIMETRE};

/// A usual and a small phone, CSS pixels.
const PHONES: [(u32, u32); 2] = [(390, 844), (320, 568)];
/// Fresh water of 20 °C, kg/m³. Source: Tanaka et al. 2001, Metrologia 38:301.
const POOL: f64 = 998.2067;

/// Pictures of something on both phones.
async fn pictures(page: &Page, id: &str, name: &str) -> WebDriverResult<()> {
    for (width, height) in PHONES.into_iter().rev() {
        resize(&page.driver, width, height).await?;
        page.rest().await?;
        let there =
            "find(arguments[0]).scrollIntoView({ block: 'start' }); scrollBy(0, -60); return null;";
        page.run::<()>(there, vec![json!(id)]).await?;
        page.is_at_rest().await?;
        picture(&page.driver, &format!("{name}-{width}")).await?;
    }
    resize(&page.driver, 390, 844).await
}

/// The entries of the only session in the export.
async fn entries(page: &Page) -> WebDriverResult<Vec<Value>> {
    let file = page.export(Folder::new().path()).await?;
    page.tap("go-pool").await?;
    Ok(file["sessions"][0]["entries"].as_array().expect("a session").clone())
}

/// The figure before and behind some words: "± 5 g (was ± 240 g)".
fn figures_in(text: &str) -> Vec<f64> {
    let number = |word: &str| word.replace('\u{202f}', " ").split(' ').next()?.parse().ok();
    text.split('±').skip(1).filter_map(|rest| number(rest.trim_start())).collect()
}

#[tokio::test(flavor = "multi_thread")]
async fn the_bench_tells_mass_and_place_and_what_it_told_goes_with_it() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        page.tap("new-reading").await?;
        let boat = demo_boat().expect("fixed sizes");
        let grams = (boat.dry_mass() / GRAM).round() + 40.0;
        page.tap("on-bench").await?;
        page.fill("bench-scale", "heavy").await?;
        page.see_words("bench-scale-error", "not a number").await?;
        assert!(
            page.see("bench-keep").await?.attributes.contains_key("disabled"),
            "there is nothing to keep"
        );
        page.fill("bench-scale", &grams.to_string()).await?;
        page.fill("bench-balance", "13").await?;
        page.tap("bench-keep").await?;
        let told = page.see_words("bench-told", "Mass known to").await?.text;
        // Scales tell 5 g, or a thousandth: common practice, no source.
        let [mass, before, along, along_before] = figures_in(&told)[..] else { panic!("{told}") };
        assert!((4.0..=5.0).contains(&mass) && before > 20.0, "{told}");
        assert!((1.0..=2.0).contains(&along) && along_before > along, "{told}");
        page.see_words("bench-0", &format!("{grams:.0}")).await?;
        pictures(&page, "on-bench", "bench-kept").await?;
        let kept = entries(&page).await?;
        let kg = kept[0]["bench"]["scale_kg"].as_f64().expect("it was weighed");
        assert!((kg - grams * GRAM).abs() < 1e-9, "{kept:?}");
        let x = kept[0]["bench"]["balance_m"].as_f64().expect("it balanced");
        assert!((x - 0.013).abs() < 1e-9, "{kept:?}");
        // It stays where it is when the app is opened again, and in the diary.
        page.reload().await?;
        page.see_words("bench-told", "Mass known to").await?;
        page.tap("bench-0-remove").await?;
        page.see_no("bench-told").await?;
        page.see_no("bench-0").await
    })
    .await;
}

/// The list of the demonstration boat with 100 g on deck so far to starboard (mm), to a tenth of a degree, to
/// starboard; and its GM without them, metres.
fn inclined(to_starboard: f64) -> (f64, f64) {
    let model =
        FloatModel::new(&demo_boat().expect("fixed sizes"), Fineness::WORK).expect("a boat");
    let blown = model.flooded(0.0, POOL).expect("a share");
    let lies =
        |boat: &FloatModel| release(boat, Basin::deep(POOL), &Tolerance::FINE).expect("water");
    let gm = lies(&blown).afloat().expect("it floats").stiffness.across;
    let at = Position::new(0.0, -to_starboard * MILLIMETRE, 0.15);
    let laden = blown.with_weight(100.0 * GRAM, at).expect("a boat");
    let list = lies(&laden).pose().heel() / DEGREE;
    ((list * 10.0).round() / 10.0, gm)
}

#[tokio::test(flavor = "multi_thread")]
async fn a_weight_moved_across_gives_its_line_and_the_answer_is_without_it() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        page.tap("new-reading").await?;
        page.see_no("incline-chart").await?;
        page.tap("weight-on").await?;
        page.fill("weight-mass", "100").await?;
        page.fill("weight-across", "12").await?;
        page.tap("weight-place-2").await?;
        // In the dry nobody asks of what it is.
        page.see_no("weight-of-lead").await?;
        for (side, across) in [("port", -12.0), ("starboard", 12.0)] {
            if !page.see("weight-across-side").await?.text.contains(side) {
                page.tap("weight-across-side").await?;
            }
            let (list, _) = inclined(across);
            page.enter_sided("list", Some(list), ["to starboard", "to port"]).await?;
            page.rest().await?;
            page.see_words("answer-take-off", "Take the weight off again").await?;
            if side == "port" {
                pictures(&page, "weight-on", "weight-on").await?;
            }
            page.tap("keep-reading").await?;
            page.see_kept().await?;
        }
        let chart = page.see("inclining").await?.text;
        let gm = inclined(0.0).1 / MILLIMETRE;
        let said: f64 = {
            let rest = chart.split("GM").nth(1).expect("GM is told").trim_start();
            rest.replace('\u{202f}', " ")
                .split(' ')
                .next()
                .and_then(|w| w.parse().ok())
                .expect("mm")
        };
        assert!((said - gm).abs() < 0.15 * gm, "{chart}: it is {gm} mm");
        assert!(chart.contains("lie on the line"), "{chart}");
        pictures(&page, "inclining", "inclining").await?;
        let kept = entries(&page).await?;
        let aboard = |k: usize| kept[k]["reading"]["aboard"][0].clone();
        assert_eq!(aboard(0)["mass_kg"], json!(0.1), "{kept:?}");
        assert_eq!(aboard(0)["at_m"][1], json!(0.012), "to port: {kept:?}");
        assert_eq!(aboard(1)["at_m"][1], json!(-0.012), "to starboard: {kept:?}");
        assert_eq!(aboard(1)["density_kg_m3"], Value::Null, "in the dry");
        // It stays on until it is taken off.
        page.tap("new-reading").await?;
        page.see_words("weight-on", "100").await?;
        page.tap("weight-off").await?;
        page.see_words("weight-on", "A known weight").await.map(drop)
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn pushed_over_it_stays_or_comes_back_and_both_are_kept() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-quick").await?;
        for (field, number) in GREBE {
            page.fill_next(&format!("quick-{field}"), &number.to_string()).await?;
        }
        page.tap("quick-use").await?;
        for (mark, mm) in [("stern", 0.0), ("bow", 0.0)] {
            page.enter_mark(mark, Some(mm)).await?;
        }
        page.enter_sided("list", Some(18.0), ["to starboard", "to port"]).await?;
        page.rest().await?;
        page.see("push-comes-back").await?;
        pictures(&page, "answer", "push-asked").await?;
        page.tap("push-comes-back").await?;
        let pressed =
            |seen: &crate::page::Seen| seen.attributes.get("aria-pressed").map(|p| p == "true");
        page.see_that("push-comes-back", "is pressed", |seen| pressed(seen) == Some(true)).await?;
        page.tap("keep-reading").await?;
        page.see_kept().await?;
        assert_eq!(entries(&page).await?[0]["reading"]["comes_back"], json!(true), "it is kept");
        // A second tap takes it back; what stays over is read there.
        page.tap("push-comes-back").await?;
        page.see_that("push-comes-back", "is not pressed", |seen| pressed(seen) == Some(false))
            .await?;
        page.tap("push-stays").await?;
        page.rest().await?;
        page.see_words("answer-main", "Read the list there").await?;
        pictures(&page, "answer", "push-stays").await?;
        page.enter_sided("list", Some(-13.0), ["to starboard", "to port"]).await?;
        page.rest().await?;
        page.tap("keep-reading").await?;
        page.see_kept().await?;
        let kept = entries(&page).await?;
        let readings: Vec<&Value> = kept.iter().map(|entry| &entry["reading"]).collect();
        assert_eq!(readings.len(), 2, "the first one once: {kept:?}");
        assert_eq!(readings[0]["comes_back"], json!(false), "it stays there");
        assert_eq!(readings[0]["list_deg"].as_f64().map(f64::round), Some(18.0), "as it was first");
        assert_eq!(readings[1]["list_deg"].as_f64().map(f64::round), Some(-13.0), "and there");
        Ok(())
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_figure_that_does_not_fit_is_set_aside_and_used_again() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        page.tap("new-reading").await?;
        for (mark, mm) in [("stern", 0.0), ("bow", 0.0), ("midship", 9.0)] {
            page.enter_mark(mark, Some(mm)).await?;
        }
        page.rest().await?;
        page.see_words("answer", "These figures disagree").await?;
        page.see_words("aside-mark-midship", "Set aside: midship").await?;
        pictures(&page, "answer", "aside-asked").await?;
        page.tap("aside-mark-midship").await?;
        page.see_words("aside-mark-midship", "Use again: midship").await?;
        page.see_words("mark-midship-aside", "set aside").await?;
        let answer = page.see("answer").await?.text;
        assert!(!answer.contains("disagree"), "the others agree: {answer}");
        assert_eq!(page.see("mark-midship-value").await?.value, "9", "the figure stays");
        pictures(&page, "mark-midship-value", "aside-set").await?;
        page.tap("keep-reading").await?;
        page.see_kept().await?;
        let kept = entries(&page).await?;
        assert_eq!(kept[0]["reading"]["aside"], json!(["mark midship"]), "{kept:?}");
        assert_eq!(kept[0]["reading"]["marks"].as_array().map(Vec::len), Some(3), "all are kept");
        // A second tap takes it back; so does reading it anew.
        page.tap("aside-mark-midship").await?;
        page.see_words("answer", "These figures disagree").await?;
        page.see_no("mark-midship-aside").await?;
        page.tap("aside-mark-midship").await?;
        page.see("mark-midship-aside").await?;
        // Where nothing that counts is read any more, it can still be used again.
        page.tap("new-reading").await?;
        page.see_no("aside-mark-midship").await?;
        page.enter_mark("midship", Some(9.0)).await?;
        page.enter_mark("bow", Some(0.0)).await?;
        page.enter_mark("stern", Some(0.0)).await?;
        page.rest().await?;
        page.tap("aside-mark-midship").await?;
        for mark in ["bow", "stern"] {
            page.fill(&format!("mark-{mark}-value"), "").await?;
        }
        page.rest().await?;
        page.see_words("answer-main", "Read the boat").await?;
        page.see_words("aside-mark-midship", "Use again: midship").await?;
        page.fill("mark-midship-value", "0").await?;
        page.see_no("mark-midship-aside").await?;
        page.rest().await?;
        page.see_no("aside-mark-midship").await
    })
    .await;
}
