//! The boat at the fill that is looked at: drawn as it floats, the slider, and the figures.

use crate::signal::{Memo, RwSignal, memo};
use crate::state::{Desk, Dived};
use crate::ui::dive_text::{self, Now};
use crate::ui::node::{Node, view};
use crate::ui::widget::{
    Drawing, FillPlayer, FillSlider, Motion, PassageScene, Scene, between, drawn_of, stops,
};
use crate::words::t;
use leptos::prelude::*;
use trimwright::dive::{LEANS, lean_of};
use trimwright::fit::Lean;
use trimwright::float::{Heading, SweepRow};

/// Seconds in which the whole way is played.
const PLAYED_IN: f64 = 10.0;

/// The fill that is looked at in whole per cents: figures that change faster cannot be read.
pub(super) fn whole_per_cent(desk: Desk) -> Memo<f64> {
    memo(move || (desk.dive.fill.get() * 100.0).round() / 100.0)
}

/// Something of the row that is nearest to the fill that is looked at.
fn at_the_fill<T>(
    desk: Desk,
    of: impl Fn(&Dived, &SweepRow) -> T + Send + Sync + 'static,
) -> Memo<Option<T>>
where
    T: PartialEq + Send + Sync + 'static,
{
    let fill = whole_per_cent(desk);
    memo(move || {
        let dived = desk.dive.shown()?;
        dived.way.sweep.row_nearest(fill.get()).map(|row| of(&dived, row))
    })
}

fn lean(dived: &Dived, row: &SweepRow) -> Lean {
    lean_of(row, dived.height_spread())
}

/// What moves: the way as scenes, and each tank's fill, by rising fill of all.
#[derive(Debug, Clone, PartialEq, Default)]
struct Moving {
    stops: Vec<PassageScene>,
    fills: Vec<(f64, Vec<f64>)>,
}

impl Moving {
    fn of(dived: &Dived) -> Self {
        let mut rows: Vec<&SweepRow> = dived.way.sweep.rows.iter().collect();
        if dived.heading == Heading::Up {
            rows.reverse();
        }
        Self {
            stops: stops(rows.iter().map(|row| (row.fill, &row.outcome))),
            fills: rows.iter().map(|row| (row.fill, row.fills.clone())).collect(),
        }
    }

    /// Each tank's fill at a fill of all.
    fn fills_at(&self, fill: f64) -> Vec<f64> {
        let after = self.fills.partition_point(|(at, _)| *at < fill);
        let Some((to, full)) = self.fills.get(after).or(self.fills.last()) else {
            return Vec::new();
        };
        let Some((from, less)) = after.checked_sub(1).and_then(|k| self.fills.get(k)) else {
            return full.clone();
        };
        let share = if to > from { ((fill - from) / (to - from)).clamp(0.0, 1.0) } else { 1.0 };
        less.iter().zip(full).map(|(a, b)| a + (b - a) * share).collect()
    }
}

/// The moving picture, and the button that runs it.
#[component]
pub(super) fn Picture(
    /// What moves the boat.
    motion: RwSignal<Motion>,
) -> Node {
    let desk = expect_context::<Desk>();
    let dive = desk.dive;
    let words = at_the_fill(desk, |dived, row| dive_text::picture(row, lean(dived, row)));
    let moving = memo(move || dive.shown().map(|d| Moving::of(&d)).unwrap_or_default());
    let scene = memo(move || {
        let fill = dive.fill.get();
        moving.with(|m| between(&m.stops, fill)).unwrap_or(Scene::upright([0.0; 3]))
    });
    let fills = Memo::from(move || moving.with(|m| m.fills_at(dive.fill.get())));
    // The same boat taken another way, or followed again, is drawn already.
    let hand = Memo::new_with_compare(
        move |_| dive.shown().map(|d| d.hand.clone()),
        |a, b| {
            a.zip(b).is_none_or(|(a, b)| match (a, b) {
                (Some(a), Some(b)) => a.boat != b.boat,
                (a, b) => a.is_some() != b.is_some(),
            })
        },
    );
    let drawing = move || {
        hand.get().map(|hand| {
            view! {
                <Drawing
                    parts=Memo::fixed(drawn_of(&hand))
                    hand=Memo::fixed(hand)
                    scene
                    words=Memo::from(move || words.get().unwrap_or_default())
                    fills
                    moving=Memo::from(move || motion.get() != Motion::Rest)
                />
            }
        })
    };
    view! { {drawing} }
}

/// The fill, and the button that runs it.
#[component]
pub(super) fn Player(
    /// What moves the boat.
    motion: RwSignal<Motion>,
) -> Node {
    let dive = expect_context::<Desk>().dive;
    let up = Memo::from(move || dive.heading.get() == Heading::Up);
    view! { <FillPlayer fill=dive.fill up lasts=PLAYED_IN motion /> }
}

/// The slider.
#[component]
pub(super) fn Slider(
    /// What moves the boat.
    motion: RwSignal<Motion>,
) -> Node {
    let dive = expect_context::<Desk>().dive;
    let marks = memo(move || dive.shown().map(|d| worth_finding(&d)).unwrap_or_default());
    view! { <FillSlider fill=dive.fill marks motion /> }
}

/// Where on the way something is worst, if it is bad there.
fn worth_finding(dived: &Dived) -> Vec<(f64, String)> {
    let worst = dived.way.summary.worst;
    let mut marks = Vec::new();
    if worst.lean.value.abs() > LEANS {
        marks.push((worst.lean.fill, t!("dive.leans_most")));
    }
    if worst.gm.value <= 0.0 || marks.is_empty() {
        marks.push((worst.gm.fill, t!("dive.least_gm")));
    }
    marks
}

/// The figures, large.
#[component]
pub(super) fn AtTheFill() -> Node {
    let desk = expect_context::<Desk>();
    let now = at_the_fill(desk, |dived, row| Now::of(row, lean(dived, row)));
    let tile = move |label: String, testid: &'static str, of: fn(Now) -> [String; 2]| {
        let both = move |k: usize| now.get().map(|now| of(now)[k].clone());
        view! {
            <div>
                <dt>{label} " " <b data-testid=format!("{testid}-kind")>{move || both(1)}</b></dt>
                <dd data-testid=testid>{move || both(0)}</dd>
            </div>
        }
    };
    view! {
        <dl class="tiles">
            {tile(t!("dive.lean"), "dive-list", |now| [now.list, now.kind])}
            {tile(t!("dive.gm"), "dive-gm", |now| [now.gm, String::new()])}
            {tile(t!("past.trim"), "dive-trim", |now| [now.trim, String::new()])}
            {tile(t!("dive.buoyancy"), "dive-buoyancy", |now| [now.buoyancy, String::new()])}
        </dl>
    }
}
