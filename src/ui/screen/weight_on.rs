//! A known weight that is on the boat for a reading: at bow or stern, or moved across.

use super::reading::material_options;
use crate::signal::{Callback, Memo, memo};
use crate::state::{BoatInHand, Datum, Desk};
use crate::ui::node::{Node, view};
use crate::ui::text;
use crate::ui::widget::{Choice, Chosen, NumberField};
use crate::words::{Word, t, word};
use leptos::prelude::*;
use std::sync::Arc;
use trimwright::answer::Field;
use trimwright::boat::Medium;
use trimwright::diary::{DatumRecord, Draft, WeightDraft, WeightMaterial};

/// The fold with the weight: folded away while there is none.
#[component]
pub(super) fn WeightOn(
    /// The boat.
    hand: Arc<BoatInHand>,
) -> Node {
    let desk = expect_context::<Desk>();
    let typed = memo(move || desk.derived.draft.with(|d| d.weight.clone()));
    let is_on = memo(move || typed.with(|w| !w.mass.trim().is_empty()));
    let title = Memo::from(move || {
        typed.with(|w| match w.mass.trim() {
            "" => t!("on_it.title"),
            mass => {
                let mass = format!("{mass}{}{}", text::THIN, text::mass_sign());
                t!("on_it.title_on", mass = mass)
            }
        })
    });
    let field = move |of: Field, text: fn(&mut WeightDraft) -> &mut String| {
        let value = memo(move || typed.with(|w| text(&mut w.clone()).clone()));
        let change = Callback::new(move |typed: String| {
            desk.edit(|d: &mut Draft| *text(&mut d.weight) = typed);
        });
        (value, change, memo(move || desk.derived.problem(&of)))
    };
    let (mass, change_mass, mass_problem) = field(Field::WeightMass, |w| &mut w.mass);
    let (along, change_along, along_problem) = field(Field::WeightAlong, |w| &mut w.along);
    let (across, change_across, across_problem) = field(Field::WeightAcross, |w| &mut w.across);
    let side = move |is_less: fn(&mut WeightDraft) -> &mut bool, [more, less]: [Word; 2]| {
        let words = Memo::from(move || {
            t!(if typed.with(|w| *is_less(&mut w.clone())) { less } else { more })
        });
        let flip = Callback::new(move |()| desk.edit(|d| *is_less(&mut d.weight) ^= true));
        (words, flip)
    };
    let ends = [word!("form.forward"), word!("form.aft")];
    let along_side =
        (hand.datum.from == DatumRecord::Midship).then(|| side(|w| &mut w.is_aft, ends));
    let sides = [word!("form.port"), word!("form.starboard")];
    let across_side = Some(side(|w| &mut w.to_starboard, sides));
    view! {
        <details class="more" data-testid="weight-on" open=is_on.get_untracked()>
            <summary>{title}</summary>
            <div class="fold">
                <p class="note">{t!("on_it.why")}</p>
                <NumberField
                    label=t!("on_it.mass")
                    testid="weight-mass"
                    unit=text::mass_sign()
                    value=mass
                    change=change_mass
                    problem=mass_problem
                />
                <NumberField
                    label=t!("on_it.along", from = text::datum_name(hand.datum.from))
                    testid="weight-along"
                    unit=from_datum(hand.datum)
                    value=along
                    change=change_along
                    problem=along_problem
                    side=along_side
                    side_testid="weight-along-side"
                />
                <NumberField
                    label=t!("on_it.across")
                    testid="weight-across"
                    unit=text::length_sign()
                    value=across
                    change=change_across
                    problem=across_problem
                    side=across_side
                    side_testid="weight-across-side"
                />
                <PlaceOfWeight hand />
                <button
                    type="button"
                    class="quiet-button"
                    data-testid="weight-off"
                    hidden=move || !is_on.get()
                    on:click=move |_| desk.edit(|d| d.weight.mass.clear())
                >
                    {t!("on_it.off")}
                </button>
            </div>
        </details>
    }
}

/// The unit of a length along the boat: from an end it goes one way only.
pub(super) fn from_datum(datum: Datum) -> String {
    match datum.from {
        DatumRecord::Midship => text::length_sign().to_owned(),
        DatumRecord::Bow => format!("{} {}", text::length_sign(), t!("form.aft")),
        DatumRecord::Stern => format!("{} {}", text::length_sign(), t!("form.forward")),
    }
}

/// At which of the boat's places it is, and of what, where that matters: in the wet.
#[component]
fn PlaceOfWeight(
    /// The boat.
    hand: Arc<BoatInHand>,
) -> Node {
    let desk = expect_context::<Desk>();
    let places = hand.boat.places.clone();
    let names: Vec<String> = places.iter().map(|place| place.name.clone()).collect();
    let option = |(k, name): (usize, &String)| Chosen {
        name: name.clone(),
        testid: format!("weight-place-{k}"),
    };
    let options: Vec<Chosen> = names.iter().enumerate().map(option).collect();
    let chosen = memo(move || {
        let name = desk.derived.draft.with(|d| d.weight.place.clone());
        places.iter().position(|place| place.name == name).unwrap_or(0)
    });
    let media: Vec<Medium> = hand.boat.places.iter().map(|place| place.medium).collect();
    let is_wet = memo(move || media.get(chosen.get()) == Some(&Medium::Wet));
    let choose = move |k: usize| {
        let name = names.get(k).cloned().unwrap_or_default();
        desk.edit(|d| d.weight.place = name);
    };
    let of_what = move || {
        is_wet.get().then(|| {
            let now = memo(move || {
                let material = desk.derived.draft.with(|d| d.weight.material);
                WeightMaterial::ALL.iter().position(|m| *m == material)
            });
            view! {
                <Choice
                    label=t!("on_it.of_what")
                    options=material_options("weight-of")
                    now
                    choose=move |k: usize| {
                        desk.edit(|d| {
                            d.weight.material = WeightMaterial::ALL.get(k).copied().unwrap_or_default();
                        });
                    }
                />
            }
        })
    };
    view! {
        <Choice label=t!("on_it.where") options now=memo(move || Some(chosen.get())) choose />
        {of_what}
    }
}
