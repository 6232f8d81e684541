//! How full the tanks are: a slider under the thumb, and a button that runs it by itself.

use crate::device::motion::{each_frame, prefers_stillness};
use crate::signal::{Memo, RwSignal, StoredValue, memo};
use crate::ui::node::{CollectNode, Node, view};
use crate::words::t;
use leptos::ev::KeyboardEvent;
use leptos::prelude::*;

/// What moves the boat.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) enum Motion {
    /// Nothing: it settles.
    #[default]
    Rest,
    /// A thumb on the slider.
    Held,
    /// The clock.
    Playing,
}

/// A slider for the share of the tanks that is full, with the figure over it.
#[component]
pub(crate) fn FillSlider(
    /// Share that is full, 0 to 1.
    fill: RwSignal<f64>,
    /// Shares worth finding, and what is there.
    #[prop(into)]
    marks: Memo<Vec<(f64, String)>>,
    /// What moves the boat.
    motion: RwSignal<Motion>,
) -> Node {
    let percent = move || (fill.get() * 100.0).round();
    // By half per cents: a slider costs the browser as much as half of the boat.
    let shown = memo(move || (fill.get() * 200.0).round() / 200.0);
    let words = move || {
        let there = marks.with(|all| mark_at(all, fill.get()).map(str::to_owned));
        let there = there.map(|what| format!(", {what}")).unwrap_or_default();
        t!("widget.fill_value", percent = percent(), there = there)
    };
    let typed = move |ev| {
        if let Ok(percent) = event_target_value(&ev).parse::<f64>() {
            motion.set(Motion::Held);
            fill.set((percent / 100.0).clamp(0.0, 1.0));
        }
    };
    let let_go = move || motion.update(|m| *m = m.let_go());
    let key = move |ev: KeyboardEvent| {
        if let Some(to) = after_key(fill.get_untracked(), &ev.key()) {
            ev.prevent_default();
            motion.set(Motion::Rest);
            fill.set(to);
        }
    };
    let ticks = move || {
        marks.with(|all| {
            let rows = rows_of(all);
            let tick = |((share, what), row): (&(f64, String), usize)| {
                let style = format!("--share: {share:.4}; --row: {row}");
                let side = if *share > 0.5 { "fill-mark left" } else { "fill-mark" };
                view! { <span class=side prop:style=style>{what.clone()}</span> }
            };
            all.iter().zip(rows).map(tick).collect_node()
        })
    };
    let n_rows = move || marks.with(|all| rows_of(all).into_iter().max().map_or(0, |row| row + 1));
    view! {
        <div class="fill" prop:style=move || format!("--rows: {}", n_rows())>
            <div class="fill-marks" aria-hidden="true">{ticks}</div>
            <input
                type="range"
                min="0"
                max="100"
                step="any"
                data-testid="fill"
                aria-label=t!("widget.fill")
                aria-valuetext=words
                prop:style=move || format!("--share: {:.4}", shown.get())
                prop:value=move || format!("{:.1}", shown.get() * 100.0)
                on:input=typed
                on:keydown=key
                on:pointerdown=move |_| motion.set(Motion::Held)
                on:pointerup=move |_| let_go()
                on:pointercancel=move |_| let_go()
                on:change=move |_| let_go()
            />
        </div>
    }
}

/// The figure, and the button that runs the slider to its end.
#[component]
pub(crate) fn FillPlayer(
    /// Share that is full, 0 to 1.
    fill: RwSignal<f64>,
    /// The way is up: the tanks empty.
    #[prop(into)]
    up: Memo<bool>,
    /// How long the whole way takes, seconds.
    lasts: f64,
    /// What moves the boat.
    motion: RwSignal<Motion>,
) -> Node {
    let is_playing = move || motion.get() == Motion::Playing;
    // A loop ends when another was started after it.
    let started = StoredValue::new(0_u32);
    let play = move || {
        let end = end_of(up.get_untracked());
        if (fill.get_untracked() - end).abs() < 1e-9 {
            fill.set(1.0 - end);
        }
        motion.set(Motion::Playing);
        let mine = started.try_update_value(|n| {
            *n = n.wrapping_add(1);
            *n
        });
        let still = prefers_stillness();
        // The first step at once, so that something answers the tap.
        let mut waited = STEP_EVERY;
        each_frame(Box::new(move |passed| {
            let goes_on = started.try_get_value() == mine
                && motion.try_get_untracked() == Some(Motion::Playing);
            let (Some(now), true) = (fill.try_get_untracked(), goes_on) else { return false };
            let up = up.try_get_untracked().unwrap_or(false);
            let to = if still {
                waited += passed;
                if waited < STEP_EVERY {
                    return true;
                }
                waited = 0.0;
                next_step(now, up)
            } else {
                let by = passed / lasts.max(0.1);
                (if up { now - by } else { now + by }).clamp(0.0, 1.0)
            };
            fill.set(to);
            let ended = (to - end_of(up)).abs() < 1e-9;
            if ended {
                motion.set(Motion::Rest);
            }
            !ended
        }));
    };
    let tap = move |_| if is_playing() { motion.set(Motion::Rest) } else { play() };
    view! {
        <div class="fill-player">
            <button
                type="button"
                class="play"
                data-testid="play"
                aria-label=move || {
                    match (is_playing(), up.get()) {
                        (true, _) => t!("widget.pause"),
                        (false, false) => t!("widget.play_down"),
                        (false, true) => t!("widget.play_up"),
                    }
                }
                on:click=tap
            >
                {move || if is_playing() { "❚❚" } else { "▶" }}
            </button>
            <output class="fill-figure" data-testid="fill-figure">
                <b>{move || format!("{}\u{2009}%", (fill.get() * 100.0).round())}</b>
                " " {t!("dive.full_word")}
            </output>
        </div>
    }
}

impl Motion {
    /// After the thumb was lifted.
    fn let_go(self) -> Self {
        if self == Self::Held { Self::Rest } else { self }
    }
}

/// Seconds between two steps for somebody who wants no movement, and how far each goes.
const STEP_EVERY: f64 = 1.0;
const STEPS: f64 = 10.0;

fn end_of(up: bool) -> f64 {
    if up { 0.0 } else { 1.0 }
}

/// The next whole tenth on the way.
fn next_step(fill: f64, up: bool) -> f64 {
    let tenths = fill * STEPS;
    let next = if up { (tenths - 1e-6).ceil() - 1.0 } else { (tenths + 1e-6).floor() + 1.0 };
    (next / STEPS).clamp(0.0, 1.0)
}

/// Where a key moves the slider: a per cent or ten, whole ones.
fn after_key(fill: f64, key: &str) -> Option<f64> {
    let percent = fill * 100.0;
    let to = match key {
        "ArrowRight" | "ArrowUp" => (percent + 1e-6).floor() + 1.0,
        "ArrowLeft" | "ArrowDown" => (percent - 1e-6).ceil() - 1.0,
        "PageUp" => percent.round() + 10.0,
        "PageDown" => percent.round() - 10.0,
        "Home" => 0.0,
        "End" => 100.0,
        _ => return None,
    };
    Some((to / 100.0).clamp(0.0, 1.0))
}

/// What is at a share, if it is the same whole per cent.
fn mark_at(marks: &[(f64, String)], fill: f64) -> Option<&str> {
    let same = |(share, _): &&(f64, String)| (share - fill).abs() <= 0.005;
    marks.iter().find(same).map(|(_, what)| what.as_str())
}

/// Room that a letter over the slider takes, as a share of its length on a small phone.
const LETTER: f64 = 0.024;

/// The row that the words of each mark stand in, 0 for the lowest, so that none lie on others.
/// Words right of the middle end at their mark, the others begin there.
fn rows_of(marks: &[(f64, String)]) -> Vec<usize> {
    let mut taken: Vec<(usize, [f64; 2])> = Vec::new();
    for (share, what) in marks {
        let long = LETTER * (what.chars().count() + 2) as f64;
        let [from, to] = if *share > 0.5 { [share - long, *share] } else { [*share, share + long] };
        let free = |row: &usize| !taken.iter().any(|(r, [a, b])| r == row && from < *b && *a < to);
        let row = (0..marks.len()).find(free).unwrap_or(0);
        taken.push((row, [from, to]));
    }
    taken.into_iter().map(|(row, _)| row).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_go_to_whole_per_cents() {
        let after = |fill: f64, key| after_key(fill, key).map(|f| (f * 1e4).round() / 1e2);
        for (fill, key, wanted) in [
            (0.364, "ArrowRight", Some(37.0)),
            (0.364, "ArrowLeft", Some(36.0)),
            (0.36, "ArrowUp", Some(37.0)),
            (0.36, "ArrowDown", Some(35.0)),
            (0.29, "ArrowRight", Some(30.0)),
            (0.95, "PageUp", Some(100.0)),
            (0.0, "ArrowLeft", Some(0.0)),
            (0.5, "End", Some(100.0)),
            (0.5, "a", None),
        ] {
            assert_eq!(after(fill, key), wanted, "{key} at {fill}");
        }
    }

    #[test]
    fn without_movement_it_goes_by_tenths_to_the_end() {
        for (from, up, wanted) in [
            (0.0, false, 0.1),
            (0.34, false, 0.4),
            (0.4, false, 0.5),
            (1.0, true, 0.9),
            (0.34, true, 0.3),
        ] {
            let next = next_step(from, up);
            assert!((next - wanted).abs() < 1e-12, "from {from}, up {up}: {next}");
        }
        let mut fill = 0.0;
        for _ in 0..10 {
            fill = next_step(fill, false);
        }
        assert!((fill - 1.0).abs() < 1e-12, "ten steps: {fill}");
    }

    #[test]
    fn words_over_the_slider_do_not_lie_on_one_another() {
        let marks = |all: &[(f64, &str)]| -> Vec<(f64, String)> {
            all.iter().map(|(share, what)| (*share, (*what).to_owned())).collect()
        };
        assert_eq!(rows_of(&marks(&[(0.1, "under"), (0.9, "leans")])), [0, 0], "far apart");
        let near = marks(&[(0.3, "leans most"), (0.36, "least GM"), (0.4, "bow highest")]);
        assert_eq!(rows_of(&near), [0, 1, 2], "near one another");
    }

    #[test]
    fn what_is_at_the_same_per_cent_is_said() {
        let marks = vec![(0.62, "leans most".to_owned())];
        assert_eq!(mark_at(&marks, 0.624), Some("leans most"), "there");
        assert_eq!(mark_at(&marks, 0.64), None, "past it");
    }
}
