//! The boat drawn to scale as it floats, in three views. The water is level; the boat is turned,
//! never the water.

use super::choice::{Choice, Chosen};
use super::fingers::{Act, Fingers, Grip};
use super::frame::{HEIGHT, SURFACE, View, Views, WIDTH};
use super::page::{Glass, Page, patterns};
use super::scene::{Drag, Drawn, Picked, Scene, solids_of};
use super::shape::{Outlines, meant, near};
use super::signs::path;
use super::zoom::Zoom;
use crate::state::BoatInHand;
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
    // Not a memo: what is drawn compares meshes by where they are, which is as cheap here.
    let parts = parts.unwrap_or_else(|| Signal::derive(move || hand.with(|h| solids_of(h))));
    let glass = RwSignal::new(Glass { zoom: Zoom::WHOLE, held: None });
    let zoom = move || glass.get().zoom;
    let outlines = StoredValue::new(<[Outlines; 3]>::default());
    let page = Page { hand, scene, parts, picked, views, glass, outlines };
    let fingers = StoredValue::new(Fingers::default());
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
                    frame: untrack(|| page.frame()),
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
        let (zoom, frame) = (glass.get_untracked().zoom, untrack(|| page.frame()));
        let at = zoom.page(at);
        let mut there = Vec::new();
        for view in ALL {
            let shapes = untrack(|| page.shapes(view, &frame));
            there.extend(near(&shapes, frame.seen_at(view, at), frame.scale * zoom.times));
        }
        if let Some(pick) = pick {
            if let Some(what) = meant(&there, picked.get_untracked(), again) {
                pick.run(what);
            }
        } else if let Some(tap_mark) = tap_mark {
            there.retain(|(_, what)| matches!(what, Picked::Mark(_)));
            let Some(Picked::Mark(k)) = meant(&there, None, false) else { return };
            if let Some(name) = hand.with_untracked(|h| h.boat.marks.get(k).map(|m| m.name.clone()))
            {
                tap_mark.run(name);
            }
        }
    };
    let closer = move |from: [f64; 2], to: [f64; 2], factor: f64| {
        let before = glass.get_untracked().zoom;
        act(Act::Look { from, to, factor });
        before != glass.get_untracked().zoom
    };
    let wheel = move |ev: WheelEvent| {
        let factor = (-0.003 * ev.delta_y().clamp(-100.0, 100.0)).exp();
        // Where there is nothing more to see the page moves.
        if place(&ev).is_some_and(|(at, _)| closer(at, at, factor)) {
            ev.prevent_default();
        }
    };
    let group = |view: View, markup: Markup| {
        view! { <g class="boat" style=move || page.frame().style(view) inner_html=markup /> }
    };
    let below = ALL.map(|view| group(view, Box::new(move || page.solids(view)))).collect_view();
    let above = ALL.map(|view| group(view, Box::new(move || page.lines(view)))).collect_view();
    let grips = drag.map(|drag| {
        let grip = |view: View| {
            let outline = move || page.picked_of(view, &page.frame());
            let key = move |ev: KeyboardEvent| {
                if let Some(by) = page.key(view, &ev) {
                    drag.run(by);
                }
            };
            view! {
                <path
                    class="grip"
                    data-testid=format!("grip-{}", view.words().replace(' ', "-"))
                    role="application"
                    aria-label=move || page.grip_words(view)
                    tabindex=move || outline().map(|_| "0".to_owned())
                    style=move || page.frame().style(view)
                    d=move || outline().map(|s| s.outline.path.to_string())
                    on:pointerdown=move |_| fingers.update_value(|f| f.seized = Some(view))
                    on:keydown=key
                />
            }
        };
        ALL.map(grip).collect_view()
    });
    let class = move || {
        let views = if views.get() == Views::Plan { " plan" } else { "" };
        let Glass { zoom, held } = glass.get();
        let zoomed = if zoom == Zoom::WHOLE { "" } else { " zoomed" };
        let held = if held.is_some() { " held" } else { "" };
        let bench = if zoomable { " bench" } else { "" };
        format!("drawing{bench}{views}{zoomed}{held}")
    };
    let water = format!("M0 {SURFACE}H{WIDTH}V{HEIGHT}H0Z");
    view! {
        <figure class=class>
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
                <defs inner_html=move || patterns(page.frame().scale, zoom()) />
                <g class="page" style=move || zoom().style()>
                    <g inner_html=path("water", 0.0, &water) />
                    {below}
                    <g inner_html=path("water over", 0.0, &water)
                        + &path("surface", 0.0, &format!("M0 {SURFACE}H{WIDTH}")) />
                    {above}
                    <g inner_html=move || page.words() />
                    {grips}
                </g>
            </svg>
            {zoomable.then(|| bar(page, closer))}
        </figure>
    }
}

/// What makes the inside of a group.
type Markup = Box<dyn Fn() -> String + Send + Sync>;

/// The views, in the order in which they are drawn.
const ALL: [View; 3] = [View::Side, View::End, View::Plan];

/// The switch between the views, and the buttons for a closer look.
fn bar(
    page: Page,
    closer: impl Fn([f64; 2], [f64; 2], f64) -> bool + Copy + Send + Sync + 'static,
) -> impl IntoView {
    let Page { views, glass, .. } = page;
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
                    // What is picked comes to the middle.
                    let picked = untrack(|| page.place_of_picked());
                    let zoom = glass.get_untracked().zoom;
                    let from = picked.map_or(Zoom::MIDDLE, |place| zoom.seen(place));
                    closer(from, Zoom::MIDDLE, factor);
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
