//! The boat drawn to scale as it floats, in three views. The water is level; the boat is turned,
//! never the water.

use super::choice::{Choice, Chosen};
use super::fingers::Fingers;
use super::frame::{HEIGHT, SURFACE, View, Views, WIDTH};
use super::page::{DrawingPage, Glass, patterns};
use super::scene::{Drag, Drawn, Picked, Scene, solids_of};
use super::signs::{path, sign_markup, sign_places};
use super::touch::Touch;
use super::word::PlacedWord;
use super::zoom::Zoom;
use crate::signal::{Callback, Memo, RwSignal, StoredValue, memo};
use crate::state::BoatInHand;
use crate::ui::node::{CollectNode, Node, view};
use crate::words::{self, t, word};
use leptos::ev::KeyboardEvent;
use leptos::prelude::*;
use std::sync::Arc;
use web_sys::PointerEvent;

/// The boat as it floats.
#[component]
pub(crate) fn Drawing(
    /// The boat.
    #[prop(into)]
    hand: Memo<Arc<BoatInHand>>,
    /// What is shown.
    #[prop(into)]
    scene: Memo<Scene>,
    /// What a screen reader says of it.
    #[prop(into)]
    words: Memo<String>,
    /// The parts and tanks to draw; without them what displaces water, plain.
    #[prop(optional, into)]
    parts: Option<Memo<Vec<Drawn>>>,
    /// The share of each tank that is full, in the boat's order; without it as `parts` say.
    #[prop(optional, into)]
    fills: Option<Memo<Vec<f64>>>,
    /// True while the boat is moved by a hand or a clock: it follows at once instead of settling.
    #[prop(optional, into)]
    moving: Memo<bool>,
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
    picked: Memo<Option<Picked>>,
    /// Called while what is picked is moved; the caller moves it.
    #[prop(optional, into)]
    drag: Option<Callback<Drag>>,
) -> Node {
    let views = views.unwrap_or_else(|| RwSignal::new(Views::Side));
    let parts = parts.unwrap_or_else(|| Memo::from(move || hand.with(|h| solids_of(h))));
    let page = DrawingPage::new(hand, scene, parts, picked, views, fills);
    let glass = page.glass;
    let zoom = move || glass.get().zoom;
    let fingers = StoredValue::new(Fingers::default());
    let touch = Touch { page, fingers, zoomable, tap_mark, pick, drag };
    let point = move |ev: PointerEvent| touch.point(&ev);
    let below = View::ALL.map(|view| solids(view, page)).collect_node();
    let above = View::ALL.map(|view| lines(view, page)).collect_node();
    let scale = memo(move || page.frame().scale);
    let grips = drag.map(|drag| View::ALL.map(|view| grip(view, touch, drag)).collect_node());
    // On the bench whatever is tapped gets one; elsewhere there is one only while something can be moved.
    let has_grips = move || drag.is_some() && (pick.is_some() || picked.get().is_some());
    let class = move || {
        let views = if views.get() == Views::Plan { " plan" } else { "" };
        let Glass { zoom, held } = glass.get();
        let zoomed = if zoom == Zoom::WHOLE { "" } else { " zoomed" };
        let held = if held.is_some() || moving.get() { " held" } else { "" };
        let bench = if zoomable { " bench" } else { "" };
        format!("drawing{bench}{views}{zoomed}{held}")
    };
    let below_surface = || format!("M0 {SURFACE}H{WIDTH}V{HEIGHT}H0Z");
    let water = move |more: &str| path(&format!("water{more}"), 0.0, &below_surface());
    let surface = move || {
        let line = path("surface", 0.0, &format!("M0 {SURFACE}H{WIDTH}"));
        [water(" over"), line].into_iter().collect()
    };
    let note = move || page.note().iter().map(PlacedWord::markup).collect();
    view! {
        <figure class=class>
            <svg
                viewBox=format!("0 0 {WIDTH} {HEIGHT}")
                role=move || if has_grips() { "group" } else { "img" }
                aria-label=words
                on:pointerdown=point
                on:pointermove=point
                on:pointerup=point
                on:pointercancel=point
                on:touchmove=move |ev| {
                    // A finger that moves something, and two that look closer, do not move the
                    // page too.
                    if touch.is_busy() {
                        ev.prevent_default();
                    }
                }
                on:wheel=move |ev| touch.wheel(&ev)
                on:click=move |ev| touch.tap(&ev)
            >
                <defs inner_html={move || patterns(scale.get(), zoom())} />
                <g class="page" prop:style=move || zoom().style()>
                    <g inner_html={move || water("")} />
                    {below}
                    <g inner_html=surface />
                    {above}
                    <g inner_html={move || page.words()} />
                    {grips}
                </g>
                <g inner_html=note />
            </svg>
            {zoomable.then(|| bar(touch))}
        </figure>
    }
}

/// Parts and tanks of a view.
fn solids(view: View, page: DrawingPage) -> Node {
    view! {
        <g
            class="boat"
            prop:style=move || page.style(view)
            inner_html={move || page.solids(view)}
        />
    }
}

/// What is drawn over a view: the water in the tanks, lines, marks, and the boat's centres.
fn lines(view: View, page: DrawingPage) -> Node {
    let water = memo(move || page.water(view));
    let part = move |k: usize| water.with(|w| w.get(k).cloned());
    let signs = memo(move || page.signs(view));
    let places = move || page.frame().upright(view) + &signs.with(|s| sign_places(s));
    view! {
        <g class="boat" prop:style=move || page.style(view)>
            <path class="in-tank" d=move || part(0) />
            <path class="tank-surface" d=move || part(1) />
            <path class="bulkhead" d=move || page.sight(view).bulkheads.clone() />
            <g inner_html={move || page.lines(view)} />
            <g
                inner_html={move || signs.with(|s| s.iter().map(sign_markup).collect())}
                prop:style=places
            />
        </g>
    }
}

/// Where what is picked can be taken hold of in a view, by a finger or by arrow keys.
fn grip(view: View, touch: Touch, drag: Callback<Drag>) -> Node {
    let page = touch.page;
    let outline = move || page.picked_of(view);
    let key = move |ev: KeyboardEvent| {
        if let Some(by) = page.key(view, &ev) {
            drag.run(by);
        }
    };
    view! {
        <path
            class="grip"
            data-testid=format!("grip-{}", view.slug())
            role="application"
            aria-label=move || page.grip_words(view)
            tabindex=move || outline().map(|_| "0".to_owned())
            prop:style=move || page.style(view)
            d=move || outline().map(|s| s.outline.path.to_string())
            on:pointerdown=move |_| touch.fingers.update_value(|f| f.seized = Some(view))
            on:keydown=key
        />
    }
}

/// The switch between the views, and the buttons for a closer look.
fn bar(touch: Touch) -> Node {
    let DrawingPage { views, glass, .. } = touch.page;
    let options = [(word!("widget.side"), "view-side"), (word!("widget.plan"), "view-plan")]
        .map(|(key, testid)| Chosen { name: t!(key), testid: testid.to_owned() });
    let whole = move || glass.update(|g| g.zoom = Zoom::WHOLE);
    let choose = move |k: usize| {
        views.set(if k == 0 { Views::Side } else { Views::Plan });
        whole();
    };
    let button = move |key: words::Word, testid: &'static str, sign: &'static str, factor: f64| {
        view! {
            <button
                type="button"
                class="zoom"
                aria-label=t!(key)
                data-testid=testid
                on:click=move |_| touch.step(factor)
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
            {t!("widget.whole_boat")}
        </button>
        <div class="bar">
            <Choice
                label=t!("widget.view")
                options=options.to_vec()
                now=Memo::from(move || Some(views.get() as usize))
                choose
            />
            {button(word!("widget.farther"), "farther", "\u{2212}", 1.0 / 1.6)}
            {button(word!("widget.closer"), "closer", "+", 1.6)}
        </div>
    }
}
