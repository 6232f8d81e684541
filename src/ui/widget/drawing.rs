//! The boat drawn to scale as it floats, in three views. The water is level; the boat is turned,
//! never the water.

use super::choice::{Choice, Chosen};
use super::fingers::{Act, Fingers, Grip};
use super::frame::{Frame, HEIGHT, SURFACE, View, Views, WIDTH};
use super::page::{Page, frame_of, patterns, water};
use super::scene::{Drag, Drawn, Look, Picked, Scene, drawn_of};
use super::shape::{meant, near};
use super::signs::{load_view, path};
use super::zoom::Zoom;
use crate::state::BoatInHand;
use crate::ui::memo::memo;
use leptos::prelude::*;
use std::sync::Arc;
use wasm_bindgen::JsCast;
use web_sys::{Element, MouseEvent, PointerEvent};

/// The boat as it floats.
#[component]
pub(crate) fn Drawing(
    /// The boat.
    #[prop(into)]
    hand: Signal<Arc<BoatInHand>>,
    /// What is shown.
    #[prop(into)]
    scene: Signal<Scene>,
    /// What a screen reader says of it.
    #[prop(into)]
    words: Signal<String>,
    /// The parts and tanks to draw; without them what displaces water, plain.
    #[prop(optional, into)]
    parts: Option<Signal<Vec<Drawn>>>,
    /// With a switch between side view and plan, and a closer look by two fingers or buttons.
    #[prop(optional)]
    zoomable: bool,
    /// Which views are on the page, for a caller that wants to know or say.
    #[prop(optional)]
    views: Option<RwSignal<Views>>,
    /// Called with the name of a mark that was tapped.
    #[prop(optional, into)]
    tap_mark: Option<Callback<String>>,
    /// Called with what was tapped.
    #[prop(optional, into)]
    pick: Option<Callback<Picked>>,
    /// What is picked, drawn with a heavy outline.
    #[prop(optional, into)]
    picked: Signal<Option<Picked>>,
    /// Called while what is picked is moved; the caller moves it.
    #[prop(optional, into)]
    drag: Option<Callback<Drag>>,
) -> impl IntoView {
    let views = views.unwrap_or_else(|| RwSignal::new(Views::Side));
    let parts = parts.unwrap_or_else(|| {
        let plain = |d: &Drawn| !d.faint && d.look == Look::Other;
        memo(move || hand.with(|h| drawn_of(h).into_iter().filter(plain).collect())).into()
    });
    let held = RwSignal::new(None::<Frame>);
    let zoom = RwSignal::new(Zoom::WHOLE);
    let page =
        Page { hand, scene, parts, picked, frame: frame_of(hand, parts, scene, views, held) };
    let fingers = StoredValue::new(Fingers::default());
    let seized = StoredValue::new(None::<View>);
    let all = [View::Side, View::End, View::Plan].map(|view| page.shapes(view, pick.is_some()));
    let act = move |act: Act| match act {
        Act::Nothing => {}
        Act::Look { from, to, factor } => {
            if zoomable {
                zoom.update(|z| *z = z.moved(from, to, factor));
            }
        }
        Act::Move(by) => {
            // The boat lies still while something is moved; it settles afterwards.
            if !by.done && held.with_untracked(Option::is_none) {
                held.set(fingers.with_value(|f| f.moving().map(|grip| grip.frame)));
            }
            if let Some(drag) = drag {
                drag.run(by);
            }
            if by.done {
                held.set(None);
            }
        }
    };
    let press = move |ev: PointerEvent| {
        let Some((at, _)) = glass(&ev) else { return };
        let view = seized.try_update_value(Option::take).flatten();
        let grip = view.zip(picked.get_untracked()).map(|(view, what)| Grip {
            what,
            view,
            frame: page.frame.get_untracked(),
            times: zoom.get_untracked().times,
        });
        let ended =
            fingers.try_update_value(|f| f.press(ev.pointer_id(), at, ev.is_primary(), grip));
        act(ended.unwrap_or(Act::Nothing));
    };
    let shift = move |ev: PointerEvent| {
        let Some((at, svg)) = glass(&ev) else { return };
        let asked = fingers.try_update_value(|f| f.shift(ev.pointer_id(), at));
        let asked = asked.unwrap_or(Act::Nothing);
        if asked != Act::Nothing {
            // So that a mouse may leave the picture. A finger that is gone cannot be held.
            let _held = svg.set_pointer_capture(ev.pointer_id());
        }
        act(asked);
    };
    let lift = move |ev: PointerEvent| {
        let taken_away = ev.type_() == "pointercancel";
        let ended = fingers.try_update_value(|f| f.lift(ev.pointer_id(), taken_away));
        act(ended.unwrap_or(Act::Nothing));
    };
    // Two fingers belong to the picture, not to the page.
    let two = move || fingers.with_value(|f| f.count() > 1);
    let tap = move |ev: MouseEvent| {
        let (Some(pick), Some((at, _))) = (pick, glass(&ev)) else { return };
        let Some(again) = fingers.try_update_value(|f| f.tapped(at)).flatten() else { return };
        let zoom = zoom.get_untracked();
        let frame = page.frame.get_untracked();
        let at = zoom.page(at);
        let there = views.get_untracked().shown().iter().flat_map(|&view| {
            let place = frame.seen_at(view, at);
            all[view as usize].with_untracked(|s| near(s, place, frame.scale * zoom.times))
        });
        if let Some(what) = meant(there.collect(), picked.get_untracked(), again) {
            pick.run(what);
        }
    };
    let closer = move |at: [f64; 2], factor: f64| {
        let before = zoom.get_untracked();
        act(Act::Look { from: at, to: at, factor });
        before != zoom.get_untracked()
    };
    let wheel = move |ev: leptos::ev::WheelEvent| {
        let factor = (-0.003 * ev.delta_y().clamp(-100.0, 100.0)).exp();
        // Where there is nothing more to see the page moves.
        if glass(&ev).is_some_and(|(at, _)| closer(at, factor)) {
            ev.prevent_default();
        }
    };
    let is_zoomed = memo(move || zoom.get().times > 1.0);
    let below = move || {
        let group = |&view: &View| page.solids(view, all[view as usize]);
        views.get().shown().iter().map(group).collect_view()
    };
    let above = move || {
        let group = |&view: &View| {
            let shapes = all[view as usize];
            view! {
                <g class="boat" style=move || page.frame.get().style(view)>
                    {page.lines(view, tap_mark)}
                    {page.outlined(shapes)}
                    {drag.map(|drag| page.grip(view, shapes, seized, drag))}
                </g>
                {page.centres(view, zoom)}
            }
        };
        views.get().shown().iter().map(group).collect_view()
    };
    view! {
        <figure
            class="drawing"
            class:bench=zoomable
            class:plan=move || views.get() == Views::Plan
            class:zoomed=is_zoomed
            class:held=move || held.with(Option::is_some)
        >
            <svg
                viewBox=format!("0 0 {WIDTH} {HEIGHT}")
                role=if drag.is_some() { "group" } else { "img" }
                aria-label=words
                on:pointerdown=press
                on:pointermove=shift
                on:pointerup=lift
                on:pointercancel=lift
                on:touchstart=move |ev| if two() { ev.prevent_default() }
                on:touchmove=move |ev| if two() { ev.prevent_default() }
                on:wheel=wheel
                on:click=tap
            >
                {patterns(page.frame, zoom)}
                <g class="page" style=move || zoom.get().style()>
                    {water("water")}
                    {below}
                    {water("water over")}
                    {path("surface".to_owned(), 0.0, format!("M0 {SURFACE}H{WIDTH}").into())}
                    {above}
                    {move || {
                        let scene = scene.get();
                        let datum = hand.with(|h| h.datum.x);
                        scene.load.map(|load| load_view(load, &scene, &page.frame.get(), datum))
                    }}
                </g>
                <text class="small word water-word" x=move || page.frame.get().gap y=SURFACE - 5.0>
                    "water"
                </text>
                <text
                    class="small word"
                    x=move || page.frame.get().end.min(WIDTH - 42.0)
                    y=HEIGHT - 6.0
                >
                    "seen forward"
                </text>
                <text class="small word above" x=WIDTH / 2.0 y=HEIGHT - 6.0>
                    "seen from above, port side up"
                </text>
                <text class="small end" x=WIDTH - 6.0 y="14">
                    {move || if page.frame.get().larger { "angles × 3" } else { "" }}
                </text>
            </svg>
            {zoomable.then(|| bar(views, zoom, is_zoomed, closer))}
        </figure>
    }
}

/// The switch between the views, and the buttons for a closer look.
fn bar(
    views: RwSignal<Views>,
    zoom: RwSignal<Zoom>,
    is_zoomed: Memo<bool>,
    closer: impl Fn([f64; 2], f64) -> bool + Copy + Send + Sync + 'static,
) -> impl IntoView {
    let options = [("Side", "view-side"), ("Plan", "view-plan")]
        .map(|(name, testid)| Chosen { name: name.to_owned(), testid: testid.to_owned() });
    let choose = move |k: usize| {
        views.set(if k == 0 { Views::Side } else { Views::Plan });
        zoom.set(Zoom::WHOLE);
    };
    let button = move |words: &'static str, sign: &'static str, factor: f64| {
        view! {
            <button
                type="button"
                class="zoom"
                aria-label=words
                data-testid=words.to_lowercase()
                on:click=move |_| {
                    closer(Zoom::MIDDLE, factor);
                }
            >
                {sign}
            </button>
        }
    };
    view! {
        <button
            type="button"
            class="zoom whole"
            data-testid="whole-boat"
            hidden=move || !is_zoomed.get()
            on:click=move |_| zoom.set(Zoom::WHOLE)
        >
            "Whole boat"
        </button>
        <div class="bar">
            <Choice
                label="View"
                options=options.to_vec()
                now=Signal::derive(move || Some(views.get() as usize))
                choose
            />
            {button("Farther", "\u{2212}", 1.0 / 1.6)}
            {button("Closer", "+", 1.6)}
        </div>
    }
}

/// Where on the glass something happened, and the picture it happened to.
fn glass(ev: &MouseEvent) -> Option<([f64; 2], Element)> {
    let svg: Element = ev.current_target()?.dyn_into().ok()?;
    let shown = svg.get_bounding_client_rect();
    let scale = WIDTH / shown.width().max(1.0);
    let at = [f64::from(ev.client_x()) - shown.left(), f64::from(ev.client_y()) - shown.top()];
    Some((at.map(|px| px * scale), svg))
}
