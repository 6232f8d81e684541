//! The boat on the bench: on the scales, and balanced over an edge.

use super::weight_on::from_datum;
use crate::device::motion::focus;
use crate::signal::{Callback, Memo, memo};
use crate::state::{Datum, Desk};
use crate::ui::node::{CollectNode, Node, view};
use crate::ui::text;
use crate::ui::widget::NumberField;
use crate::words::{t, word};
use leptos::prelude::*;
use trimwright::answer::{
    BENCH_AFT, BENCH_BALANCE, BENCH_FORM, BENCH_SCALE, BenchTold, Field, NotedBench, bench_told,
    benches_in_hand,
};
use trimwright::diary::{BenchRecord, DatumRecord};

/// The fold with both fields, what was kept, and what it told.
#[component]
pub(super) fn OnTheBench(
    /// Where the boat's lengths are measured from.
    datum: Datum,
) -> Node {
    let desk = expect_context::<Desk>();
    let derived = desk.derived;
    let typed = move |field: &'static str| memo(move || desk.half_typed(BENCH_FORM, field));
    let change = move |field: &'static str| {
        Callback::new(move |text: String| desk.type_half(BENCH_FORM, field, text))
    };
    let noted = memo(move || {
        derived.kept.with(|kept| desk.diary.with(|diary| benches_in_hand(diary, kept)))
    });
    let told = memo(move || {
        let boat = derived.boat.get();
        let hand = boat.as_ref()?.as_ref().ok()?;
        let of = |record: &_| {
            derived.kept.with(|kept| bench_told(hand, record, kept, &derived.evidence.get()))
        };
        derived.record.with(|record| record.as_ref().and_then(of)).map(|told| told_words(&told))
    });
    let is_aft = typed(BENCH_AFT);
    let side = Memo::from(move || {
        t!(if is_aft.with(String::is_empty) { word!("form.forward") } else { word!("form.aft") })
    });
    let flip = Callback::new(move |()| {
        let aft = if is_aft.with_untracked(String::is_empty) { "yes" } else { "" };
        desk.type_half(BENCH_FORM, BENCH_AFT, aft.to_owned());
    });
    let has_side = datum.from == DatumRecord::Midship;
    let is_empty = memo(move || !desk.has_bench());
    let rows = move || {
        noted.get().into_iter().enumerate().map(|(k, n)| row(desk, k, n, datum)).collect_node()
    };
    let is_open = untrack(|| !is_empty.get() || noted.with(|all| !all.is_empty()));
    view! {
        <details class="more" data-testid="on-bench" open=is_open>
            <summary>{t!("on_bench.title")}</summary>
            <div class="fold">
                <p class="note">{t!("on_bench.how")}</p>
                <NumberField
                    label=t!("on_bench.scale")
                    testid="bench-scale"
                    unit=text::mass_sign()
                    value=typed(BENCH_SCALE)
                    change=change(BENCH_SCALE)
                    problem=memo(move || desk.bench_problem(&Field::Scale))
                />
                <NumberField
                    label=t!("on_bench.balance", from = text::datum_name(datum.from))
                    testid="bench-balance"
                    unit=from_datum(datum)
                    value=typed(BENCH_BALANCE)
                    change=change(BENCH_BALANCE)
                    problem=memo(move || desk.bench_problem(&Field::Balance))
                    side=has_side.then_some((side, flip))
                    side_testid="bench-balance-side"
                />
                <button
                    type="button"
                    class="second main"
                    data-testid="bench-keep"
                    disabled=is_empty
                    on:click=move |_| desk.note_bench()
                >
                    {t!("on_bench.keep")}
                </button>
                <ul class="rows">{rows}</ul>
                {move || {
                    told.get().map(|words| view! { <p class="ok" role="status" data-testid="bench-told">"✓ " {words}</p> })
                }}
            </div>
        </details>
    }
}

/// What was seen, in words.
pub(super) fn seen_words(bench: &BenchRecord, datum: Datum) -> String {
    let weighed = bench.scale_kg.map(|kg| t!("on_bench.weighed", mass = text::whole_grams(kg)));
    let balanced = bench.balance_m.map(|x| t!("on_bench.balanced", along = text::along(x, datum)));
    weighed.into_iter().chain(balanced).collect::<Vec<_>>().join(", ")
}

fn row(desk: Desk, k: usize, noted: NotedBench, datum: Datum) -> Node {
    let words = text::upper_first(&seen_words(&noted.bench, datum));
    let label = t!("dive.remove", what = words);
    view! {
        <li class="entry-row seen-row" data-testid=format!("bench-{k}")>
            <span>{words}</span>
            <button
                type="button"
                class="quiet-button"
                data-testid=format!("bench-{k}-remove")
                aria-label=label
                on:click=move |_| {
                    desk.forget_bench(&noted);
                    focus("bench-scale");
                }
            >
                {t!("diary.remove")}
            </button>
        </li>
    }
}

/// What came of it: each spread as it is and as it was, where that is another.
fn told_words(told: &BenchTold) -> String {
    let said = |[before, after]: [f64; 2], written: fn(f64) -> String, key| {
        let (before, after) = (written(before), written(after));
        (before != after).then(|| t!(key, after = after, before = before))
    };
    let mass = said(told.mass, text::whole_grams, word!("on_bench.told_mass"));
    let along = said(told.along, text::fine_millimetres, word!("on_bench.told_along"));
    let all: Vec<String> = mass.into_iter().chain(along).collect();
    if all.is_empty() { t!("on_bench.told_nothing") } else { all.join(" ") }
}
