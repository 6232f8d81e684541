//! Results put into words. Signs become sides here, and SI becomes millimetres, grams, degrees.

use crate::state::Datum;
use crate::words::speech::speech;
use crate::words::{Language, language, t, word};
use trimwright::ballast::Forecast;
use trimwright::diary::DatumRecord;
use trimwright::fit::Unknown;
use trimwright::float::{Afloat, Outcome};
use trimwright::unit::{DEGREE, GRAM, Length, MILLIMETRE};

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

/// The sign of the unit of what tanks hold.
pub(crate) fn liquid_sign() -> &'static str {
    speech().liquid_unit().sign
}

/// A length, metres, on the scale of a chart.
pub(crate) fn on_scale(metres: f64) -> f64 {
    speech().length_unit().of(metres)
}

/// A mass, kg, on the scale of a chart.
pub(crate) fn mass_on_scale(kilograms: f64) -> f64 {
    speech().mass_unit().of(kilograms)
}

/// A figure beside the scale of a chart of masses.
pub(crate) fn mass_at_scale(on_scale: f64) -> String {
    grams(speech().mass_unit().si(on_scale))
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
        return t!("said.upright");
    }
    to_side(radians < 0.0, &degrees(radians))
}

/// How much, and to which side: "22 mm to port".
pub(crate) fn to_side(port: bool, how_much: &str) -> String {
    let key = if port { word!("side.to_port") } else { word!("side.to_starboard") };
    t!(key, much = how_much)
}

/// "1.1° bow down", "level".
pub(crate) fn trim(radians: f64) -> String {
    if is_nothing(radians) {
        return t!("said.level");
    }
    let key = if radians > 0.0 { word!("said.bow_down") } else { word!("said.stern_down") };
    t!(key, angle = degrees(radians))
}

/// "7 mm below", "at the mark".
pub(crate) fn water_at(above: f64) -> String {
    if speech().is_no_length(above) {
        return t!("said.at_mark");
    }
    above_or_below(above, &millimetres(above.abs()))
}

fn above_or_below(above: f64, length: &str) -> String {
    let key = if above > 0.0 { word!("said.above_mark") } else { word!("said.below_mark") };
    t!(key, length = length)
}

/// What was read at a mark, with the digits that it was typed with: "7.5 mm below", "0.0787 in above".
pub(crate) fn read_at(above: f64) -> String {
    let unit = speech().length_unit();
    let digits = speech().typed(unit, above.abs());
    if digits == "0" {
        return t!("said.at_mark");
    }
    above_or_below(above, &format!("{digits}{THIN}{}", unit.sign))
}

/// "128 mm forward of midship".
pub(crate) fn along(x: f64, datum: Datum) -> String {
    let [at, forward, aft] = match datum.from {
        DatumRecord::Midship => [
            word!("said.at_midship"),
            word!("said.forward_of_midship"),
            word!("said.aft_of_midship"),
        ],
        DatumRecord::Bow => {
            [word!("said.at_bow"), word!("said.forward_of_bow"), word!("said.aft_of_bow")]
        }
        DatumRecord::Stern => {
            [word!("said.at_stern"), word!("said.forward_of_stern"), word!("said.aft_of_stern")]
        }
    };
    let from = x - datum.x;
    if speech().is_no_length(from) {
        return t!(at);
    }
    t!(if from > 0.0 { forward } else { aft }, length = millimetres(from.abs()))
}

/// The datum in words.
pub(crate) fn datum_name(datum: DatumRecord) -> String {
    t!(match datum {
        DatumRecord::Midship => word!("said.midship"),
        DatumRecord::Bow => word!("said.bow_tip"),
        DatumRecord::Stern => word!("said.stern"),
    })
}

/// "22 mm to port", "on the centre line".
pub(crate) fn across(y: f64) -> String {
    if speech().is_no_length(y) {
        return t!("said.on_centre_line");
    }
    to_side(y > 0.0, &millimetres(y.abs()))
}

/// The text with a capital at its front.
pub(crate) fn upper_first(text: &str) -> String {
    with_first(text, |c| if is_small_latin_1(c) { turned(c) } else { c.to_ascii_uppercase() })
}

/// The text as it stands within a sentence: with a small letter at its front, where the language does
/// not write nouns with a capital.
pub(crate) fn lower_first(text: &str) -> String {
    if language() == Language::German {
        return text.to_owned();
    }
    let is_capital = |c: char| is_small_latin_1(turned(c));
    with_first(text, |c| if is_capital(c) { turned(c) } else { c.to_ascii_lowercase() })
}

/// The text with another letter at its front.
fn with_first(text: &str, turn: impl Fn(char) -> char) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |c| std::iter::once(turn(c)).chain(letters).collect())
}

/// Whether it is a letter with an accent or the like that has a capital in Latin-1: the languages that are spoken here
/// have no others, and the tables for all of Unicode are 3 kB that every first visit would load.
fn is_small_latin_1(c: char) -> bool {
    matches!(c, 'à'..='ö' | 'ø'..='þ')
}

/// Capital for small and the other way round, among the letters of ISO 8859-1.
fn turned(c: char) -> char {
    char::from_u32(u32::from(c) ^ 0x20).unwrap_or(c)
}

/// List and trim as read, in words: "List 3.2° to starboard, 1.1° bow down".
pub(crate) fn tilt_read(list_radians: Option<f64>, trim_radians: Option<f64>) -> String {
    let across = list_radians.map(|r| {
        if is_nothing(r) { t!("said.upright_first") } else { t!("said.list", list = list(r)) }
    });
    match (across, trim_radians.map(trim)) {
        (Some(list), Some(trim)) => format!("{list}, {trim}"),
        (Some(list), None) => list,
        (None, Some(trim)) => t!("said.trim", trim = trim),
        (None, None) => t!("said.list_not_read"),
    }
}

/// How a boat lies, in one line; what was not read is left out.
pub(crate) fn lies(forecast: &Forecast, untold: &[Unknown]) -> String {
    if let Outcome::Sinks(_) = forecast.outcome
        && forecast.residual > 0.5 * GRAM
    {
        return t!("said.under_heavy", mass = grams(forecast.residual));
    }
    let mut words = Vec::new();
    if forecast.outcome.afloat().is_some_and(Afloat::is_capsized) {
        return t!("said.capsized");
    }
    if !untold.contains(&Unknown::Across) {
        words.push(list(forecast.pose.heel()));
    }
    if !untold.contains(&Unknown::Along) {
        words.push(trim(forecast.pose.trim()));
    }
    if forecast.outcome.submerged().is_some() {
        words.push(residual(forecast.residual));
    } else if let (Some(worst), false) = (forecast.worst_mark(), untold.contains(&Unknown::Mass)) {
        let length = millimetres(within(worst.above.abs()));
        words.push(t!("said.marks_within", length = length));
    }
    words.join(", ")
}

/// How heavy or light it is under water: "32 g heavy", "neutral".
pub(crate) fn residual(kilograms: f64) -> String {
    if kilograms.abs() < 0.5 * GRAM {
        return t!("said.neutral");
    }
    let key = if kilograms > 0.0 { word!("said.heavy") } else { word!("said.light") };
    t!(key, mass = grams(kilograms.abs()))
}

/// A length up to the next one that is written, and never none.
fn within(metres: f64) -> f64 {
    let last = match speech().length {
        Length::Millimetre => MILLIMETRE,
        Length::Inch => speech().length_unit().si(0.01),
    };
    (metres / last).ceil().max(1.0) * last
}

/// The things of a list, joined by "and".
pub(crate) fn all_of(things: &[String]) -> String {
    things.join(&t!("said.and"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::words::speech::while_speaking;
    use trimwright::unit::{Decimal, Mass, Units};

    #[test]
    fn words_about_figures_are_in_the_units_that_were_chosen() {
        let inches = Units { length: Length::Inch, mass: Mass::Ounce, decimal: Decimal::Comma };
        while_speaking(inches, || {
            assert_eq!(water_at(-0.0381), "1,50\u{202f}in below", "a comma");
            assert_eq!(water_at(0.0001), "at the mark", "less than a hundredth");
            assert_eq!(list(3.2 * DEGREE), "3,2° to starboard", "degrees stay");
            assert_eq!(grams(0.312), "11,01\u{202f}oz", "ounces");
            assert_eq!(millimetres(within(0.00026)), "0,02\u{202f}in", "up to the next hundredth");
        });
        assert_eq!(millimetres(within(0.00226)), "3\u{202f}mm", "as before");
    }

    #[test]
    fn a_reading_keeps_the_digits_it_was_typed_with() {
        assert_eq!(read_at(-0.0075), "7.5\u{202f}mm below", "half a millimetre");
        assert_eq!(read_at(0.007), "7\u{202f}mm above", "a whole one");
        assert_eq!(read_at(0.0), "at the mark", "none");
        let inches = Units { length: Length::Inch, mass: Mass::Gram, decimal: Decimal::Point };
        while_speaking(inches, || {
            assert_eq!(read_at(0.0787 * 0.0254), "0.0787\u{202f}in above", "finer than a step");
            assert_eq!(read_at(-0.05 * 0.0254), "0.05\u{202f}in below", "a step");
        });
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
