//! Results put into words. Signs become sides here, and SI becomes millimetres, grams, degrees.

use crate::state::{Datum, speech};
use trimwright::ballast::{Advice, Forecast, Step, Verdict, Weight};
use trimwright::diary::DatumRecord;
use trimwright::fit::{Contradiction, Help, Unknown};
use trimwright::float::Outcome;
use trimwright::reading::{Reading, Seen};
use trimwright::unit::{DEGREE, GRAM, Length, MILLIMETRE, Mass, OUNCE};

pub(crate) use trimwright::unit::THIN;

/// A plain number.
pub(crate) fn number(value: f64, decimals: usize) -> String {
    speech().number(value, decimals)
}

/// A mass, to the finer digit if it is little: whole grams, tenths below ten.
pub(crate) fn grams(kilograms: f64) -> String {
    speech().mass(kilograms)
}

/// A mass as it is weighed out: whole grams.
pub(crate) fn whole_grams(kilograms: f64) -> String {
    speech().whole_mass(kilograms)
}

/// A length as it is cut or marked: whole millimetres.
pub(crate) fn millimetres(metres: f64) -> String {
    speech().length(metres)
}

/// A small length: millimetres to the tenth.
pub(crate) fn fine_millimetres(metres: f64) -> String {
    speech().fine_length(metres)
}

/// What a tank holds.
pub(crate) fn liquid(cubic_metres: f64) -> String {
    speech().liquid(cubic_metres)
}

/// The sign of the unit of lengths.
pub(crate) fn length_sign() -> &'static str {
    speech().length_unit().sign
}

/// The sign of the unit of masses.
pub(crate) fn mass_sign() -> &'static str {
    speech().mass_unit().sign
}

/// A length, metres, on the scale of a chart.
pub(crate) fn on_scale(metres: f64) -> f64 {
    speech().length_unit().of(metres)
}

/// A figure beside the scale of a chart of lengths.
pub(crate) fn at_scale(on_scale: f64) -> String {
    millimetres(speech().length_unit().si(on_scale))
}

/// A fine figure on the scale of a chart of lengths.
pub(crate) fn fine_at_scale(on_scale: f64) -> String {
    fine_millimetres(speech().length_unit().si(on_scale))
}

/// Degrees to the tenth, without a sign.
pub(crate) fn degrees(radians: f64) -> String {
    format!("{}°", number((radians / DEGREE).abs(), 1))
}

/// An angle rounds to nothing when it is written.
fn is_nothing(radians: f64) -> bool {
    (radians / DEGREE).abs() < 0.05
}

/// "3.2° to starboard", "upright".
pub(crate) fn list(radians: f64) -> String {
    if is_nothing(radians) {
        return "upright".to_owned();
    }
    let side = if radians > 0.0 { "starboard" } else { "port" };
    format!("{} to {side}", degrees(radians))
}

/// "1.1° bow down", "level".
pub(crate) fn trim(radians: f64) -> String {
    if is_nothing(radians) {
        return "level".to_owned();
    }
    let end = if radians > 0.0 { "bow" } else { "stern" };
    format!("{} {end} down", degrees(radians))
}

/// "7 mm below", "at the mark".
pub(crate) fn water_at(above: f64) -> String {
    if speech().is_no_length(above) {
        return "at the mark".to_owned();
    }
    format!("{} {}", millimetres(above.abs()), if above > 0.0 { "above" } else { "below" })
}

/// "128 mm forward of midship".
pub(crate) fn along(x: f64, datum: Datum) -> String {
    let name = datum_name(datum.from);
    let from = x - datum.x;
    if speech().is_no_length(from) {
        return format!("at {name}");
    }
    let way = if from > 0.0 { "forward" } else { "aft" };
    format!("{} {way} of {name}", millimetres(from.abs()))
}

/// The datum in words.
pub(crate) fn datum_name(datum: DatumRecord) -> &'static str {
    match datum {
        DatumRecord::Midship => "midship",
        DatumRecord::Bow => "the bow tip",
        DatumRecord::Stern => "the stern",
    }
}

/// "22 mm to port", "on the centre line".
pub(crate) fn across(y: f64) -> String {
    if speech().is_no_length(y) {
        return "on the centre line".to_owned();
    }
    format!("{} to {}", millimetres(y.abs()), if y > 0.0 { "port" } else { "starboard" })
}

/// A spread in millimetres, never less than one.
fn spread_mm(metres: f64) -> String {
    format!("±{THIN}{}", millimetres(metres.abs().max(MILLIMETRE)))
}

/// The answer in its parts, largest first.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Said {
    /// What to do, in three words.
    pub(crate) main: String,
    /// Its ±.
    pub(crate) spread: String,
    /// Where, a line each.
    pub(crate) places: Vec<String>,
    /// A word for machines and tests: what kind of advice it is.
    pub(crate) kind: &'static str,
}

impl Said {
    /// What is to be done, a line each.
    pub(crate) fn lines(self) -> Vec<String> {
        let main = format!("{} {}", self.main, self.spread).trim().to_owned();
        std::iter::once(main).chain(self.places).collect()
    }

    /// The same when what is shifted is a part of that name.
    pub(crate) fn of_part(self, name: &str) -> Self {
        if self.kind == "shift" { Self { main: format!("Shift {name}"), ..self } } else { self }
    }
}

/// The advice in words.
pub(crate) fn advice(advice: &Advice, datum: Datum) -> Said {
    match advice.verdict {
        Verdict::LeaveIt => {
            // Nothing found so far is not the same as nothing there.
            let (main, why) = if advice.untold.is_empty() {
                ("Leave it", "That is inside what you can read.")
            } else {
                ("Read one more", "This figure alone does not say what is off.")
            };
            Said {
                main: main.to_owned(),
                places: vec![why.to_owned()],
                kind: "leave",
                ..Said::default()
            }
        }
        Verdict::ShiftMore { least } => Said {
            main: "Too light to shift".to_owned(),
            places: vec![format!("Take at least {}, or put weight on.", whole_grams(least))],
            kind: "none",
            ..Said::default()
        },
        Verdict::Lower { moment } => lower(moment),
        Verdict::Do => match advice.steps.as_slice() {
            [first, rest @ ..] => {
                let mut said = step(first, &advice.untold, datum);
                said.places.extend(rest.iter().map(|next| then(next, &advice.untold, datum)));
                said
            }
            [] => Said { main: "Leave it".to_owned(), kind: "leave", ..Said::default() },
        },
    }
}

fn lower(moment: f64) -> Said {
    // A handy weight to think with: most keels carry as much.
    let handy = match speech().mass {
        Mass::Gram => 500.0 * GRAM,
        Mass::Ounce => 16.0 * OUNCE,
    };
    let drop = moment / handy;
    Said {
        main: "Lower some weight".to_owned(),
        spread: String::new(),
        places: vec![
            "The boat is top-heavy: it falls to one side and stays there (loll).".to_owned(),
            format!("For example {} lowered by {}.", whole_grams(handy), millimetres(drop)),
            "Weight moved sideways would make it worse.".to_owned(),
        ],
        kind: "lower",
    }
}

fn step(step: &Step, untold: &[Unknown], datum: Datum) -> Said {
    match step {
        Step::Add(weight) => put("Add", "add", weight, untold, datum),
        Step::TakeOff(weight) => put("Take off", "take-off", weight, untold, datum),
        Step::Shift { mass, forward, to_port } => {
            let mut places = Vec::new();
            let moves = |by: f64| by.abs() > MILLIMETRE / 2.0;
            if !untold.contains(&Unknown::Along) && moves(forward.value) {
                let way = if forward.value >= 0.0 { "forward" } else { "aft" };
                let by = millimetres(forward.value.abs());
                places.push(format!("{by} {way} {}", spread_mm(forward.spread)));
            }
            if !untold.contains(&Unknown::Across) && moves(to_port.value) {
                let side = if to_port.value >= 0.0 { "port" } else { "starboard" };
                let by = millimetres(to_port.value.abs());
                places.push(format!("{by} to {side} {}", spread_mm(to_port.spread)));
            }
            let main = format!("Shift {}", whole_grams(*mass));
            Said { main, spread: String::new(), places, kind: "shift" }
        }
    }
}

fn put(verb: &str, kind: &'static str, weight: &Weight, untold: &[Unknown], datum: Datum) -> Said {
    let mut places = Vec::new();
    let lost = untold.contains(&Unknown::Along) && untold.contains(&Unknown::Across);
    if lost {
        let place = upper_first(&weight.place.name);
        places.push(format!("{place}; where along and across is not read yet"));
    } else if untold.contains(&Unknown::Along) {
        places.push("Forward or aft: not read yet".to_owned());
    } else {
        places.push(format!("{} {}", along(weight.x.value, datum), spread_mm(weight.x.spread)));
    }
    let place = &weight.place.name;
    if !untold.contains(&Unknown::Across) {
        let by = across(weight.y.value);
        places.push(format!("{by} {}, {place}", spread_mm(weight.y.spread)));
    } else if !lost {
        places.push(format!("{}; port or starboard: not read yet", upper_first(place)));
    }
    Said {
        main: format!("{verb} {}", whole_grams(weight.mass.value)),
        spread: format!("±{THIN}{}", whole_grams(weight.mass.spread.max(GRAM))),
        places,
        kind,
    }
}

/// A further step in one line.
fn then(next: &Step, untold: &[Unknown], datum: Datum) -> String {
    let said = step(next, untold, datum);
    let what = format!("Then {} {}", lower_first(&said.main), said.spread);
    match next {
        Step::Add(w) | Step::TakeOff(w) => {
            format!("{what}, {}, {}", along(w.x.value, datum), w.place.name)
        }
        Step::Shift { .. } => format!("{what} {}", said.places.join(", ")),
    }
}

/// The text with a capital at its front.
pub(crate) fn upper_first(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |c| c.to_uppercase().chain(letters).collect())
}

/// The text with a small letter at its front.
pub(crate) fn lower_first(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |c| c.to_lowercase().chain(letters).collect())
}

/// List and trim as read, in words: "List 3.2° to starboard, 1.1° bow down".
pub(crate) fn tilt_read(list_radians: Option<f64>, trim_radians: Option<f64>) -> String {
    let across = list_radians
        .map(|r| if is_nothing(r) { "Upright".to_owned() } else { format!("List {}", list(r)) });
    match (across, trim_radians.map(trim)) {
        (Some(list), Some(trim)) => format!("{list}, {trim}"),
        (Some(list), None) => list,
        (None, Some(trim)) => format!("Trim: {trim}"),
        (None, None) => "List: not read".to_owned(),
    }
}

/// The advice as lines for the diary.
pub(crate) fn advice_lines(given: &Advice, datum: Datum) -> Vec<String> {
    let mut lines = advice(given, datum).lines();
    lines.push(after(given));
    lines
}

/// What the boat will do after the advice: "Then upright, level, marks within 1 mm".
pub(crate) fn after(advice: &Advice) -> String {
    let word = if advice.steps.is_empty() { "Now" } else { "Then" };
    format!("{word} {}", lies(&advice.after, &advice.untold))
}

/// How a boat lies, in one line; what was not read is left out.
pub(crate) fn lies(forecast: &Forecast, untold: &[Unknown]) -> String {
    if let Outcome::Sinks(_) = forecast.outcome
        && forecast.residual > 0.5 * GRAM
    {
        return format!("under, {} heavy", grams(forecast.residual));
    }
    let mut words = Vec::new();
    if let Outcome::Floats(afloat) | Outcome::BottomsOut { afloat, .. } = &forecast.outcome
        && afloat.is_capsized()
    {
        return "capsized".to_owned();
    }
    if !untold.contains(&Unknown::Across) {
        words.push(list(forecast.pose.heel()));
    }
    if !untold.contains(&Unknown::Along) {
        words.push(trim(forecast.pose.trim()));
    }
    if forecast.outcome.submerged().is_some() {
        let residual = forecast.residual;
        words.push(if residual.abs() < 0.5 * GRAM {
            "neutral".to_owned()
        } else {
            let way = if residual > 0.0 { "heavy" } else { "light" };
            format!("{} {way}", grams(residual.abs()))
        });
    } else if let (Some(worst), false) = (forecast.worst_mark(), untold.contains(&Unknown::Mass)) {
        words.push(format!("marks within {}", millimetres(within(worst.above.abs()))));
    }
    words.join(", ")
}

/// A length up to the next one that is written, and never none.
fn within(metres: f64) -> f64 {
    let last = match speech().length {
        Length::Millimetre => MILLIMETRE,
        Length::Inch => speech().length_unit().si(0.01),
    };
    (metres / last).ceil().max(1.0) * last
}

/// What was not read, and what to read next.
pub(crate) fn help(untold: &[Unknown], help: Option<&Help>) -> Option<String> {
    let missing: Vec<&str> = untold
        .iter()
        .map(|u| match u {
            Unknown::Mass => "too heavy or too light",
            Unknown::Along => "trim",
            Unknown::Across => "list",
        })
        .collect();
    if missing.is_empty() {
        return None;
    }
    let next = match help.map(|h| &h.seen) {
        Some(Seen::WaterAtMark { mark, .. }) => format!("the water at the {} mark", mark.name),
        Some(Seen::List(_)) => "the list".to_owned(),
        Some(Seen::Trim(_)) => "the trim".to_owned(),
        Some(Seen::Residual(_)) => "how heavy or light it is".to_owned(),
        None => "one more figure".to_owned(),
    };
    Some(format!("Not read yet: {}. Read {next} next.", missing.join(" and ")))
}

/// Which figure does not fit the others.
pub(crate) fn contradiction(found: &Contradiction, reading: &Reading) -> String {
    let which = reading.observations.get(found.worst).map_or("a figure", |o| match &o.seen {
        Seen::WaterAtMark { mark, .. } => mark.name.as_str(),
        Seen::List(_) => "list",
        Seen::Trim(_) => "trim",
        Seen::Residual(_) => "weight under water",
    });
    format!("These figures do not fit together. Read this one again first: {which}.")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::state::while_speaking;
    use trimwright::unit::{Decimal, Units};

    #[test]
    fn words_about_figures_are_in_the_units_that_were_chosen() {
        let inches = Units { length: Length::Inch, mass: Mass::Ounce, decimal: Decimal::Comma };
        while_speaking(inches, || {
            assert_eq!(water_at(-0.0381), "1,50\u{202f}in below", "a comma");
            assert_eq!(water_at(0.0001), "at the mark", "less than a hundredth");
            assert_eq!(list(3.2 * DEGREE), "3,2° to starboard", "degrees stay");
            assert_eq!(grams(0.312), "11,01\u{202f}oz", "ounces");
            assert_eq!(millimetres(within(0.00026)), "0,02\u{202f}in", "up to the next hundredth");
            let lower = lower(0.01).places;
            assert_eq!(lower[1], "For example 16,00\u{202f}oz lowered by 0,87\u{202f}in.", "handy");
        });
        assert_eq!(millimetres(within(0.00226)), "3\u{202f}mm", "as before");
    }

    #[test]
    fn signs_become_words() {
        assert_eq!(list(3.2 * DEGREE), "3.2° to starboard", "positive heel");
        assert_eq!(list(-0.04 * DEGREE), "upright", "less than can be written");
        assert_eq!(trim(-1.1 * DEGREE), "1.1° stern down", "negative trim");
        assert_eq!(water_at(-0.007), "7\u{202f}mm below", "water below the mark");
        let midship = Datum { from: DatumRecord::Midship, x: 0.0 };
        assert_eq!(along(-0.2, midship), "200\u{202f}mm aft of midship", "negative x");
        let bow = Datum { from: DatumRecord::Bow, x: 0.5 };
        assert_eq!(along(0.2, bow), "300\u{202f}mm aft of the bow tip", "from the bow");
        assert_eq!(across(0.022), "22\u{202f}mm to port", "positive y");
    }
}
