//! What is entered at the pool: the state, what was read, what lay aboard, where weight may go.

use super::boats::Undo;
use super::figure::{AngleStepper, Marks, MoreMarks, ResidualStepper};
use super::fill::FillEntry;
use super::inclining::InclineChart;
use super::on_bench::OnTheBench;
use super::phone::PhoneEntry;
use super::takes::TankTakes;
use super::water::WaterEntry;
use super::weight_on::WeightOn;
use crate::signal::{RwSignal, memo};
use crate::state::{BoatInHand, Desk, Phone};
use crate::ui::node::{CollectNode, Node, view};
use crate::ui::text;
use crate::ui::widget::{Choice, Chosen, More, NumberField, TiltButton, ZeroButton, Zeroing};
use crate::words::{self, Word, t, word};
use leptos::prelude::*;
use std::sync::Arc;
use trimwright::answer::Field;
use trimwright::diary::{ConditionRecord, Draft, WeightMaterial};
use trimwright::reading::Tilt;
use trimwright::unit::{DEGREE, read_number};

/// Everything that is entered on the Pool screen.
#[component]
pub(crate) fn ReadingEntry(
    /// The boat.
    hand: Arc<BoatInHand>,
    /// The phone that may lie aboard.
    phone: Phone,
) -> Node {
    let desk = expect_context::<Desk>();
    let draft = desk.derived.draft;
    let datum = hand.datum;
    let is_under = memo(move || draft.with(|d| d.condition == ConditionRecord::Under));
    let option = |key: Word, testid: &str| Chosen { name: t!(key), testid: testid.to_owned() };
    let states = vec![
        option(word!("pool.afloat"), "state-afloat"),
        option(word!("pool.under"), "state-under"),
    ];
    let (for_marks, for_tanks) = (Arc::clone(&hand), Arc::clone(&hand));
    let has_tanks = !hand.boat.tanks.is_empty();
    let is_quick = hand.is_quick;
    let zeroing = RwSignal::new(Zeroing::Off);
    view! {
        <Choice
            label=t!("reading.state")
            options=states
            now=memo(move || Some(usize::from(is_under.get())))
            choose=move |k| {
                desk
                    .edit(|d| {
                        d.turn_to(if k == 0 {
                            ConditionRecord::Afloat
                        } else {
                            ConditionRecord::Under
                        });
                    });
            }
        />
        <div class="figures">
            {move || {
                if is_under.get() {
                    view! {
                        {has_tanks.then(|| view! { <FillEntry hand=Arc::clone(&for_tanks) /> })}
                        <ResidualStepper />
                        {is_quick.then(|| view! { <TankTakes /> })}
                    }
                } else {
                    view! { <Marks hand=Arc::clone(&for_marks) /> }
                }
            }}
            <TiltButton
                now=memo(move || draft.with(tilt_words))
                keep=move |tilt| desk.edit(|d| take_tilt(d, &tilt))
                zero=memo(move || desk.tilt_zero())
                zeroing
                keep_zero=move |zero| desk.set_tilt_zero(zero)
            />
            <div class="steppers">
                <AngleStepper trim=false />
                <AngleStepper trim=true />
            </div>
            <div class="acts">
                <MoreMarks hand=Arc::clone(&hand) />
                <ClearFigures />
            </div>
        </div>
        <WeightOn hand=Arc::clone(&hand) />
        <InclineChart />
        <Places hand />
        <PhoneEntry phone datum />
        <OnTheBench datum />
        <WaterEntry />
        <ZeroButton zeroing />
        <More />
    }
}

/// Empties the figures, and takes that back, where the figures are.
#[component]
fn ClearFigures() -> Node {
    let desk = expect_context::<Desk>();
    let is_in_the_answer = memo(move || desk.waits_to_be_read().is_some());
    view! {
        <button
            type="button"
            class="quiet-button"
            data-testid="new-reading"
            on:click=move |_| desk.clear_figures()
        >
            {t!("reading.clear")}
        </button>
        // While the answer has it, it is not here.
        {move || (!is_in_the_answer.get()).then(|| view! { <Undo /> })}
        <p class="message" role="status" data-testid="pool-message">
            {move || desk.message.get()}
        </p>
    }
}

/// Where weight may go, or what may be shifted.
#[component]
fn Places(
    /// The boat.
    hand: Arc<BoatInHand>,
) -> Node {
    let desk = expect_context::<Desk>();
    let draft = desk.derived.draft;
    let names: Vec<String> = hand.boat.places.iter().map(|p| p.name.clone()).collect();
    let options = names
        .iter()
        .enumerate()
        .map(|(k, name)| Chosen { name: name.clone(), testid: format!("place-{k}") })
        .collect();
    let known = names.clone();
    let movable: Vec<String> = hand.movable.iter().map(|m| m.name.clone()).collect();
    let now = memo(move || {
        draft.with(|d| {
            let chosen = known.iter().position(|n| *n == d.place).unwrap_or(0);
            let shifts = !d.shift.trim().is_empty() || movable.contains(&d.shift_part);
            (!shifts).then_some(chosen)
        })
    });
    let choose = move |k: usize| {
        let name = names.get(k).cloned().unwrap_or_default();
        desk.put_weight();
        desk.edit(|d| d.place = name);
    };
    let parts = (!hand.movable.is_empty()).then(|| {
        let names: Vec<String> = hand.movable.iter().map(|m| m.name.clone()).collect();
        view! { <PartToShift names /> }
    });
    view! {
        <h2>{t!("reading.put_weight")}</h2>
        <Choice label=t!("reading.where_weight") options now choose />
        <OfWhat />
        {parts}
        <NumberField
            label=t!("reading.or_shift")
            testid="shift-value"
            unit=text::mass_sign()
            value=memo(move || draft.with(|d| d.shift.clone()))
            change=move |text: String| {
                desk
                    .edit(|d| {
                        d.shift = text;
                        d.shift_part.clear();
                    });
            }
            problem=memo(move || desk.derived.problem(&Field::Shift))
        />
    }
}

/// Materials of weights to choose from, named for tests with so much before their names.
pub(super) fn material_options(before: &str) -> Vec<Chosen> {
    let option = |of: WeightMaterial| {
        let name = of.material().name.replace(' ', "-").to_ascii_lowercase();
        Chosen {
            name: text::upper_first(&words::material::of_weight(of)),
            testid: format!("{before}-{name}"),
        }
    };
    WeightMaterial::ALL.map(option).to_vec()
}

/// Of what the weight is that is put there.
#[component]
fn OfWhat() -> Node {
    let desk = expect_context::<Desk>();
    let draft = desk.derived.draft;
    let now =
        memo(move || draft.with(|d| WeightMaterial::ALL.iter().position(|m| *m == d.material)));
    let choose = move |k: usize| {
        desk.put_weight();
        desk.edit(|d| d.material = WeightMaterial::ALL.get(k).copied().unwrap_or_default());
    };
    view! {
        <Choice
            label=t!("weight.of_what")
            options=material_options("of")
            now
            choose
        />
    }
}

/// A part to be shifted instead of weight put on.
#[component]
fn PartToShift(
    /// The parts' names.
    names: Vec<String>,
) -> Node {
    let desk = expect_context::<Desk>();
    let chosen = memo(move || desk.derived.draft.with(|d| d.shift_part.clone()));
    let choose = move |ev: leptos::ev::Event| {
        let name = event_target_value(&ev);
        desk.edit(|d| {
            d.shift_part = name;
            d.shift.clear();
        });
    };
    let options = names
        .into_iter()
        .map(|name| {
            let own = name.clone();
            let is_chosen = move || chosen.with(|c| *c == own);
            view! { <option value=name.clone() selected=is_chosen>{name.clone()}</option> }
        })
        .collect_node();
    view! {
        <div class="field">
            <label for="shift-part">{t!("reading.or_shift_part")}</label>
            <div class="entry">
                <select id="shift-part" data-testid="shift-part" on:change=choose>
                    <option value="" selected=move || chosen.with(String::is_empty)>
                        {t!("reading.no_part")}
                    </option>
                    {options}
                </select>
            </div>
        </div>
    }
}

/// List and trim as entered, in words.
fn tilt_words(draft: &Draft) -> String {
    let angle = |text: &str, negative: bool| {
        read_number(text).ok().map(|d| if negative { -d } else { d } * DEGREE)
    };
    text::tilt_read(angle(&draft.list, draft.list_to_port), angle(&draft.trim, draft.trim_by_stern))
}

/// Keeps what the phone read, to the tenth of a degree, as if it had been typed.
fn take_tilt(draft: &mut Draft, tilt: &Tilt) {
    draft.list = text::number((tilt.list / DEGREE).abs(), 1);
    draft.list_to_port = tilt.list < 0.0;
    draft.trim = text::number((tilt.trim / DEGREE).abs(), 1);
    draft.trim_by_stern = tilt.trim < 0.0;
}
