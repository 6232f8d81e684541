//! The boat at the fill that is looked at: drawn as it floats, the slider, and the figures.

use crate::state::{Dived, Session};
use crate::ui::dive_text::{self, Now, share};
use crate::ui::memo::memo;
use crate::ui::widget::{Drawing, Scene};
use leptos::prelude::*;
use std::sync::Arc;
use trimwright::dive::lean_of;
use trimwright::fit::{Lean, ModelSpread};
use trimwright::float::SweepRow;

/// Something of the row that is nearest to the fill that is looked at.
fn at_the_fill<T>(
    session: Session,
    of: impl Fn(&Dived, &SweepRow) -> T + Send + Sync + 'static,
) -> Memo<Option<T>>
where
    T: PartialEq + Send + Sync + 'static,
{
    memo(move || {
        let fill = session.dive.fill.get();
        let dived = session.dive.shown()?;
        dived.way.sweep.nearest(fill).map(|row| of(&dived, row))
    })
}

fn lean(row: &SweepRow) -> Lean {
    lean_of(row, ModelSpread::LEDGER)
}

/// The moving picture.
#[component]
pub(super) fn Picture() -> impl IntoView {
    let session = expect_context::<Session>();
    let words = at_the_fill(session, |_, row| dive_text::picture(row, lean(row)));
    let scene = at_the_fill(session, |_, row| Scene::of_outcome(&row.outcome));
    let hand = Memo::new_with_compare(
        move |before: Option<&Option<Arc<_>>>| {
            session.dive.shown().map(|d| Arc::clone(&d.hand)).or_else(|| before.cloned().flatten())
        },
        |_, _| true,
    );
    view! {
        {move || hand.get().map(|hand| {
            let scene = Signal::derive(move || scene.get().unwrap_or(Scene::upright([0.0; 3])));
            view! { <Drawing hand scene words=Signal::derive(move || words.get().unwrap_or_default()) /> }
        })}
    }
}

/// The slider.
#[component]
pub(super) fn Fill() -> impl IntoView {
    let session = expect_context::<Session>();
    let fill = session.dive.fill;
    view! {
        <label class="fill">
            <span>{move || share(fill.get())}</span>
            <input
                type="range"
                min="0"
                max="100"
                data-testid="dive-fill"
                prop:value=move || (fill.get() * 100.0).to_string()
                on:input=move |ev| {
                    fill.set(event_target_value(&ev).parse::<f64>().unwrap_or(0.0) / 100.0);
                }
            />
        </label>
    }
}

/// The figures, large.
#[component]
pub(super) fn AtTheFill() -> impl IntoView {
    let session = expect_context::<Session>();
    let now = at_the_fill(session, |_, row| Now::of(row, lean(row)));
    let tile = move |label: &'static str, testid: &'static str, of: fn(Now) -> String| {
        view! {
            <div>
                <dt>{label}</dt>
                <dd data-testid=testid>{move || now.get().map(of)}</dd>
            </div>
        }
    };
    view! {
        <dl class="tiles">
            {tile("Lean", "dive-list", |now| if now.kind.is_empty() { now.list } else { format!("{}, {}", now.list, now.kind) })}
            {tile("GM", "dive-gm", |now| now.gm)}
            {tile("Trim", "dive-trim", |now| now.trim)}
            {tile("Buoyancy", "dive-buoyancy", |now| now.buoyancy)}
        </dl>
    }
}
