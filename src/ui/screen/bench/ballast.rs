//! What makes the boat as described right, before it is ever wet: what lead where, and how it lies then.

use crate::signal::memo;
use crate::state::Desk;
use crate::ui::ballast_text::{self, BallastSaid};
use crate::ui::node::{CollectNode, Node, view};
use crate::words::t;
use leptos::prelude::*;
use trimwright::ballast::{Ballasting, Shortfall};
use trimwright::float::Basin;

/// What lead where, and a button that puts it into the list.
#[component]
pub(super) fn BallastForIt() -> Node {
    let desk = expect_context::<Desk>();
    let derived = desk.derived;
    let found = memo(move || -> Option<(Ballasting, BallastSaid)> {
        let hand = derived.boat.get()?.ok()?;
        let aboard = hand.parts.iter().filter(|(_, made)| made.part.status.is_aboard());
        let spreads = aboard.map(|(_, made)| (made.mass_spread, made.part.centre));
        let found = hand.ballast(Basin::deep(derived.density.get()), spreads).ok()??;
        let said = ballast_text::ballast(&found, &hand);
        Some((found, said))
    });
    let put = move |_| {
        if let Some((found, _)) = found.get_untracked() {
            desk.put_in_the_list(&found);
        }
    };
    let line = |(is_right, words): (bool, String)| {
        let (class, sign) = if is_right { ("after ok", "✓") } else { ("after bad", "✕") };
        view! { <p class=class>{format!("{sign} {words}")}</p> }
    };
    let content = move || {
        let (found, said) = found.get()?;
        let steps = said.steps.into_iter().map(|[what, place]| {
            view! { <li><b>{what}</b><span class="row-more">{place}</span></li> }
        });
        let steps = steps.collect_node();
        let is_short = found.short.is_some();
        // What does not make it right stays out of the list.
        let can_be_put = !is_short && !found.steps.is_empty() && found.is_of_the_list();
        let or_the_marks =
            matches!(found.short, Some(Shortfall::Tank { .. } | Shortfall::TooHeavy { .. }));
        let is_right = !is_short && found.steps.is_empty();
        Some(view! {
            <h2>{t!("ballast.title")}</h2>
            <div class="ballast" data-testid="ballast-for-it">
                {is_right.then(|| view! { <p>{t!("ballast.none")}</p> })}
                <ol>{steps}</ol>
                {said.lies.into_iter().map(line).collect_node()}
                {said.short.map(|words| view! { <p class="after bad">{format!("✕ {words}")}</p> })}
                {or_the_marks
                    .then(|| view! { <p class="quiet">{t!("ballast.or_the_marks")}</p> })}
                {can_be_put
                    .then(|| {
                        view! {
                            <button
                                type="button"
                                class="quiet-button"
                                data-testid="put-in-the-list"
                                on:click=put
                            >
                                {t!("ballast.put")}
                            </button>
                        }
                    })}
            </div>
        })
    };
    view! { {content} }
}
