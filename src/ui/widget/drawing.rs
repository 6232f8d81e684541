//! The boat drawn to scale as it floats, in three views. The water is level; the boat is turned,
//! never the water.

use super::choice::{Choice, Chosen};
use super::fingers::{Act, Fingers, Grip};
use super::frame::{HEIGHT, SURFACE, View, Views, WIDTH};
use super::page::{Glass, Page, patterns};
use super::scene::{Drag, Drawn, Look, Picked, Scene, drawn_of};
use super::shape::{Shape, meant, near};
use super::signs::path;
use super::zoom::Zoom;
use crate::state::BoatInHand;
use crate::ui::memo::memo;
use leptos::ev::KeyboardEvent;
use leptos::prelude::*;
use std::sync::Arc;
use wasm_bindgen::JsCast;
use web_sys::{Element, MouseEvent, PointerEvent, TouchEvent, WheelEvent};

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
    let glass = RwSignal::new(Glass { zoom: Zoom::WHOLE, held: None });
    let zoom = move || glass.get().zoom;
    let page = Page { hand, scene, parts, picked, views, glass };
    let frame = page.frame();
    let fingers = StoredValue::new(Fingers::default());
    let all = ALL.map(|view| page.shapes(view, frame));
    let act = move |act: Act| match act {
        Act::Nothing => {}
        Act::Look { from, to, factor } => {
            if zoomable {
                glass.update(|g| g.zoom = g.zoom.moved(from, to, factor));
            }
        }
        Act::Move(by) => {
            if !by.done && glass.get_untracked().held.is_none() {
                let held = fingers.with_value(|f| f.moving().map(|grip| grip.frame));
                glass.update(|g| g.held = held);
            }
            if let Some(drag) = drag {
                drag.run(by);
            }
            if by.done {
                glass.update(|g| g.held = None);
            }
        }
    };
    let point = move |ev: PointerEvent| {
        let Some((at, svg)) = place(&ev) else { return };
        let kind = ev.type_();
        let asked = fingers.try_update_value(|f| match kind.as_str() {
            "pointerdown" => {
                let held = f.seized.take().zip(picked.get_untracked());
                let grip = held.map(|(view, what)| Grip {
                    what,
                    view,
                    frame: frame.get_untracked(),
                    times: glass.get_untracked().zoom.times,
                });
                f.press(ev.pointer_id(), at, ev.is_primary(), grip)
            }
            "pointermove" => f.shift(ev.pointer_id(), at),
            kind => f.lift(ev.pointer_id(), kind == "pointercancel"),
        });
        let asked = asked.unwrap_or(Act::Nothing);
        if asked != Act::Nothing && kind == "pointermove" {
            // So that a mouse may leave the picture. A finger that is gone cannot be held.
            let _held = svg.set_pointer_capture(ev.pointer_id());
        }
        act(asked);
    };
    // A finger that moves something, and two that look closer, do not move the page too.
    let touch = move |ev: TouchEvent| {
        if fingers.with_value(Fingers::are_busy) {
            ev.prevent_default();
        }
    };
    let tap = move |ev: MouseEvent| {
        let Some((at, _)) = place(&ev) else { return };
        let Some(again) = fingers.try_update_value(|f| f.tapped(at)).flatten() else { return };
        let (zoom, frame) = (glass.get_untracked().zoom, frame.get_untracked());
        let at = zoom.page(at);
        let mut there = Vec::new();
        for (view, shapes) in ALL.into_iter().zip(all) {
            let seen = frame.seen_at(view, at);
            there.extend(shapes.with_untracked(|s| near(s, seen, frame.scale * zoom.times)));
        }
        if let Some(pick) = pick {
            if let Some(what) = meant(there, picked.get_untracked(), again) {
                pick.run(what);
            }
        } else if let Some(tap_mark) = tap_mark {
            there.retain(|(_, what)| matches!(what, Picked::Mark(_)));
            let Some(Picked::Mark(k)) = meant(there, None, false) else { return };
            if let Some(name) = hand.with_untracked(|h| h.boat.marks.get(k).map(|m| m.name.clone()))
            {
                tap_mark.run(name);
            }
        }
    };
    let closer = move |at: [f64; 2], factor: f64| {
        let before = glass.get_untracked().zoom;
        act(Act::Look { from: at, to: at, factor });
        before != glass.get_untracked().zoom
    };
    let wheel = move |ev: WheelEvent| {
        let factor = (-0.003 * ev.delta_y().clamp(-100.0, 100.0)).exp();
        // Where there is nothing more to see the page moves.
        if place(&ev).is_some_and(|(at, _)| closer(at, factor)) {
            ev.prevent_default();
        }
    };
    let group = |view: View, markup: Markup| {
        view! {
            <g class="boat" style=move || frame.get().style(view) inner_html=markup />
        }
    };
    let [below, above] = [false, true].map(|is_above| {
        let groups = ALL.into_iter().zip(all).map(|(view, shapes)| {
            group(
                view,
                Box::new(move || {
                    let (frame, shapes) = (frame.get(), shapes.get());
                    if is_above {
                        page.lines(view, &frame, &shapes)
                    } else {
                        page.solids(view, frame, &shapes)
                    }
                }),
            )
        });
        groups.collect_view()
    });
    let grips = drag.map(|drag| {
        let grip = |(view, shapes): (View, Memo<Vec<Shape>>)| {
            let key = move |ev: KeyboardEvent| {
                if let Some(by) = page.key(view, &frame.get_untracked(), &ev) {
                    drag.run(by);
                }
            };
            view! {
                <path
                    class="grip"
                    data-testid=format!("grip-{}", view.words().replace(' ', "-"))
                    role="application"
                    aria-label=move || page.grip_words(view)
                    tabindex=move || page.picked_of(&shapes.get()).map(|_| "0")
                    style=move || frame.get().style(view)
                    d=move || page.picked_of(&shapes.get()).map(|s| s.outline.path.to_string())
                    on:pointerdown=move |_| fingers.update_value(|f| f.seized = Some(view))
                    on:keydown=key
                />
            }
        };
        ALL.into_iter().zip(all).map(grip).collect_view()
    });
    let water = format!("M0 {SURFACE}H{WIDTH}V{HEIGHT}H0Z");
    view! {
        <figure
            class="drawing"
            class:bench=zoomable
            class:plan=move || views.get() == Views::Plan
            class:zoomed=move || zoom() != Zoom::WHOLE
            class:held=move || glass.get().held.is_some()
        >
            <svg
                viewBox=format!("0 0 {WIDTH} {HEIGHT}")
                role=if drag.is_some() { "group" } else { "img" }
                aria-label=words
                on:pointerdown=point
                on:pointermove=point
                on:pointerup=point
                on:pointercancel=point
                on:touchmove=touch
                on:wheel=wheel
                on:click=tap
            >
                <defs inner_html=move || patterns(frame.get().scale, zoom()) />
                <g class="page" style=move || zoom().style()>
                    <g inner_html=path("water", 0.0, &water) />
                    {below}
                    <g inner_html=path("water over", 0.0, &water)
                        + &path("surface", 0.0, &format!("M0 {SURFACE}H{WIDTH}")) />
                    {above}
                    <g inner_html=move || page.words(&frame.get()) />
                    {grips}
                </g>
            </svg>
            {zoomable.then(|| bar(views, glass, closer))}
        </figure>
    }
}

/// What makes the inside of a group.
type Markup = Box<dyn Fn() -> String + Send + Sync>;

/// The views, in the order in which they are drawn.
const ALL: [View; 3] = [View::Side, View::End, View::Plan];

/// The switch between the views, and the buttons for a closer look.
fn bar(
    views: RwSignal<Views>,
    glass: RwSignal<Glass>,
    closer: impl Fn([f64; 2], f64) -> bool + Copy + Send + Sync + 'static,
) -> impl IntoView {
    let options = [("Side", "view-side"), ("Plan", "view-plan")]
        .map(|(name, testid)| Chosen { name: name.to_owned(), testid: testid.to_owned() });
    let whole = move || glass.update(|g| g.zoom = Zoom::WHOLE);
    let choose = move |k: usize| {
        views.set(if k == 0 { Views::Side } else { Views::Plan });
        whole();
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
            hidden=move || glass.get().zoom == Zoom::WHOLE
            on:click=move |_| whole()
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
fn place(ev: &MouseEvent) -> Option<([f64; 2], Element)> {
    let svg: Element = ev.current_target()?.dyn_into().ok()?;
    let shown = svg.get_bounding_client_rect();
    let scale = WIDTH / shown.width().max(1.0);
    let at = [f64::from(ev.client_x()) - shown.left(), f64::from(ev.client_y()) - shown.top()];
    Some((at.map(|px| px * scale), svg))
}
