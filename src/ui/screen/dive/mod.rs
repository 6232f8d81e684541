//! The way down and up: how the boat lies while its tanks fill.

use crate::state::{BoatInHand, Session};
use crate::ui::memo::memo;
use crate::ui::text;
use crate::ui::widget::{Drawing, FillPlayer, FillSlider, Motion, Scene, between, drawn_of, stops};
use leptos::prelude::*;
use std::sync::Arc;
use trimwright::float::{Basin, Tolerance, sweep};

/// Seconds that the whole way takes.
const LASTS: f64 = 10.0;
/// Steps of the way.
const N_ROWS: u32 = 101;

/// The Dive screen.
#[component]
pub(crate) fn DiveScreen() -> impl IntoView {
    let session = expect_context::<Session>();
    let boat = session.derived.boat;
    view! {
        <main class="screen" data-testid="screen-dive">
            {move || match boat.get() {
                Some(Ok(hand)) => view! { <Way hand /> }.into_any(),
                _ => view! { <p class="quiet">"There is no boat to dive with."</p> }.into_any(),
            }}
        </main>
    }
}

/// The way of a boat.
#[component]
fn Way(
    /// The boat.
    hand: Arc<BoatInHand>,
) -> impl IntoView {
    let session = expect_context::<Session>();
    let (fill, motion) = (RwSignal::new(0.0), RwSignal::new(Motion::Rest));
    let tanks: Vec<usize> = (0..hand.boat.tanks.len()).collect();
    let basin = Basin::deep(session.derived.density.get_untracked());
    let swept = sweep(&hand.model, basin, &tanks, N_ROWS, &Tolerance::FINE);
    let rows = swept.map(|s| s.rows).unwrap_or_default();
    let worst = rows.iter().max_by(|a, b| a.pose().heel().abs().total_cmp(&b.pose().heel().abs()));
    let marks: Vec<(f64, String)> =
        worst.iter().map(|row| (row.fill, "leans most".to_owned())).collect();
    let stops = stops(rows.iter().map(|row| (row.fill, &row.outcome)));
    let gravity = hand.model.centre_of_gravity(nalgebra::Vector3::z_axis()).vector();
    let scene =
        memo(move || between(&stops, fill.get()).unwrap_or_else(|| Scene::upright(gravity.into())));
    let words = memo(move || {
        let pose = scene.get().pose;
        format!("The boat on its way: {}, {}", text::list(pose.heel()), text::trim(pose.trim()))
    });
    let n_tanks = tanks.len();
    view! {
        <h1>{hand.boat.name.clone()}</h1>
        <Drawing
            hand=Signal::stored(Arc::clone(&hand))
            scene
            words
            parts=Signal::stored(drawn_of(&hand))
            fills=Signal::derive(move || vec![fill.get(); n_tanks])
            moving=Signal::derive(move || motion.get() != Motion::Rest)
        />
        <FillPlayer fill up=Signal::stored(false) lasts=LASTS motion />
        <FillSlider fill marks=Signal::stored(marks) motion />
    }
}
