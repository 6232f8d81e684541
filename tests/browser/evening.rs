//! An evening at the pool as its builder walks it: a boat that is not quite the one in its list is read, what
//! is advised is done, and it is read again, afloat, under and afloat, until there is nothing to do.

use crate::driver::{FOLDER, Folder, on_a_phone, picture};
use crate::expected::{Entry, advice_of};
use crate::page::Page;
use crate::real::{POOL, Real, execute, lies, read as read_real};
use nalgebra::Vector3;
use thirtyfour::prelude::*;
use trimwright::boat::demo_boat;
use trimwright::float::{Tolerance, hang};
use trimwright::material::LEAD;
use trimwright::reading::{Condition, Seen};
use trimwright::unit::{DEGREE, GRAM, MILLIMETRE};

/// Readings in one condition after which the builder gives up.
const PATIENCE: usize = 5;

/// What the builder sees: to half a millimetre, a tenth of a degree, a gram.
fn seen(real: &Real, condition: Condition) -> Entry {
    let mut entry = Entry::default();
    let to = |value: f64, step: f64| (value / step).round() * step;
    for observation in read_real(real, condition).observations {
        match observation.seen {
            Seen::WaterAtMark { mark, above } => {
                let name = ["stern", "bow"].into_iter().find(|name| **name == mark.name);
                entry.marks.extend(name.map(|name| (name, to(above / MILLIMETRE, 0.5))));
            }
            Seen::List(angle) => entry.list = Some(to(angle / DEGREE, 0.1)),
            Seen::Trim(angle) => entry.trim = Some(to(angle / DEGREE, 0.1)),
            Seen::Residual(mass) => entry.heavy = Some(to(mass / GRAM, 1.0)),
        }
    }
    entry
}

/// Reads and acts until there is nothing to do; how often it was read.
async fn trim(
    page: &Page,
    real: &mut Real,
    condition: Condition,
    folder: &Folder,
) -> WebDriverResult<usize> {
    for n in 1..=PATIENCE {
        page.enter(&seen(real, condition)).await?;
        page.tap("keep-reading").await?;
        page.see_kept().await?;
        let kind = page.see("answer").await?.attributes["data-kind"].clone();
        if kind == "leave" {
            return Ok(n);
        }
        let advice = advice_of(&page.export(folder.path()).await?);
        page.tap("go-pool").await?;
        page.tap("keep-reading").await?;
        page.see_words("answer-main", "Now read again").await?;
        for step in &advice.steps {
            execute(real, step, LEAD.density);
        }
    }
    panic!("{condition:?}: still something to do after {PATIENCE} readings")
}

#[tokio::test(flavor = "multi_thread")]
async fn an_evening_ends_with_a_boat_that_is_right_both_ways() {
    on_a_phone(FOLDER, |page| async move {
        let folder = Folder::new();
        page.tap("start-demo").await?;
        let boat = demo_boat().expect("fixed sizes");
        let mass = 180.0 * GRAM;
        let moment = Vector3::new(0.09, -0.008, 0.0) * mass;
        let mut real = Real { boat, mass, moment };
        let afloat = trim(&page, &mut real, Condition::Afloat, &folder).await?;
        let under = trim(&page, &mut real, Condition::Under, &folder).await?;
        picture(&page.driver, "evening-under").await?;
        let again = trim(&page, &mut real, Condition::Afloat, &folder).await?;
        picture(&page.driver, "evening-afloat").await?;
        println!("read {afloat} times afloat, {under} under, {again} afloat again");
        assert!(afloat <= 3 && under <= 2, "{afloat} readings afloat, {under} under");
        assert_eq!(again, 1, "what was done under water spoiled nothing afloat");

        // Judged by the boat itself.
        let pose = lies(&real, 0.0, Condition::Afloat);
        for mark in &real.boat.marks {
            let above = pose.water_height_at(mark.at.x(), mark.at.y()) - mark.at.z();
            assert!(above.abs() < 3.0 * MILLIMETRE, "{}: {above} m", mark.name);
        }
        assert!(pose.heel().abs() < DEGREE, "it lists {}", pose.heel());
        let [blown, full] = [0.0, 1.0].map(|share| real.at(share).residual_mass(POOL));
        let share = -blown / (full - blown);
        assert!((0.58..0.97).contains(&share), "neutral at {share}");
        let basin = trimwright::float::Basin::deep(POOL);
        let hangs = hang(&real.at(share), basin, &Tolerance::FINE).expect("water");
        let worst = hangs.pose.heel().abs().max(hangs.pose.trim().abs());
        assert!(worst < 1.5 * DEGREE, "it hangs {worst} off level");
        Ok(())
    })
    .await;
}
