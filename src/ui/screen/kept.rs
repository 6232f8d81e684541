//! The sign that says whether what is on the screen is on the phone.

use crate::state::{Desk, Keeping};
use crate::ui::memo::memo;
use leptos::prelude::*;

/// Whether all is kept: a sign beside the title. While something is being written it says nothing.
#[component]
pub(crate) fn KeptSign() -> impl IntoView {
    let desk = expect_context::<Desk>();
    let kept = memo(move || {
        desk.keeping.with(|k| match k {
            Keeping::Kept => ["kept", "✓", "Kept"],
            Keeping::Writing => ["writing", "", ""],
            Keeping::Failed(_) => ["failed", "✕ not kept", "Not kept"],
        })
    });
    view! {
        <span
            class="kept-sign"
            role="img"
            data-testid="kept"
            data-kept=move || kept.get()[0]
            aria-label=move || kept.get()[2]
        >
            {move || kept.get()[1]}
        </span>
    }
}
