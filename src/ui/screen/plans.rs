//! Plans under the answer: which ballast goes where so that the boat is right in all its states at once.

use super::checks::CautionView;
use crate::signal::{Callback, memo};
use crate::state::{Datum, Desk, MadePlan, Planning, Plans};
use crate::ui::node::{CollectNode, Node, view};
use crate::ui::plan_text::{PlanText, plan_text};
use crate::words::t;
use leptos::prelude::*;
use std::sync::Arc;
use trimwright::diary::Caution;

/// The button that asks for them, and the plans.
#[component]
pub(super) fn PlansView(
    /// Where lengths are measured from.
    datum: Datum,
    /// The advice in words, to be kept with the reading.
    #[prop(into)]
    advice: Callback<(), Vec<String>>,
) -> Node {
    let desk = expect_context::<Desk>();
    let plans = Plans::new(desk);
    let planning = plans.planning;
    let can_ask = memo(move || plans.can_ask.get() && planning.with(|p| matches!(p, Planning::No)));
    let is_begun = memo(move || planning.with(|p| matches!(p, Planning::Begun)));
    view! {
        <section
            class="plans"
            aria-label=t!("plan.title")
            hidden=move || !plans.can_ask.get()
            aria-busy=move || is_begun.get().to_string()
        >
            <button
                type="button"
                class="main second"
                data-testid="plan-ask"
                hidden=move || !can_ask.get()
                on:click=move |_| plans.make()
            >
                {t!("plan.ask")}
            </button>
            <p class="note" hidden=move || !can_ask.get()>{t!("plan.what_it_is")}</p>
            <p role="status" data-testid="plan-making">
                {move || if is_begun.get() { t!("plan.making") } else { String::new() }}
            </p>
            {move || match planning.get() {
                Planning::No | Planning::Begun => None,
                Planning::Failed(why) => {
                    Some(view! { <p class="after warn" data-testid="plan-failed">"! " {why}</p> })
                }
                Planning::Made(all) => Some(view! { <Made all datum advice /> }),
            }}
        </section>
    }
}

/// The plans, and what to be careful with.
#[component]
fn Made(
    /// The plans.
    all: Arc<Vec<MadePlan>>,
    /// Where lengths are measured from.
    datum: Datum,
    /// The advice in words.
    advice: Callback<(), Vec<String>>,
) -> Node {
    let cautions = cautions_of(&all)
        .into_iter()
        .map(|caution| view! { <CautionView caution place="plan-caution" /> })
        .collect_node();
    let is_none = all.is_empty();
    let cards = all
        .iter()
        .enumerate()
        .map(|(k, plan)| card(k, plan, plan_text(plan, datum), advice))
        .collect_node();
    view! {
        <h2>{t!("plan.title")}</h2>
        <p class="after warn" hidden=!is_none>"! " {t!("plan.none")}</p>
        {cards}
        {cautions}
    }
}

fn card(k: usize, plan: &MadePlan, text: PlanText, advice: Callback<(), Vec<String>>) -> Node {
    let desk = expect_context::<Desk>();
    let (lines, steps) = (text.lines(), plan.steps.clone());
    let short = t!("plan.in_short", plan = text.heading);
    let has_steps = !steps.is_empty();
    let PlanText { heading, in_the_way, just_misses, to_do, after, chance } = text;
    let stands_in_the_way = !in_the_way.is_empty();
    let in_the_way = in_the_way.into_iter().map(|line| view! { <li>{line}</li> }).collect_node();
    let to_do = to_do
        .into_iter()
        .map(|[what, place]| view! { <li><strong>{what}</strong> <span>{place}</span></li> })
        .collect_node();
    let after = after
        .into_iter()
        .map(|(holds, line)| {
            let (class, sign) = if holds { ("after ok", "✓") } else { ("after warn", "!") };
            view! { <p class=class>{format!("{sign} {line}")}</p> }
        })
        .collect_node();
    let chance = chance.map(|line| view! { <p class="after">{line}</p> });
    view! {
        <article class="plan" data-testid=format!("plan-{k}")>
            <h3>{heading}</h3>
            <div hidden=!stands_in_the_way data-testid=format!("plan-{k}-in-the-way")>
                <p class="after warn">"! " {t!("plan.cannot")}</p>
                <ul>{in_the_way}</ul>
                <p class="nearest">{t!("plan.nearest")}</p>
            </div>
            <p class="after warn" hidden=!just_misses>"! " {t!("plan.missed")}</p>
            <p hidden=has_steps>{t!("plan.nothing")}</p>
            <ol class="pieces" data-testid=format!("plan-{k}-pieces")>{to_do}</ol>
            {after}
            {chance}
            <button
                type="button"
                class="main"
                data-testid=format!("plan-{k}-do")
                hidden=!has_steps
                on:click=move |_| {
                    desk.do_plan(advice.run(()), lines.clone(), short.clone(), &steps);
                }
            >
                {t!("plan.do")}
            </button>
        </article>
    }
}

/// What to be careful with where such pieces are made.
fn cautions_of(all: &[MadePlan]) -> Vec<Caution> {
    let has = |is_such: fn(&MadePlan) -> bool| all.iter().any(is_such);
    let cut = has(MadePlan::is_cut).then_some(Caution::Cutting);
    cut.into_iter().chain(has(MadePlan::has_lead).then_some(Caution::Lead)).collect()
}
