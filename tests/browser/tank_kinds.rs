//! The kinds of tank in their form: each asks for what it needs, and the boat follows.

use crate::driver::{FOLDER, on_a_phone, picture, resize};
use crate::page::Page;
use std::f64::consts::PI;
use thirtyfour::prelude::*;
use trimwright::boat::{Boat, FillLimit, Piston, TankEnd, TankKind, demo_boat};
use trimwright::float::{Basin, FloatModel, Tolerance, release};
use trimwright::geometry::{Axis, Fineness, Solid};
use trimwright::unit::{Celsius, DEGREE};
use trimwright::water::Water;

/// A usual and a small phone, CSS pixels.
const PHONES: [(u32, u32); 2] = [(390, 844), (320, 568)];

/// The demonstration boat with a piston of 350 ml and 140 mm stroke, of 60 g, in place of its tank.
fn with_piston(inlet: TankEnd) -> Boat {
    let mut boat = demo_boat().expect("fixed sizes");
    let tank = boat.tanks.first_mut().expect("its tank");
    let (length, volume) = (0.14, 350e-6);
    let diameter = (4.0 * volume / (PI * length)).sqrt();
    tank.cavity = Solid::Cylinder { axis: Axis::X, length, diameter, centre: tank.centre };
    tank.kind = TankKind::Piston(Piston { inlet, mass: 0.06 });
    boat
}

/// How the boat is trimmed with its tank half full, degrees bow down, in the water of the app's start.
fn trim_at_half(boat: &Boat) -> f64 {
    let water = Water::Fresh(Celsius(20.0)).density().expect("in range");
    let model = FloatModel::new(boat, Fineness::WORK).expect("a good boat");
    let half = model.flooded(0.5, water).expect("its tank");
    let outcome = release(&half, Basin::deep(water), &Tolerance::FINE).expect("good water");
    outcome.afloat().expect("it floats").pose.trim() / DEGREE
}

/// What the foot says of the demonstration boat with its tank closed, full as far as 1 bar takes it.
fn light_with_half_the_air() -> String {
    let mut boat = demo_boat().expect("fixed sizes");
    boat.tanks.first_mut().expect("its tank").kind = TankKind::Sealed(FillLimit::Pump(1e5));
    let water = Water::Fresh(Celsius(20.0)).density().expect("in range");
    let model = FloatModel::new(&boat, Fineness::WORK).expect("a good boat");
    let full = model.flooded(1.0, water).expect("its tank");
    format!("still {:.0} g light", -full.residual_mass(water) * 1e3)
}

/// Sees on the Dive screen, with the tank half full, the trim that the core has.
async fn see_trim_at_half(page: &Page, boat: &Boat) -> WebDriverResult<()> {
    let expected = trim_at_half(boat);
    page.dive().await?;
    page.set_fill(50.0).await?;
    let words = if expected > 0.0 { "bow down" } else { "stern down" };
    let said = page.see_words("dive-trim", words).await?.text;
    let degrees = said.split('°').next().and_then(|number| number.trim().parse::<f64>().ok());
    // Printed to a tenth.
    let is_near = degrees.is_some_and(|d| (d - expected.abs()).abs() <= 0.0501);
    assert!(is_near, "half full: {said}, expected {expected:.3}° bow down");
    Ok(())
}

/// Pictures of the open form on both phones, for people to look at.
async fn pictures(page: &Page, name: &str) -> WebDriverResult<()> {
    for (width, height) in PHONES {
        resize(&page.driver, width, height).await?;
        for (place, from) in [("top", 0.0), ("mid", 0.5), ("end", 1.0)] {
            let scroll = "scrollTo(0, arguments[0] * (document.documentElement.scrollHeight -
                          innerHeight)); return null;";
            page.run::<()>(scroll, vec![from.into()]).await?;
            page.is_at_rest().await?;
            picture(&page.driver, &format!("tank-{name}-{width}-{place}")).await?;
        }
    }
    let (width, height) = PHONES[0];
    resize(&page.driver, width, height).await
}

#[tokio::test(flavor = "multi_thread")]
async fn a_piston_is_entered_by_its_content_and_trims_the_boat_by_its_inlet() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        page.tap("go-boat").await?;
        page.tap("bench-tanks").await?;
        page.tap("tank-0").await?;
        page.see_words("form-capacity", "1051 ml").await?;
        pictures(&page, "open").await?;
        page.tap("kind-piston").await?;
        page.see_words("kind-means", "piston").await?;
        page.see_no("form-vent-x").await?;
        page.see_no("form-lengthwise").await?;
        page.tap("form-by-volume").await?;
        page.fill("form-takes", "350").await?;
        page.fill("form-length", "140").await?;
        page.see_words("form-capacity", "350 ml").await?;
        page.tap("form-inlet-fore").await?;
        page.fill("form-piston-mass", "60").await?;
        page.see_foot_of(&with_piston(TankEnd::Fore)).await?;
        pictures(&page, "piston").await?;
        page.finish().await?;
        page.see_words("tank-0", "Piston, 350").await?;
        see_trim_at_half(&page, &with_piston(TankEnd::Fore)).await?;
        picture(&page.driver, "tank-piston-half-fore").await?;
        page.tap("go-boat").await?;
        page.tap("tank-0").await?;
        page.tap("form-inlet-aft").await?;
        page.finish().await?;
        see_trim_at_half(&page, &with_piston(TankEnd::Aft)).await?;
        picture(&page.driver, "tank-piston-half-aft").await
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_closed_tank_says_how_much_goes_in_and_a_bag_asks_for_little() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        page.tap("go-boat").await?;
        page.tap("bench-tanks").await?;
        page.tap("tank-0").await?;
        page.tap("kind-sealed").await?;
        page.fill("form-pump", "1").await?;
        // Boyle's law: half of 1051 ml of air is left at twice the pressure.
        page.see_words("form-capacity", "526 ml").await?;
        page.see_words("bench-tank", &light_with_half_the_air()).await?;
        pictures(&page, "sealed").await?;
        page.tap("form-stop-depth").await?;
        page.see_no("form-pump").await?;
        page.tap("kind-bag").await?;
        page.see_no("form-stop-depth").await?;
        page.see_words("form-capacity", "1051 ml").await?;
        pictures(&page, "bag").await?;
        page.finish().await?;
        page.see_words("tank-0", "Bag").await?;
        page.dive().await?;
        page.set_fill(50.0).await?;
        picture(&page.driver, "tank-bag-half").await
    })
    .await;
}
