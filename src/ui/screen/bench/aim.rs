//! What is right for the boat under water: the line that says it, and its form.

use super::field::{Field, FormChoice, text_of};
use crate::signal::memo;
use crate::state::{Desk, Editing, LIGHT_OR_HEAVY, LIMITS};
use crate::ui::node::{Node, view};
use crate::ui::{row_text, text};
use crate::words::{Word, t, word};
use leptos::prelude::*;
use trimwright::ballast::Least;
use trimwright::diary::BoatRecord;

/// What is right for the boat in hand; a tap changes it.
#[component]
pub(crate) fn AimLine() -> Node {
    let desk = expect_context::<Desk>();
    let aim = memo(move || {
        let aim = desk.derived.record.with(|r| r.as_ref().map(BoatRecord::under_aim));
        aim.map(row_text::aim_words).unwrap_or_default()
    });
    view! {
        <h2>{t!("bench_aim.title")}</h2>
        <ul class="rows">
            <li class="row">
                <button
                    class="row-main line"
                    data-testid="aim"
                    on:click=move |_| desk.open_form(Editing::Aim)
                >
                    <span>{aim}</span>
                </button>
            </li>
        </ul>
    }
}

const TANKS: [(&str, Word); 2] =
    [("any", word!("bench_aim.any")), ("whole", word!("bench_aim.whole"))];

/// The form of what is right under water.
#[component]
pub(crate) fn AimForm() -> Node {
    let desk = expect_context::<Desk>();
    let tanks = text_of(desk, "tanks");
    let beam = move || {
        let boat = desk.derived.boat.get();
        boat.and_then(Result::ok).map_or(0.0, |hand| hand.model.bounds().size().y)
    };
    let usual =
        move || t!("bench_aim.usual", length = text::fine_millimetres(Least::usual(beam()).bg));
    let limits = move || {
        let [(from, from_side), (to, to_side)] = LIMITS;
        let sided = |key, side, label| {
            let sides = (side, LIGHT_OR_HEAVY);
            view! { <Field key label unit=text::mass_sign() sides=sides /> }
        };
        view! {
            <p class="legend">{t!("bench_aim.whole_legend")}</p>
            <div class="pair">
                {sided(from, from_side, t!("bench_aim.from"))}
                {sided(to, to_side, t!("bench_aim.to"))}
            </div>
        }
    };
    let fill = move || {
        view! {
            <p class="legend">{t!("bench_aim.any_legend")}</p>
            <div class="pair">
                <Field key="least" label=t!("bench_aim.from") unit="%" />
                <Field key="most" label=t!("bench_aim.to") unit="%" />
            </div>
        }
    };
    view! {
        <FormChoice key="tanks" label=t!("bench_aim.title") options=&TANKS />
        {move || {
            if tanks.with(|kind| kind == "whole") {
                limits()
            } else {
                fill()
            }
        }}
        <p class="legend">{t!("bench_aim.stiff_legend")}</p>
        <div class="pair">
            <Field key="least-bg" label=t!("bench_aim.least_bg") unit=text::length_sign() />
            <Field key="least-gm" label=t!("bench_aim.least_gm") unit=text::length_sign() />
        </div>
        <p class="note">{usual}</p>
    }
}
