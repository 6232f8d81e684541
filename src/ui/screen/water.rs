//! The water: fresh, sea or measured.

use crate::signal::memo;
use crate::state::Desk;
use crate::ui::node::{Node, view};
use crate::ui::widget::{Choice, Chosen, NumberField};
use crate::words::{Word, t, word};
use leptos::prelude::*;
use trimwright::answer::Field;
use trimwright::diary::WaterKind;

/// The water that the boat is in.
#[component]
pub(crate) fn WaterEntry() -> Node {
    let desk = expect_context::<Desk>();
    let draft = desk.derived.draft;
    let kind = memo(move || draft.with(|d| d.water.kind));
    let option = |key: Word, testid: &str| Chosen { name: t!(key), testid: testid.to_owned() };
    let options = vec![
        option(word!("water.fresh_word"), "water-fresh"),
        option(word!("water.sea_word"), "water-sea"),
        option(word!("water.measured"), "water-measured"),
    ];
    let now = memo(move || {
        Some(match kind.get() {
            WaterKind::Fresh => 0,
            WaterKind::Sea => 1,
            WaterKind::Measured => 2,
        })
    });
    let choose = move |k: usize| {
        desk.edit(|d| {
            d.water.kind = match k {
                0 => WaterKind::Fresh,
                1 => WaterKind::Sea,
                _ => WaterKind::Measured,
            };
        });
    };
    let problem = move |field: Field| memo(move || desk.derived.problem(&field));
    let temperature = move || {
        view! {
            <NumberField
                label=t!("water.temperature")
                testid="water-temperature"
                unit="°C"
                value=memo(move || draft.with(|d| d.water.temperature.clone()))
                change=move |text: String| desk.edit(|d| d.water.temperature = text)
                problem=problem(Field::Temperature)
            />
        }
    };
    let fields = move || match kind.get() {
        WaterKind::Fresh => temperature(),
        WaterKind::Sea => view! {
            {temperature()}
            <NumberField
                label=t!("water.salinity")
                testid="water-salinity"
                unit="g/kg"
                value=memo(move || draft.with(|d| d.water.salinity.clone()))
                change=move |text: String| desk.edit(|d| d.water.salinity = text)
                problem=problem(Field::Salinity)
            />
        },
        WaterKind::Measured => view! {
            <NumberField
                label=t!("water.density")
                testid="water-density"
                unit="kg/m³"
                value=memo(move || draft.with(|d| d.water.density.clone()))
                change=move |text: String| desk.edit(|d| d.water.density = text)
                problem=problem(Field::Density)
            />
        },
    };
    view! {
        <h2>{t!("sheet.water")}</h2>
        <Choice label=t!("water.kind") options now choose />
        {fields}
    }
}
