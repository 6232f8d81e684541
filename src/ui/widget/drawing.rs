//! The boat drawn to scale as it floats: side view and end view. The water is level; the boat is
//! turned, never the water.

use super::scene::{
    HEIGHT, Layout, Load, Placing, SURFACE, Scene, WIDTH, end_paths, side_paths, style,
};
use crate::state::BoatInHand;
use crate::ui::memo::memo;
use crate::ui::text;
use leptos::prelude::*;
use std::sync::Arc;
use trimwright::ballast::Target;
use trimwright::boat::Mark;
use trimwright::unit::MILLIMETRE;

/// The boat as it floats.
#[component]
#[expect(clippy::needless_pass_by_value, reason = "components own their props")]
pub(crate) fn Drawing(
    /// The boat.
    hand: Arc<BoatInHand>,
    /// What is shown.
    #[prop(into)]
    scene: Signal<Scene>,
    /// What a screen reader says of it.
    #[prop(into)]
    words: Signal<String>,
    /// Called with the name of a mark that was tapped.
    #[prop(optional, into)]
    tap_mark: Option<Callback<String>>,
) -> impl IntoView {
    let layout = Layout::of(&hand);
    let for_placing = Arc::clone(&hand);
    let placing = memo(move || Placing::of(&scene.get(), layout, &for_placing));
    let far_over = memo(move || (scene.get().pose.heel() / 0.1).round() * 0.1);
    let for_side = Arc::clone(&hand);
    let side = memo(move || side_paths(&for_side, layout.scale, far_over.get()));
    let end = end_paths(&hand, layout.scale);
    let ends = end.into_iter().map(|d| view! { <path class="hull" d=d /> }).collect_view();
    let marks = hand.boat.marks.iter().map(|m| mark_view(m, layout, tap_mark)).collect_view();
    let (target_side, target_end) = target_lines(&hand, layout);
    let load_hand = Arc::clone(&hand);
    view! {
        <figure class="drawing">
            <svg viewBox=format!("0 0 {WIDTH} {HEIGHT}") role="img" aria-label=words>
                <defs>
                    <pattern id="hatch" width="9" height="9" patternUnits="userSpaceOnUse">
                        <path d="M0 4.5H9" class="hatching" />
                    </pattern>
                </defs>
                <rect
                    class="water"
                    x="0"
                    y=SURFACE
                    width=WIDTH
                    height=HEIGHT - SURFACE
                />
                <g class="boat" style=move || style(placing.get().side)>
                    {move || {
                        side.get().into_iter().map(|d| view! { <path class="hull" d=d /> }).collect_view()
                    }}
                </g>
                <g class="boat" style=move || style(placing.get().end)>
                    {ends}
                </g>
                <rect
                    class="water over"
                    x="0"
                    y=SURFACE
                    width=WIDTH
                    height=HEIGHT - SURFACE
                />
                <line class="surface" x1="0" y1=SURFACE x2=WIDTH y2=SURFACE />
                <g class="boat" style=move || style(placing.get().side)>
                    {target_side}
                    {marks}
                    {gravity_view(memo(move || {
                        let [x, _, z] = scene.get().gravity;
                        [x * layout.scale, -z * layout.scale]
                    }))}
                </g>
                <g class="boat" style=move || style(placing.get().end)>
                    {target_end}
                    {gravity_view(memo(move || {
                        let [_, y, z] = scene.get().gravity;
                        [-y * layout.scale, -z * layout.scale]
                    }))}
                </g>
                {move || {
                    scene.get().load.map(|load| load_view(load, &scene.get(), layout, &load_hand))
                }}
                <text class="small water-word" x=layout.gap y=SURFACE - 5.0>
                    "water"
                </text>
                <text class="small middle" x=layout.end.min(WIDTH - 42.0) y=HEIGHT - 6.0>
                    "seen forward"
                </text>
                {move || {
                    placing
                        .get()
                        .larger
                        .then(|| {
                            view! {
                                <text class="small end" x=WIDTH - 6.0 y="14">
                                    "angles × 3"
                                </text>
                            }
                        })
                }}
            </svg>
        </figure>
    }
}

/// A mark: a tick on the hull, its name, and a place to tap.
fn mark_view(mark: &Mark, layout: Layout, tap: Option<Callback<String>>) -> impl IntoView + use<> {
    let (x, y) = (mark.at.x() * layout.scale, -mark.at.z() * layout.scale);
    let name = mark.name.clone();
    let testid = format!("draw-mark-{name}");
    let press = move |_| {
        if let Some(tap) = tap {
            tap.run(name.clone());
        }
    };
    view! {
        <g class="mark" data-testid=testid on:click=press>
            <rect class="target" x=x - 24.0 y=y - 28.0 width="48" height="56" />
            <line x1=x y1=y - 8.0 x2=x y2=y + 8.0 />
        </g>
    }
}

/// The target waterline in both views, dashed.
fn target_lines(
    hand: &BoatInHand,
    layout: Layout,
) -> (impl IntoView + use<>, impl IntoView + use<>) {
    let s = layout.scale;
    let bounds = hand.model.bounds();
    let pose = Target::at_the_marks(&hand.boat.marks).and_then(|t| t.pose());
    let line = move |x1: f64, z1: f64, x2: f64, z2: f64| {
        view! { <line class="aim" x1=x1 * s y1=-z1 * s x2=x2 * s y2=-z2 * s /> }
    };
    let over = 0.02 * bounds.size().x;
    let side = pose.map(|pose| {
        let (aft, fore) = (bounds.low.x - over, bounds.high.x + over);
        line(aft, pose.water_height_at(aft, 0.0), fore, pose.water_height_at(fore, 0.0))
    });
    let end = pose.map(|pose| {
        let half = bounds.size().y / 2.0 + over;
        let z = pose.water_height_at(0.0, 0.0);
        line(-half, z, half, z)
    });
    (side, end)
}

/// The engineers' sign of a centre of gravity: a quartered circle.
fn gravity_view(at: Memo<[f64; 2]>) -> impl IntoView {
    let place = move || {
        let [x, y] = at.get();
        format!("transform: translate({x:.2}px, {y:.2}px)")
    };
    view! {
        <g class="gravity" style=place>
            <circle r="5" class="ground" />
            <path d="M0 0V-5A5 5 0 0 1 5 0ZM0 0V5A5 5 0 0 1 -5 0Z" class="quarters" />
            <circle r="5" />
            <text class="small" x="8" y="4">
                "G"
            </text>
        </g>
    }
}

/// The weight to put on, take off or shift, with its distances.
fn load_view(
    load: Load,
    scene: &Scene,
    layout: Layout,
    hand: &BoatInHand,
) -> impl IntoView + use<> {
    let s = layout.scale;
    let [along, across] = scene.told;
    let bounds = hand.model.bounds();
    let keel = SURFACE + if scene.under { 46.0 } else { 0.0 };
    match load {
        Load::Add([x, y, z]) | Load::TakeOff([x, y, z]) => {
            let sign = if matches!(load, Load::Add(_)) { "+" } else { "\u{2212}" };
            let water = if scene.under {
                f64::midpoint(bounds.low.z, bounds.high.z)
            } else {
                scene.pose.water_height_at(x, 0.0).clamp(bounds.low.z, bounds.high.z)
            };
            // Outside the hull, beyond the side that the place is on.
            let beyond = if z > water { -13.0 } else { 13.0 };
            let at_y = keel + (water - z) * s + beyond;
            let (side_x, end_x) = (layout.side + x * s, layout.end - y * s);
            let ruler = (keel + (water - bounds.low.z) * s + 38.0).min(HEIGHT - 34.0);
            let datum_x = layout.side + hand.datum.x * s;
            view! {
                <g class="load">
                    {block(side_x, at_y, sign)}
                    {block(end_x, at_y, sign)}
                    {along.then(|| ruler_view(datum_x, side_x, ruler, x - hand.datum.x))}
                    {across.then(|| ruler_view(layout.end, end_x, ruler, y))}
                </g>
            }
            .into_any()
        }
        Load::Shift([forward, to_port]) => {
            let y = (keel + 62.0).min(HEIGHT - 40.0);
            let middle = layout.side + scene.gravity[0] * s;
            view! {
                <g class="load">
                    {(along && moves(forward)).then(|| arrow(middle, forward * s, y, forward))}
                    {(across && moves(to_port)).then(|| arrow(layout.end, -to_port * s, y, to_port))}
                </g>
            }
            .into_any()
        }
    }
}

/// An orange block with its sign.
fn block(x: f64, y: f64, sign: &'static str) -> impl IntoView {
    view! {
        <g class="block" style=format!("transform: translate({x:.1}px, {y:.1}px)")>
            <rect x="-12" y="-9" width="24" height="18" rx="3" />
            <text y="6">{sign}</text>
        </g>
    }
}

/// A dimension line from the datum, with its figure under it.
fn ruler_view(from: f64, to: f64, y: f64, metres: f64) -> impl IntoView {
    let words = text::millimetres(metres.abs());
    let path =
        format!("M{from:.1} {y:.1}H{to:.1}M{from:.1} {:.1}v8M{to:.1} {:.1}v8", y - 4.0, y - 4.0);
    view! {
        <path class="ruler" d=path />
        <text class="figure" x=f64::midpoint(from, to).clamp(30.0, WIDTH - 30.0) y=y + 17.0>
            {words}
        </text>
    }
}

/// True for a distance that is not written as nothing.
fn moves(metres: f64) -> bool {
    metres.abs() > 0.5 * MILLIMETRE
}

/// An arrow from the old to the new place, with its figure under it.
fn arrow(from: f64, by: f64, y: f64, metres: f64) -> impl IntoView {
    let to = from + by;
    let words = text::millimetres(metres.abs());
    let way = if to >= from { -7.0 } else { 7.0 };
    let path = format!(
        "M{from:.1} {y:.1}H{to:.1}M{:.1} {:.1}L{to:.1} {y:.1}L{:.1} {:.1}",
        to + way,
        y - 5.0,
        to + way,
        y + 5.0
    );
    view! {
        <path class="arrow" d=path />
        <text class="figure" x=from.clamp(30.0, WIDTH - 30.0) y=y + 20.0>
            {words}
        </text>
    }
}
