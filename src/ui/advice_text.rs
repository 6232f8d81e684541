//! The advice put into words: what to do, where, and what comes of it.

use super::figures::percent;
use super::text::{
    THIN, across, all_of, along, lies, liquid, lower_first, millimetres, to_side, upper_first,
    whole_grams,
};
use crate::state::Datum;
use crate::words::speech::speech;
use crate::words::{self, t, word};
use trimwright::answer::{NextReading, ReadNext};
use trimwright::ballast::{Advice, Step, Verdict, Weight};
use trimwright::diary::{WeightMaterial, figure_name};
use trimwright::fit::{Contradiction, Fit, Help, Lean, Unknown};
use trimwright::reading::{Reading, Seen};
use trimwright::unit::{GRAM, MILLIMETRE, Mass, OUNCE};

/// A spread in millimetres, never less than one.
fn spread_mm(metres: f64) -> String {
    format!("±{THIN}{}", millimetres(metres.abs().max(MILLIMETRE)))
}

/// The answer in its parts, largest first.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct AdviceText {
    /// What to do, in three words.
    pub(crate) main: String,
    /// Its ±.
    pub(crate) spread: String,
    /// Where, a line each.
    pub(crate) places: Vec<String>,
    /// A word for machines and tests: what kind of advice it is.
    pub(crate) kind: &'static str,
}

impl AdviceText {
    /// What is to be done, a line each.
    pub(crate) fn lines(self) -> Vec<String> {
        let main = format!("{} {}", self.main, self.spread).trim().to_owned();
        std::iter::once(main).chain(self.places).collect()
    }

    /// The same when what is shifted is a part of that name.
    pub(crate) fn of_part(self, name: &str) -> Self {
        if self.kind == "shift" {
            Self { main: t!("advice.shift", what = name), ..self }
        } else {
            self
        }
    }
}

/// The advice in words.
pub(crate) fn advice(advice: &Advice, datum: Datum) -> AdviceText {
    match advice.verdict {
        // A shift has nothing to do here, but something is wrong.
        Verdict::LeaveIt if advice.mass_left.is_some() => {
            AdviceText { main: t!("advice.no_shift"), kind: "none", ..AdviceText::default() }
        }
        Verdict::LeaveIt => {
            // Nothing found so far is not the same as nothing there.
            let (main, why) = if advice.untold.is_empty() {
                (t!("advice.leave"), t!("advice.leave_because"))
            } else {
                (t!("advice.read_more"), t!("advice.read_more_because"))
            };
            AdviceText { main, places: vec![why], kind: "leave", ..AdviceText::default() }
        }
        Verdict::ShiftMore { least } => AdviceText {
            main: t!("advice.too_light"),
            places: vec![t!("advice.take_at_least", mass = whole_grams(least))],
            kind: "none",
            ..AdviceText::default()
        },
        Verdict::NoLift => AdviceText {
            main: t!("advice.no_lift"),
            places: vec![t!("advice.no_lift_because")],
            kind: "none",
            ..AdviceText::default()
        },
        Verdict::Lower { moment } => lower(moment),
        Verdict::LiesOver { moment } => lies_over(moment),
        Verdict::TankTooSmall { lacking } => AdviceText {
            main: t!("both.tank_small"),
            places: vec![t!("both.tank_small_by", volume = liquid(lacking)), t!("both.air")],
            kind: "tank",
            ..AdviceText::default()
        },
        Verdict::ZeroFirst => AdviceText {
            main: t!("advice.zero_first"),
            places: vec![t!("advice.zero_first_because")],
            kind: "ask",
            ..AdviceText::default()
        },
        Verdict::LeanUntold => AdviceText {
            main: t!("advice.lean_untold"),
            places: vec![t!("advice.lean_untold_because"), t!("advice.push_it_over")],
            kind: "ask",
            ..AdviceText::default()
        },
        Verdict::TankUntold => AdviceText {
            main: t!("advice.tank_untold"),
            places: vec![t!("advice.tank_untold_because")],
            kind: "ask",
            ..AdviceText::default()
        },
        Verdict::Do => match advice.steps.as_slice() {
            [first, rest @ ..] => {
                let mut text = step(first, &advice.untold, datum);
                text.places.extend(rest.iter().map(|next| then(next, &advice.untold, datum)));
                text
            }
            [] => AdviceText { main: t!("advice.leave"), kind: "leave", ..AdviceText::default() },
        },
    }
}

fn lower(moment: f64) -> AdviceText {
    AdviceText {
        main: t!("advice.lower"),
        spread: String::new(),
        places: vec![t!("advice.top_heavy"), lower_example(moment), t!("advice.not_sideways")],
        kind: "lower",
    }
}

pub(super) fn lower_example(moment: f64) -> String {
    // A handy weight to think with: most keels carry as much.
    let handy = match speech().mass {
        Mass::Gram => 500.0 * GRAM,
        Mass::Ounce => 16.0 * OUNCE,
    };
    let drop = moment / handy;
    t!("advice.lower_example", mass = whole_grams(handy), length = millimetres(drop))
}

fn lies_over(moment: f64) -> AdviceText {
    let mut places = vec![t!("advice.look_inside"), t!("advice.no_weight_sideways")];
    if moment > 0.0 {
        places.push(t!("advice.if_all_is_well", example = lower_example(moment)));
    }
    AdviceText { main: t!("advice.lies_over"), spread: String::new(), places, kind: "lies-over" }
}

fn step(step: &Step, untold: &[Unknown], datum: Datum) -> AdviceText {
    match step {
        Step::Add(weight) => put(false, weight, untold, datum),
        Step::TakeOff(weight) => put(true, weight, untold, datum),
        Step::Shift { mass, forward, to_port } => {
            let mut places = Vec::new();
            let moves = |by: f64| by.abs() > MILLIMETRE / 2.0;
            if !untold.contains(&Unknown::Along) && moves(forward.value) {
                let key =
                    if forward.value >= 0.0 { word!("said.forward") } else { word!("said.aft") };
                let by = t!(key, length = millimetres(forward.value.abs()));
                places.push(format!("{by} {}", spread_mm(forward.spread)));
            }
            if !untold.contains(&Unknown::Across) && moves(to_port.value) {
                let by = to_side(to_port.value >= 0.0, &millimetres(to_port.value.abs()));
                places.push(format!("{by} {}", spread_mm(to_port.spread)));
            }
            let main = t!("advice.shift", what = whole_grams(*mass));
            AdviceText { main, spread: String::new(), places, kind: "shift" }
        }
    }
}

/// A weight that is put on, or taken off.
fn put(taken: bool, weight: &Weight, untold: &[Unknown], datum: Datum) -> AdviceText {
    let mut places = Vec::new();
    let lost = untold.contains(&Unknown::Along) && untold.contains(&Unknown::Across);
    if lost {
        let place = upper_first(&weight.place.name);
        places.push(t!("advice.neither_read", place = place));
    } else if untold.contains(&Unknown::Along) {
        places.push(t!("advice.along_not_read"));
    } else {
        places.push(format!("{} {}", along(weight.x.value, datum), spread_mm(weight.x.spread)));
    }
    let place = &weight.place.name;
    if !untold.contains(&Unknown::Across) {
        let by = across(weight.y.value);
        places.push(format!("{by} {}, {place}", spread_mm(weight.y.spread)));
    } else if !lost {
        places.push(t!("advice.across_not_read", place = upper_first(place)));
    }
    let least = weight.mass.spread.max(weight.cut());
    let (much, spread) = if weight.floats() {
        let [volume, mass] = [speech().cut_volume(weight.volume()), whole_grams(weight.mass.value)];
        let spread = speech().cut_volume(least / weight.material);
        (t!("advice.foam", volume = volume, mass = mass), spread)
    } else {
        (whole_grams(weight.mass.value), whole_grams(least))
    };
    let key = if taken { word!("advice.take_off") } else { word!("advice.add") };
    // Lead is what ballast is, where nothing else is said; foam has been named.
    let main = match WeightMaterial::of_density(weight.material) {
        Some(of @ (WeightMaterial::Brass | WeightMaterial::Steel)) => {
            let key = if taken { word!("advice.take_off_of") } else { word!("advice.add_of") };
            t!(key, mass = much, material = words::material::of_weight(of))
        }
        _ => t!(key, mass = much),
    };
    let kind = if taken { "take-off" } else { "add" };
    AdviceText { main, spread: format!("±{THIN}{spread}"), places, kind }
}

/// A further step in one line.
fn then(next: &Step, untold: &[Unknown], datum: Datum) -> String {
    let text = step(next, untold, datum);
    let what = t!("advice.then", what = lower_first(&text.main));
    let what = format!("{what} {}", text.spread);
    match next {
        Step::Add(w) | Step::TakeOff(w) => {
            format!("{what}, {}, {}", along(w.x.value, datum), w.place.name)
        }
        Step::Shift { .. } => format!("{what} {}", text.places.join(", ")),
    }
}

/// A step that is not read of the boat but calculated: what, and where. A shift is of a `part`, if one serves.
pub(super) fn on_the_bench(what: &Step, part: Option<&str>, datum: Datum) -> [String; 2] {
    let text = step(what, &[], datum);
    let text = match part {
        Some(name) => text.of_part(name),
        None => text,
    };
    let main = match what {
        Step::Add(weight) if !weight.floats() => t!(
            "advice.add_of",
            mass = whole_grams(weight.mass.value),
            material = words::material::of_weight(WeightMaterial::Lead)
        ),
        _ => text.main,
    };
    [format!("{main} {}", text.spread).trim().to_owned(), text.places.join(", ")]
}

/// What a shift can't bring, in words.
pub(crate) fn mass_left(advice: &Advice) -> Option<String> {
    let left = advice.mass_left?;
    let key = if left > 0.0 { word!("advice.stays_light") } else { word!("advice.stays_heavy") };
    Some(t!(key, mass = whole_grams(left.abs())))
}

/// What the boat will do after the advice: "Then upright, level, marks within 1 mm".
pub(crate) fn after(advice: &Advice) -> String {
    let key =
        if advice.steps.is_empty() { word!("advice.now_lies") } else { word!("advice.then_lies") };
    t!(key, lies = lies(&advice.after, &advice.untold))
}

/// What was not read, and what to read next.
pub(crate) fn help(untold: &[Unknown], help: Option<&Help>) -> Option<String> {
    let missing: Vec<String> = untold
        .iter()
        .map(|u| match u {
            Unknown::Mass => t!("advice.missing_mass"),
            Unknown::Along => t!("advice.missing_trim"),
            Unknown::Across => t!("advice.missing_list"),
        })
        .collect();
    if missing.is_empty() {
        return None;
    }
    let next = match help.map(|h| &h.seen) {
        Some(Seen::WaterAtMark { mark, .. }) => t!("advice.next_mark", mark = mark.name),
        Some(Seen::List(_)) => t!("advice.next_list"),
        Some(Seen::Trim(_)) => t!("advice.next_trim"),
        Some(Seen::Residual(_)) => t!("advice.next_residual"),
        None => t!("advice.next_any"),
    };
    Some(t!("advice.help", missing = all_of(&missing), next = next))
}

/// What would narrow the answer most, and to what share of its ±.
pub(crate) fn read_next(next: ReadNext) -> String {
    let what = match next.what {
        NextReading::Afloat => t!("advice.narrow_afloat"),
        NextReading::Under => t!("advice.narrow_under"),
        NextReading::WeightAcross => t!("advice.narrow_weight"),
        NextReading::Scales => t!("advice.narrow_scales"),
        NextReading::Balance => t!("advice.narrow_balance"),
    };
    t!("advice.narrow", what = what, left = percent(next.left.max(0.0).sqrt()))
}

/// A chance below this is none to be told.
const WORTH_SAYING: f64 = 1e-3;

/// Whether it lists or lolls, with how probable that is; nothing of a boat that stands upright.
pub(crate) fn lean(fit: &Fit) -> Option<String> {
    let lolls = percent(fit.lolls);
    match fit.lean {
        Lean::List if fit.lolls > WORTH_SAYING => Some(t!("advice.it_lists", chance = lolls)),
        Lean::Upright | Lean::List => None,
        Lean::ListOrLoll => Some(t!("advice.it_may_loll", chance = lolls)),
        Lean::Loll => Some(t!("advice.it_lolls", chance = lolls)),
    }
}

/// Which figure does not fit the others.
pub(crate) fn contradiction(found: &Contradiction, reading: &Reading) -> String {
    t!("advice.contradiction", which = figure_read(reading, found.worst))
}

/// A figure of a reading in words, by its place in it.
pub(super) fn figure_read(reading: &Reading, which: usize) -> String {
    let seen = reading.observations.get(which).map(|o| &o.seen);
    seen.map_or_else(|| t!("advice.a_figure"), |seen| figure_words(&figure_name(seen)))
}

/// A figure in words, by what it is called in the record.
pub(crate) fn figure_words(name: &str) -> String {
    match name {
        "list" => t!("advice.missing_list"),
        "trim" => t!("advice.missing_trim"),
        "residual" => t!("advice.weight_under_water"),
        mark => mark.strip_prefix("mark ").unwrap_or(mark).to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::words::speech::while_speaking;
    use trimwright::unit::{Decimal, Length, Units};

    #[test]
    fn an_example_is_in_the_units_that_were_chosen() {
        let inches = Units { length: Length::Inch, mass: Mass::Ounce, decimal: Decimal::Comma };
        while_speaking(inches, || {
            let lower = lower(0.01).places;
            assert_eq!(lower[1], "For example 16,00\u{202f}oz lowered by 0,87\u{202f}in.", "handy");
        });
    }
}
