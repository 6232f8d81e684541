//! The figures of a reading: water at the marks, how full and how heavy under water, list and trim.

use crate::device::language::in_small_letters;
use crate::signal::{Callback, Memo, memo};
use crate::state::{BoatInHand, Desk};
use crate::ui::node::{Node, rows, view};
use crate::ui::text;
use crate::ui::widget::{Sided, StepTo, Stepper};
use crate::words::speech::speech;
use crate::words::{Word, t, word};
use leptos::prelude::*;
use std::sync::Arc;
use trimwright::answer::Field;
use trimwright::boat::Mark;
use trimwright::diary::{ConditionRecord, Draft};
use trimwright::unit::{DEGREE, MILLIMETRE, Unit, read_number};

/// The step by which an angle is set with buttons, radians.
const ANGLE_STEP: f64 = 0.1 * DEGREE;

/// The marks that are in use.
#[component]
pub(super) fn Marks(
    /// The boat.
    hand: Arc<BoatInHand>,
) -> Node {
    let desk = expect_context::<Desk>();
    let draft = desk.derived.draft;
    let names = names_in_order(&hand.boat.marks);
    let shown = memo(move || draft.with(|d| marks_in_use(d, &names)));
    view! {
        <div class="steppers">
            {rows(
                move || shown.get(),
                String::clone,
                move |_, name| {
                    let called = called(&hand.boat.marks, &name);
                    view! { <MarkStepper name called /> }
                },
            )}
        </div>
    }
}

/// Water at one mark. Its side is kept as the sign of its text.
#[component]
fn MarkStepper(
    /// The mark's name.
    name: String,
    /// The same with its side, where it has one.
    called: String,
) -> Node {
    let desk = expect_context::<Desk>();
    let draft = desk.derived.draft;
    let (read, written, asked) = (name.clone(), name.clone(), name.clone());
    let value =
        memo(move || draft.with(|d| d.marks.get(&read).map(|t| Sided::of(t)).unwrap_or_default()));
    let change = Callback::new(move |typed: Sided| {
        // Without a figure there is no side.
        let text = if typed.text.is_empty() { String::new() } else { typed.signed() };
        desk.edit(|d| {
            d.marks.insert(written.clone(), text);
        });
    });
    let flip = move |()| {
        let Sided { text, less } = value.get_untracked();
        if text.is_empty() {
            change.run(Sided { text: "0".to_owned(), less });
        } else {
            change.run(Sided { text, less: !less });
        }
    };
    let unit = speech().length_unit();
    let side = memo(move || {
        value.with(|v| match read_number(&v.text) {
            Err(_) if v.text.is_empty() => t!("widget.not_read"),
            Ok(figure) if is_nothing(figure) => t!("said.at_mark"),
            _ if v.less => t!("said.below_mark", length = unit.sign),
            _ => t!("said.above_mark", length = unit.sign),
        })
    });
    let step = speech().length_step();
    let by = text::millimetres(step);
    let button = |sign, key: Word| StepTo {
        sign,
        word: String::new(),
        label: t!(key, mark = called, length = by),
    };
    view! {
        <Stepper
            label=t!("widget.water_at", mark = called)
            testid=format!("mark-{name}")
            value
            change
            flip
            side
            problem=memo(move || desk.derived.problem(&Field::Mark(asked.clone())))
            aside=aside(desk, format!("mark {name}"))
            unit
            step
            buttons=[button("▼", word!("widget.mark_lower")), button("▲", word!("widget.mark_higher"))]
        />
    }
}

/// That a figure is set aside, by what it is called in the record, in words.
fn aside(desk: Desk, name: String) -> Memo<Option<String>> {
    memo(move || {
        let is_aside = desk.derived.draft.with(|d| d.aside.contains(&name));
        is_aside.then(|| t!("aside.is_aside"))
    })
}

/// True for a figure that has no side.
fn is_nothing(figure: f64) -> bool {
    figure.abs() < f64::MIN_POSITIVE
}

/// Buttons that bring in the marks not yet in use; tapping them in the drawing does the same.
#[component]
#[expect(clippy::needless_pass_by_value, reason = "components own their props")]
pub(super) fn MoreMarks(
    /// The boat.
    hand: Arc<BoatInHand>,
) -> Node {
    let desk = expect_context::<Desk>();
    let draft = desk.derived.draft;
    let names = names_in_order(&hand.boat.marks);
    let hidden = memo(move || {
        draft.with(|d| {
            if d.condition == ConditionRecord::Under {
                return Vec::new();
            }
            let shown = marks_in_use(d, &names);
            names.iter().filter(|n| !shown.contains(n)).cloned().collect::<Vec<_>>()
        })
    });
    view! {
        <div class="more-marks" hidden=move || hidden.with(Vec::is_empty)>
            {rows(
                move || hidden.get(),
                String::clone,
                move |_, name| {
                    let wanted = name.clone();
                    view! {
                        <button
                            type="button"
                            class="quiet-button"
                            on:click=move |_| {
                                desk.edit(|d| {
                                    d.marks.entry(wanted.clone()).or_default();
                                });
                            }
                        >
                            {t!("reading.more_mark", mark = name)}
                        </button>
                    }
                },
            )}
        </div>
    }
}

/// The outermost two marks, and those with a figure or asked for.
fn marks_in_use(draft: &Draft, names: &[String]) -> Vec<String> {
    let last = names.len().saturating_sub(1);
    let wanted = |(k, n): &(usize, &String)| *k == 0 || *k == last || draft.marks.contains_key(*n);
    names.iter().enumerate().filter(wanted).map(|(_, n)| n.clone()).collect()
}

/// The marks' names in the order of the drawing, which has the stern on the left.
fn names_in_order(marks: &[Mark]) -> Vec<String> {
    let mut marks: Vec<&Mark> = marks.iter().collect();
    marks.sort_by(|a, b| a.at.x().total_cmp(&b.at.x()));
    marks.into_iter().map(|mark| mark.name.clone()).collect()
}

/// A mark by its name, and by its side if it is off the centre line: water stands higher on one side of a
/// boat that lists.
fn called(marks: &[Mark], name: &str) -> String {
    const ASIDE: f64 = MILLIMETRE;
    let (key, side) = match marks.iter().find(|mark| mark.name == name).map(|mark| mark.at.y()) {
        Some(y) if y > ASIDE => (word!("widget.mark_to_port"), t!("reading.port")),
        Some(y) if y < -ASIDE => (word!("widget.mark_to_starboard"), t!("reading.starboard")),
        _ => return name.to_owned(),
    };
    // Its builder may have said so already.
    let says_it = in_small_letters(name).contains(&in_small_letters(&side));
    if says_it { name.to_owned() } else { t!(key, mark = name) }
}

/// A figure of the draft whose side is kept beside it.
#[derive(Clone, Copy)]
struct SidedFigure {
    field: fn() -> Field,
    read: fn(&Draft) -> (&String, bool),
    text: fn(&mut Draft) -> (&mut String, &mut bool),
    label: Word,
    testid: &'static str,
    /// The words for nothing, more and less, behind the unit.
    sides: [Word; 3],
    /// The words on the buttons to less and more.
    words: [Word; 2],
    signs: [&'static str; 2],
}

const RESIDUAL: SidedFigure = SidedFigure {
    field: || Field::Residual,
    read: |d| (&d.residual, d.residual_light),
    text: |d| (&mut d.residual, &mut d.residual_light),
    label: word!("reading.weight_under"),
    testid: "residual",
    sides: [word!("said.neutral"), word!("reading.heavy"), word!("reading.light")],
    words: [word!("reading.lighter"), word!("reading.heavier")],
    signs: ["▲", "▼"],
};

const LIST: SidedFigure = SidedFigure {
    field: || Field::List,
    read: |d| (&d.list, d.list_to_port),
    text: |d| (&mut d.list, &mut d.list_to_port),
    label: word!("past.list"),
    testid: "list",
    sides: [word!("said.upright"), word!("dive.to_starboard"), word!("dive.to_port")],
    words: [word!("reading.port"), word!("reading.starboard")],
    signs: ["◄", "►"],
};

const TRIM: SidedFigure = SidedFigure {
    field: || Field::Trim,
    read: |d| (&d.trim, d.trim_by_stern),
    text: |d| (&mut d.trim, &mut d.trim_by_stern),
    label: word!("reading.trim"),
    testid: "trim",
    sides: [word!("said.level"), word!("reading.bow_down"), word!("reading.stern_down")],
    words: [word!("reading.stern"), word!("reading.bow")],
    signs: ["◄", "►"],
};

/// Grams heavy or light under water.
#[component]
pub(super) fn ResidualStepper() -> Node {
    view! { <KeptStepper of=RESIDUAL unit=speech().mass_unit() step=speech().mass_step() /> }
}

/// List or trim.
#[component]
pub(super) fn AngleStepper(
    /// Trim rather than list.
    trim: bool,
) -> Node {
    let of = if trim { TRIM } else { LIST };
    view! { <KeptStepper of unit=Unit::DEGREES step=ANGLE_STEP /> }
}

/// A figure whose side is kept beside it, and can be chosen before it.
#[component]
fn KeptStepper(
    /// Which.
    of: SidedFigure,
    /// In what it is typed.
    unit: Unit,
    /// The step, SI.
    step: f64,
) -> Node {
    let desk = expect_context::<Desk>();
    let value = memo(move || {
        desk.derived.draft.with(|draft| {
            let (text, less) = (of.read)(draft);
            Sided { text: text.clone(), less }
        })
    });
    let change = move |typed: Sided| {
        desk.edit(|d| {
            let (text, less) = (of.text)(d);
            (*text, *less) = (typed.text, typed.less);
        });
    };
    let flip = move |()| desk.edit(|d| *(of.text)(d).1 ^= true);
    let [nothing, more, less] = of.sides;
    let side = memo(move || {
        value.with(|v| match read_number(&v.text) {
            Ok(figure) if is_nothing(figure) => t!(nothing),
            _ => format!("{} {}", unit.sign, t!(if v.less { less } else { more })),
        })
    });
    let by = speech().written(unit, step, if unit == Unit::DEGREES { 1 } else { unit.coarse });
    let label = t!(of.label);
    let button = |k: usize| StepTo {
        sign: of.signs[k],
        word: t!(of.words[k]),
        label: format!("{label} {by} {}", t!(of.sides[2 - k])),
    };
    let buttons = [button(0), button(1)];
    view! {
        <Stepper
            label
            testid=of.testid
            value
            change
            flip
            side
            problem=memo(move || desk.derived.problem(&(of.field)()))
            aside=aside(desk, of.testid.to_owned())
            unit
            step
            buttons
        />
    }
}
