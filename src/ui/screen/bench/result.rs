//! Everything that follows from the ledger: afloat, under, the tank, other water.

use super::ballast::BallastForIt;
use super::curve::LeverCurve;
use super::sheet::BenchSheet;
use crate::device::motion::focus_named;
use crate::device::share::print;
use crate::signal::{Memo, RwSignal, memo};
use crate::state::{Bench, Desk, Editing, LiesOtherwise, Missing};
use crate::ui::figures::{self, Fact};
use crate::ui::node::{CollectNode, Node, view};
use crate::ui::text;
use crate::ui::widget::NumberField;
use crate::words::{self, Word, t, word};
use leptos::prelude::*;
use trimwright::diary::BoatRecord;
use trimwright::unit::{Celsius, NumberError, read_number_within};
use trimwright::water::Water;

/// The answers, live.
#[component]
pub(crate) fn Results(
    /// How else the boat can lie.
    otherwise: LiesOtherwise,
) -> Node {
    let desk = expect_context::<Desk>();
    let derived = desk.derived;
    let facts = move |of: fn(&figures::FactSource<'_>) -> Vec<Fact>| {
        memo(move || {
            let boat = derived.boat.get();
            let hand = boat.as_ref().and_then(|b| b.as_ref().ok());
            let density = derived.density.get();
            derived.record.with(|record| {
                derived.outlook.with(|o| match (hand, o, record) {
                    (Some(hand), Some(outlook), Some(record)) => {
                        of(&figures::FactSource { hand, outlook, record, density })
                    }
                    _ => Vec::new(),
                })
            })
        })
    };
    otherwise.look(desk);
    let water =
        memo(move || derived.water.get().map_or_else(|_| String::new(), |(_, words)| words));
    let has_result = memo(move || derived.outlook.with(Option::is_some));
    let results = move || {
        view! {
            <BallastForIt />
            <h2>{t!("bench.afloat")}</h2>
            <Facts facts=facts(figures::afloat) testid="facts-afloat" />
            <CanAlsoLie otherwise />
            <LeverCurve />
            <h2>{t!("bench.under_water")}</h2>
            <Facts facts=facts(figures::under) testid="facts-under" />
            <h2>{t!("bench.the_tank")}</h2>
            <Facts facts=facts(figures::tank) testid="facts-tank" />
            <h2>{t!("bench.other_water")}</h2>
            <OtherWater />
            <h2>{t!("bench.how_sure")}</h2>
            <Facts facts=facts(figures::sure) testid="facts-sure" />
            <BenchSheet />
        }
    };
    view! {
        <div class="line">
            <p class="quiet">{move || water.with(|water| t!("bench.in_water", water = water))}</p>
            <button
                class="quiet-button"
                data-testid="bench-print"
                hidden=move || !has_result.get()
                on:click=move |_| {
                    // What is printed is the boat as it lies.
                    otherwise.drawn.set(None);
                    request_animation_frame(print);
                }
            >
                {t!("session.print")}
            </button>
        </div>
        {move || {
            if has_result.get() { results() } else { view! { <NoResult /> } }
        }}
    }
}

/// What is still to be entered before there is a result, each a way there; and what else is wrong.
#[component]
fn NoResult() -> Node {
    let desk = expect_context::<Desk>();
    let derived = desk.derived;
    let to = move |what: Missing| {
        let has_parts = derived.record.with(|r| r.as_ref().is_some_and(|r| !r.parts.is_empty()));
        match what {
            // One of them may be the hull, or be heavy.
            Missing::Shape | Missing::Mass if has_parts => desk.bench.set(Bench::Parts),
            Missing::Shape | Missing::Mass => desk.open_form(Editing::Part(None)),
            Missing::Marks => desk.open_form(Editing::Mark(None)),
            Missing::Tank => desk.open_form(Editing::Tank(None)),
        }
    };
    let row = move |what: Missing| {
        let (words, testid) = match what {
            Missing::Shape => (word!("bench.missing_shape"), "missing-shape"),
            Missing::Mass => (word!("bench.missing_mass"), "missing-mass"),
            Missing::Marks => (word!("bench.missing_marks"), "missing-marks"),
            Missing::Tank => (word!("bench.missing_tank"), "missing-tank"),
        };
        view! {
            <li class="row">
                <button class="row-main" data-testid=testid on:click=move |_| to(what)>
                    {t!(words)}
                </button>
            </li>
        }
    };
    let content = move || {
        let of = |r: &BoatRecord| derived.parts.with(|made| Missing::of(r, made));
        let missing = derived.record.with(|r| r.as_ref().map(of).unwrap_or_default());
        if missing.is_empty() {
            // The foot says why, too, where there is room for it.
            let why = derived.boat.get().and_then(Result::err).unwrap_or_default();
            return view! { <p class="problem">"✕ " {text::upper_first(&why)}</p> };
        }
        view! {
            <h2>{t!("bench.missing")}</h2>
            <ul class="rows">{missing.into_iter().map(row).collect_node()}</ul>
        }
    };
    view! { {content} }
}

/// How else it can lie, each to be shown in the drawing.
#[component]
fn CanAlsoLie(
    /// How else the boat can lie.
    otherwise: LiesOtherwise,
) -> Node {
    let LiesOtherwise { found, drawn } = otherwise;
    let show = move |which: usize| {
        otherwise.turn_to(which);
        if drawn.get_untracked().is_some() {
            // The drawing may be far above; its button is there with the next frame.
            request_animation_frame(|| focus_named("as-it-lies"));
        }
    };
    let row = move |(which, (name, value)): (usize, Fact)| {
        let is_drawn = memo(move || drawn.get() == Some(which));
        let words = move || {
            t!(if is_drawn.get() { word!("bench.show_as_it_lies") } else { word!("bench.show_it") })
        };
        view! {
            <div class="with-button">
                <dt>{name}</dt>
                <dd>{value}</dd>
                <dd>
                    <button
                        type="button"
                        class="quiet-button"
                        data-testid=format!("show-other-{which}")
                        aria-pressed=move || is_drawn.get().to_string()
                        on:click=move |_| show(which)
                    >
                        {words}
                    </button>
                </dd>
            </div>
        }
    };
    let rows = move || {
        let facts: Vec<Fact> = found.with(|o| o.iter().map(figures::other_attitude).collect());
        let rows = || facts.into_iter().enumerate().map(row).collect_node();
        let has_some = found.with(|o| !o.is_empty());
        has_some.then(|| view! { <dl class="facts" data-testid="facts-others">{rows()}</dl> })
    };
    view! { {rows} }
}

/// A list of facts, each with a name and a figure.
#[component]
fn Facts(
    /// The facts.
    facts: Memo<Vec<Fact>>,
    /// Its name for tests.
    testid: &'static str,
) -> Node {
    let row = |(name, value): Fact| view! { <div><dt>{name}</dt><dd>{value}</dd></div> };
    view! {
        <dl class="facts" data-testid=testid>
            {move || facts.get().into_iter().map(row).collect_node()}
        </dl>
    }
}

/// A water to go to: the key of its name, whether it is the sea, its usual temperature.
const WATERS: [(Word, &str, bool, &str); 3] = [
    (word!("bench.warm_pool"), "pool", false, "27"),
    (word!("bench.lake"), "lake", false, "8"),
    (word!("water.sea_word"), "sea", true, "12"),
];
/// Salinity of the open sea, g/kg. Common practice, no source: coastal waters have less.
const SALINITY: &str = "35";

/// The same boat in other water: grams to put on or take off.
#[component]
fn OtherWater() -> Node {
    let desk = expect_context::<Desk>();
    // As typed before, or as usual where nothing was.
    let typed = move |field: &'static str, usual: &'static str| {
        let before = untrack(|| desk.half_typed("other-water", field));
        RwSignal::new(if before.is_empty() { usual.to_owned() } else { before })
    };
    let type_in = move |field: &'static str, typed: RwSignal<String>| {
        move |text: String| {
            typed.set(text.clone());
            desk.type_half("other-water", field, text);
        }
    };
    let salinity = typed("salinity", SALINITY);
    let rows = WATERS
        .into_iter()
        .map(|(name, key, is_sea, usual)| {
            let temperature = typed(key, usual);
            let found = memo(move || {
                let celsius = Celsius(temperature.with(|t| read_number_within(t, 0.0, 40.0))?);
                let water = if is_sea {
                    let salinity = salinity.with(|s| read_number_within(s, 0.0, 42.0))?;
                    Water::Sea { salinity, temperature: celsius }
                } else {
                    Water::Fresh(celsius)
                };
                Ok(water.density().ok())
            });
            let problem =
                memo(move || found.get().err().map(|e: NumberError| words::number::number(&e)));
            let change = memo(move || {
                let to = found.get().ok().flatten()?;
                let from = desk.derived.water.with(|w| w.as_ref().ok().map(|(d, _)| *d))?;
                desk.derived.boat.with(|b| {
                    let hand = b.as_ref()?.as_ref().ok()?;
                    Some(figures::change_of_water(hand, from, to))
                })
            });
            view! {
                <div class="water-row">
                    <NumberField
                        label=t!(name)
                        testid=format!("other-{key}")
                        unit="°C"
                        value=temperature
                        change=type_in(key, temperature)
                        problem
                    />
                    <p data-testid=format!("other-{key}-change")>{move || change.get()}</p>
                </div>
            }
        })
        .collect_node();
    view! {
        {rows}
        <NumberField
            label=t!("bench.salt_in_the_sea")
            testid="other-salinity"
            unit="g/kg"
            value=salinity
            change=type_in("salinity", salinity)
            problem=memo(move || {
                let read = salinity.with(|s| read_number_within(s, 0.0, 42.0));
                read.err().map(|e| words::number::number(&e))
            })
        />
    }
}
