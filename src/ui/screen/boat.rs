//! Boat: which boat, what is known of it, and how the app looks.

use super::quick::QuickBoatForm;
use crate::state::{BoatInHand, Session};
use crate::ui::memo::memo;
use crate::ui::text;
use crate::ui::widget::{Choice, Chosen, Drawing, More, Scene, drawn_of};
use leptos::prelude::*;
use std::sync::Arc;
use trimwright::ballast::forecast;
use trimwright::diary::DatumRecord;
use trimwright::float::Basin;
use trimwright::reading::Condition;

/// The screen of the boats.
#[component]
pub(crate) fn BoatScreen() -> impl IntoView {
    let session = expect_context::<Session>();
    let form_open = memo(move || session.quick_form.with(Option::is_some));
    view! {
        <main class="screen boats">
            {move || {
                if form_open.get() {
                    view! { <QuickBoatForm /> }.into_any()
                } else {
                    view! { <Boats /> }.into_any()
                }
            }}
        </main>
    }
}

/// The list of boats and the boat in hand.
#[component]
fn Boats() -> impl IntoView {
    let session = expect_context::<Session>();
    let boats = memo(move || {
        session
            .diary
            .with(|d| d.boats.iter().map(|b| (b.id.clone(), b.name.clone())).collect::<Vec<_>>())
    });
    let in_hand = memo(move || session.diary.with(|d| d.draft.boat.clone()));
    let row = move |(id, name): (String, String)| {
        let (take, remove, own) = (id.clone(), id.clone(), id.clone());
        let here = memo(move || in_hand.with(|h| *h == own));
        view! {
            <li class="row" class:here=here>
                <button class="row-main" on:click=move |_| session.take_boat(&take)>
                    {name.clone()}
                    <span class="quiet">
                        {move || if here.get() { " ✓ in hand" } else { "" }}
                    </span>
                </button>
                <button
                    class="row-side"
                    aria-label=format!("Remove {name}")
                    on:click=move |_| session.remove_boat(&remove)
                >
                    "Remove"
                </button>
            </li>
        }
    };
    view! {
        <h1>"Boats"</h1>
        <ul class="rows">
            <For each=move || boats.get() key=Clone::clone children=row />
        </ul>
        <button
            class="main"
            data-testid="start-quick"
            on:click=move |_| session.open_quick_form()
        >
            "New boat: six numbers"
        </button>
        <button
            class="main second"
            data-testid="start-demo"
            on:click=move |_| session.start_demo()
        >
            "Demo boat with a reading"
        </button>
        <Undo />
        {move || match session.derived.boat.get() {
            Some(Ok(hand)) => view! { <InHand hand /> }.into_any(),
            Some(Err(why)) => view! { <p class="problem">"✕ " {why}</p> }.into_any(),
            None => ().into_any(),
        }}
        <Look />
        <More />
    }
}

/// Takes back the last deletion, where there is one.
#[component]
pub(crate) fn Undo() -> impl IntoView {
    let session = expect_context::<Session>();
    view! {
        <button
            class="quiet-button"
            data-testid="undo"
            hidden=move || !session.can_undo()
            on:click=move |_| session.undo()
        >
            "Put back what was removed"
        </button>
    }
}

/// The boat in hand: drawn as it would float, and its figures.
#[component]
fn InHand(
    /// The boat.
    hand: Arc<BoatInHand>,
) -> impl IntoView {
    let session = expect_context::<Session>();
    let density = session.derived.density();
    let basin = Basin::deep(density);
    let model = forecast(&hand.model, basin, Condition::Afloat, None, &hand.boat.marks);
    let Ok(model) = model else { return ().into_any() };
    let afloat = model.outcome.afloat().cloned();
    let scene = Scene::of(&model);
    let picked = RwSignal::new(None);
    let lies = text::lies(&model, &[]);
    let words = format!("{} as modelled: {lies}", hand.boat.name);
    let reserve = afloat.as_ref().map(|a| text::grams(a.reserve * density));
    let facts = vec![
        ("Mass", Some(text::grams(hand.model.mass()))),
        ("As modelled", Some(lies)),
        ("Reserve of buoyancy", reserve),
        ("GM across", afloat.as_ref().map(|a| text::fine_millimetres(a.stiffness.across))),
        ("GM along", afloat.as_ref().map(|a| text::millimetres(a.stiffness.along))),
    ];
    let rough = hand.is_quick.then(|| {
        view! { <p class="note">"Made from six numbers: GM and waterplane are estimates."</p> }
    });
    let marks = hand.boat.marks.iter().map(|mark| {
        let above = text::millimetres(mark.at.z());
        (
            format!("{} mark", text::upper_first(&mark.name)),
            format!("{}, {above} above the keel line", text::along(mark.at.x(), hand.datum)),
        )
    });
    let rows = facts
        .into_iter()
        .filter_map(|(name, value)| value.map(|v| (name.to_owned(), v)))
        .chain(marks)
        .map(|(name, value)| view! { <div><dt>{name}</dt><dd>{value}</dd></div> })
        .collect_view();
    let datums = [DatumRecord::Midship, DatumRecord::Bow, DatumRecord::Stern];
    let options = datums
        .iter()
        .map(|d| Chosen {
            name: text::datum_name(*d).to_owned(),
            testid: format!("datum-{}", text::datum_name(*d).replace(' ', "-")),
        })
        .collect();
    let from = hand.datum.from;
    let id = hand.id.clone();
    view! {
        <h2>{hand.boat.name.clone()}</h2>
        <Drawing
            hand=Arc::clone(&hand)
            scene=Signal::stored(scene)
            words=Signal::stored(words)
            parts=Signal::stored(drawn_of(&hand))
            zoomable=true
            picked
            pick=move |what| picked.set(Some(what))
        />
        <dl class="facts">{rows}</dl>
        {rough}
        <p class="legend">"Lengths are measured from"</p>
        <Choice
            label="Lengths are measured from"
            options
            now=Signal::stored(datums.iter().position(|d| *d == from))
            choose=move |k: usize| {
                if let Some(datum) = datums.get(k) {
                    session.set_datum(&id, *datum);
                }
            }
        />
    }
    .into_any()
}

/// Themes by what they are for.
const THEMES: [(&str, &str); 4] =
    [("As the phone", ""), ("Paper", "paper"), ("Night", "night"), ("Sun", "sun")];

/// How the app looks.
#[component]
fn Look() -> impl IntoView {
    let session = expect_context::<Session>();
    let options = THEMES
        .iter()
        .map(|(name, theme)| Chosen {
            name: (*name).to_owned(),
            testid: format!("theme-{}", if theme.is_empty() { "phone" } else { theme }),
        })
        .collect();
    let now = Signal::derive(move || {
        session.diary.with(|d| THEMES.iter().position(|(_, t)| *t == d.settings.theme))
    });
    view! {
        <h2>"Look"</h2>
        <Choice
            label="Theme"
            options
            now
            choose=move |k: usize| {
                if let Some((_, theme)) = THEMES.get(k) {
                    session.set_theme(theme);
                }
            }
        />
    }
}
