//! What makes the boat as described right, before it is ever wet: what lead where, and how it lies then.

use crate::memo::memo;
use crate::state::Desk;
use crate::ui::ballast_text::{self, BallastSaid};
use crate::words::t;
use leptos::prelude::*;
use trimwright::ballast::Ballasting;
use trimwright::float::Basin;

/// What lead where, and a button that puts it into the list.
#[component]
pub(super) fn BallastForIt() -> impl IntoView {
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
        let steps = steps.collect_view();
        let can_be_put = !found.steps.is_empty() && found.is_of_the_list();
        Some(view! {
            <h2>{t!("ballast.title")}</h2>
            <div class="ballast" data-testid="ballast-for-it">
                {found
                    .steps
                    .is_empty()
                    .then(|| view! { <p>{t!(if found.short.is_none() { "ballast.none" } else { "ballast.no_weight" })}</p> })}
                <ol>{steps}</ol>
                {said.lies.into_iter().map(line).collect_view()}
                {said.short.map(|words| view! { <p class="after bad">{format!("✕ {words}")}</p> })}
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
