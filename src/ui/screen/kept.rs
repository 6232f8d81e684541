//! Whether what is on the screen is on the phone: a word, for a tick beside a boat's name would be taken
//! for a verdict on the boat.

use crate::signal::memo;
use crate::state::{Desk, Keeping};
use crate::ui::node::{Node, view};
use crate::words::t;
use leptos::prelude::*;

/// Whether all is kept, beside the title. While something is being written it says nothing.
#[component]
pub(crate) fn KeptSign() -> Node {
    let desk = expect_context::<Desk>();
    let kept = memo(move || {
        desk.keeping.with(|k| match k {
            Keeping::Kept => ["kept".to_owned(), t!("keeping.kept_sign"), t!("keeping.kept")],
            Keeping::Writing => ["writing".to_owned(), String::new(), String::new()],
            Keeping::Failed(_) => {
                ["failed".to_owned(), t!("keeping.not_kept_sign"), t!("keeping.not_kept")]
            }
        })
    });
    view! {
        <span
            class="kept-sign"
            role="img"
            data-testid="kept"
            data-kept=move || kept.with(|[state, ..]| state.clone())
            aria-label=move || kept.with(|[.., words]| words.clone())
        >
            {move || kept.with(|[_, sign, _]| sign.clone())}
        </span>
    }
}
