//! The sign that says whether what is on the screen is on the phone.

use crate::state::{Desk, Keeping};
use crate::ui::memo::memo;
use leptos::prelude::*;

/// Whether all is kept: a sign and a word.
#[component]
pub(crate) fn KeptSign() -> impl IntoView {
    let desk = expect_context::<Desk>();
    let kept = memo(move || {
        desk.keeping.with(|k| match k {
            Keeping::Kept => ("kept", "✓ Kept"),
            Keeping::Writing => ("writing", "… Keeping"),
            Keeping::Failed(_) => ("failed", "✕ Not kept"),
        })
    });
    view! {
        <p class="kept-sign" data-testid="kept" data-kept=move || kept.get().0>
            {move || kept.get().1}
        </p>
    }
}
