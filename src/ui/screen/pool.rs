//! Pool: read the boat, get advice.

use super::answer::AnswerCard;
use super::checks::FailedChecks;
use super::fold::Fold;
use super::kept::KeptSign;
use super::reading::ReadingEntry;
use super::welcome::Welcome;
use crate::device::motion::focus;
use crate::signal::{Memo, RwSignal, StoredValue, memo};
use crate::state::{BoatInHand, Derived, Desk, Phone, PoolAnswer, Screen};
use crate::ui::id::id_of;
use crate::ui::node::{Node, view};
use crate::ui::text;
use crate::ui::widget::{Drag, Drawing, Load, Picked, Scene, drawn_phone, solids_of};
use crate::words::{t, word};
use leptos::prelude::*;
use leptos::task::spawn_local;
use std::sync::Arc;
use trimwright::ballast::Forecast;
use trimwright::diary::ConditionRecord;

/// The screen at the pool's edge.
#[component]
pub(crate) fn PoolScreen() -> Node {
    let desk = expect_context::<Desk>();
    let boat = desk.derived.boat;
    view! {
        {move || match boat.get() {
            None => view! { <Welcome /> },
            Some(Err(why)) => {
                view! {
                    <main class="screen">
                        <h1>{t!("pool.not_usable")}</h1>
                        <p class="problem">"✕ " {why}</p>
                        <button class="main" on:click=move |_| desk.go(Screen::Boat)>
                            {t!("pool.choose_another")}
                        </button>
                    </main>
                }
            }
            Some(Ok(hand)) => view! { <AtThePool hand /> },
        }}
    }
}

/// The screen with a boat in hand.
#[component]
fn AtThePool(
    /// The boat.
    hand: Arc<BoatInHand>,
) -> Node {
    let desk = expect_context::<Desk>();
    let derived = desk.derived;
    spawn_local(desk.bring_earlier());
    let show_after = RwSignal::new(false);
    let model_gravity = hand.model.centre_of_gravity(nalgebra::Vector3::z_axis()).vector();
    let drawn = drawn(derived, show_after, model_gravity.into());
    let shown = memo(move || drawn.with(|(_, scene)| *scene));
    let words = Memo::from(move || {
        derived.answer.with(|a| match a.as_ref() {
            PoolAnswer::NothingRead(f) => t!("pool.drawn_as_modelled", lies = text::lies(f, &[])),
            PoolAnswer::Advised(a) => {
                let (key, forecast) = if show_after.get() {
                    (word!("pool.drawn_after"), &a.advice.after)
                } else {
                    (word!("pool.drawn_as_read"), &a.advice.now)
                };
                t!(key, lies = text::lies(forecast, &a.advice.untold))
            }
            _ => t!("pool.drawn_before"),
        })
    });
    let state_line = move || {
        let condition = derived.draft.with(|d| match d.condition {
            ConditionRecord::Afloat => t!("pool.afloat"),
            ConditionRecord::Under => t!("pool.under"),
        });
        let water =
            derived.water.get().map_or_else(|_| t!("pool.water_unknown"), |(_, words)| words);
        format!("{condition} · {water}")
    };
    let tap_mark = move |name: String| {
        desk.edit(|d| {
            d.turn_to(ConditionRecord::Afloat);
            d.marks.entry(name.clone()).or_default();
        });
        // The field appears with the next frame.
        request_animation_frame(move || focus(&id_of(&format!("mark-{name}-value"))));
    };
    let has_advice = move || derived.answer.with(|a| matches!(a.as_ref(), PoolAnswer::Advised(_)));
    let is_old = memo(move || derived.answer.with(|a| matches!(a.as_ref(), PoolAnswer::Old(_))));
    let name = hand.boat.name.clone();
    let is_quick = hand.is_quick;
    let fold = Fold::new();
    let phone = Phone::on(desk, Arc::clone(&hand));
    let place = memo(move || phone.place());
    let solids = StoredValue::new(solids_of(&hand));
    let parts = memo(move || {
        let phone = place.get().map(|at| drawn_phone(at, t!("reading.phone")));
        solids.get_value().into_iter().chain(phone).collect::<Vec<_>>()
    });
    let picked = memo(move || place.get().map(|_| Picked::Phone));
    view! {
        <main
            class="screen pool"
            on:pointerdown=move |ev| fold.touched(&ev)
            on:focusin=move |ev| fold.entered(&ev)
            on:focusout=move |_| fold.settle_soon()
        >
            <header class="line">
                <div class="title">
                    <h1>{name}</h1>
                    <KeptSign />
                </div>
                <p class="state">{state_line}</p>
            </header>
            <FailedChecks most=2 />
            <div class="split">
                <div class="look">
                    <Drawing
                        hand=Memo::fixed(Arc::clone(&hand))
                        scene=shown
                        words
                        parts=parts
                        tap_mark
                        picked
                        drag=move |drag: Drag| phone.move_by(drag.by, drag.done)
                    />
                    <button
                        type="button"
                        class="before-after"
                        data-testid="before-after"
                        hidden=move || !has_advice()
                        aria-pressed=move || show_after.get().to_string()
                        on:click=move |_| show_after.update(|s| *s = !*s)
                    >
                        <span aria-hidden="true">{move || show_after.get().then_some("✓ ")}</span>
                        {t!("pool.show_after")}
                    </button>
                </div>
                <div class="work" class:old=is_old>
                    <ReadingEntry hand=Arc::clone(&hand) phone />
                </div>
            </div>
            <AnswerCard datum=hand.datum is_quick fold />
        </main>
    }
}

/// What is drawn: whether it was read under water, and the scene. `gravity` is the model's.
fn drawn(
    derived: &'static Derived,
    show_after: RwSignal<bool>,
    gravity: [f64; 3],
) -> Memo<(bool, Scene)> {
    Memo::new(move |before: Option<&(bool, Scene)>| {
        let answer = derived.answer.get();
        let under = derived.draft.with(|d| d.condition == ConditionRecord::Under);
        let of = |forecast: &Forecast, load: Option<Load>, told: [bool; 2]| Scene {
            told,
            under: under || forecast.outcome.submerged().is_some(),
            load,
            buoyancy: None,
            metacentre: None,
            ..Scene::of(forecast)
        };
        let scene = match answer.as_ref() {
            PoolAnswer::NothingRead(model) => of(model, None, [true; 2]),
            PoolAnswer::Advised(a) if show_after.get() => of(&a.advice.after, None, [true; 2]),
            PoolAnswer::Advised(a) => {
                let [_, along, across] = a.advice.need.told;
                of(&a.advice.now, Load::of(&a.advice), [along, across])
            }
            // While a field cannot be read, the boat stays as it was last drawn in this state.
            _ => match before.filter(|(was_under, _)| *was_under == under) {
                Some((_, scene)) => *scene,
                None => derived.described().map_or_else(
                    || Scene { under, ..Scene::upright(gravity) },
                    |model| of(&model, None, [true; 2]),
                ),
            },
        };
        (under, scene)
    })
}
