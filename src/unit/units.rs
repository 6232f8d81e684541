//! Units of length and mass to choose from, what follows from them for areas, volumes and densities,
//! and to how many digits each is written.

use super::number::{Decimal, read_number};
use super::{DEGREE, GRAM, INCH, MILLIMETRE, OUNCE};

/// A narrow space that does not break: between a number and its unit.
pub const THIN: char = '\u{202f}';

/// In what lengths are shown and typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Length {
    /// Millimetres.
    #[default]
    Millimetre,
    /// Inches.
    Inch,
}

/// In what masses are shown and typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Mass {
    /// Grams.
    #[default]
    Gram,
    /// Avoirdupois ounces.
    Ounce,
}

/// A unit: its sign, what one of it is, and to how many decimals it is written.
///
/// The decimals of two units of one quantity belong together: what can be told apart in the one can
/// be told apart in the other.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unit {
    /// Its sign, as it stands behind a number.
    pub sign: &'static str,
    /// What one of it is in SI.
    pub in_si: f64,
    /// Decimals of what is cut, measured out or poured.
    pub coarse: usize,
    /// Decimals where small things are told.
    pub fine: usize,
    /// Decimals in a field at the most.
    pub typed: usize,
    /// What need not be told apart in a field, in SI: finer than anyone measures.
    pub blur: f64,
}

impl Unit {
    const fn new(
        sign: &'static str,
        in_si: f64,
        [coarse, fine, typed]: [usize; 3],
        blur: f64,
    ) -> Self {
        Self { sign, in_si, coarse, fine, typed, blur }
    }

    /// Plain numbers: counts.
    pub const PLAIN: Self = Self::new("", 1.0, [0, 1, 2], 4.9e-3);
    /// Shares, in hundredths.
    pub const PERCENT: Self = Self::new("%", 0.01, [0, 1, 2], 4.9e-5);
    /// Angles.
    pub const DEGREES: Self = Self::new("°", DEGREE, [1, 1, 2], 4.9e-3 * DEGREE);

    /// Times.
    pub const SECONDS: Self = Self::new("s", 1.0, [1, 1, 2], 4.9e-3);

    /// Pressures. One bar is 100 000 pascals by definition (SI Brochure, 9th edition, table 8 note).
    pub const BAR: Self = Self::new("bar", 1e5, [1, 2, 2], 490.0);

    /// What the last of its coarse decimals stands for, in SI.
    pub fn coarse_step(self) -> f64 {
        self.si(1.0 / power(self.coarse))
    }

    /// A quantity in SI, in this unit.
    pub fn of(self, si: f64) -> f64 {
        si / self.in_si
    }

    /// So many of this unit, in SI.
    pub fn si(self, value: f64) -> f64 {
        value * self.in_si
    }

    /// The greatest round number of this unit that is not beyond a limit in SI: what a field takes, in
    /// words that can be read.
    pub fn limit(self, si: f64) -> f64 {
        // A limit that is a round number itself must not fall to the one below.
        (self.of(si) * power(self.coarse) * (1.0 + 1e-12)).floor() / power(self.coarse)
    }

    /// The least number of this unit, with the digits of a field, that is not below a limit in SI.
    pub fn least(self, si: f64) -> f64 {
        (self.of(si) * power(self.typed) * (1.0 - 1e-12)).ceil() / power(self.typed)
    }
}

/// Just under half a hundredth of a millimetre, of a gram, of a square and of a cubic centimetre: of two
/// hundredths never both are as good.
const BLUR: [f64; 4] = [4.9e-6, 4.9e-6, 4.9e-7, 4.9e-9];
/// So many decimals up.
fn power(decimals: usize) -> f64 {
    10.0_f64.powi(i32::try_from(decimals).unwrap_or(0))
}

const MILLIMETRES: Unit = Unit::new("mm", MILLIMETRE, [0, 1, 2], BLUR[0]);
/// A hundredth is a quarter of a millimetre, a thousandth a fortieth.
const INCHES: Unit = Unit::new("in", INCH, [2, 3, 4], BLUR[0]);
const GRAMS: Unit = Unit::new("g", GRAM, [0, 1, 2], BLUR[1]);
/// A hundredth is 0.28 g.
const OUNCES: Unit = Unit::new("oz", OUNCE, [2, 3, 4], BLUR[1]);
const SQUARE_CENTIMETRES: Unit = Unit::new("cm²", 1e-4, [0, 1, 2], BLUR[2]);
const SQUARE_INCHES: Unit = Unit::new("in²", INCH * INCH, [1, 2, 4], BLUR[2]);
const CUBIC_CENTIMETRES: Unit = Unit::new("cm³", 1e-6, [0, 1, 2], BLUR[3]);
const CUBIC_INCHES: Unit = Unit::new("in³", INCH * INCH * INCH, [1, 2, 4], BLUR[3]);
const MILLILITRES: Unit = Unit::new("ml", 1e-6, [0, 1, 2], BLUR[3]);
const KILOGRAMS_PER_CUBIC_METRE: Unit = Unit::new("kg/m³", 1.0, [0, 1, 2], 0.05);
const OUNCES_PER_CUBIC_INCH: Unit =
    Unit::new("oz/in³", OUNCE / (INCH * INCH * INCH), [3, 4, 5], 0.05);

/// Below this a mass is written to the finer digit, kilograms: just under ten grams, so that 10 g
/// are never "10.0 g".
const LITTLE: f64 = 9.95 * GRAM;
/// From here on ounces are written to the tenth, kilograms: no scale for so much tells more.
const MUCH: f64 = 99.995 * OUNCE;

/// In which units and with which decimal mark the app speaks and is spoken to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Units {
    /// Of lengths; areas and volumes follow.
    pub length: Length,
    /// Of masses.
    pub mass: Mass,
    /// What divides decimals.
    pub decimal: Decimal,
}

impl Units {
    /// Millimetres, grams and a decimal point.
    pub const METRIC: Self =
        Self { length: Length::Millimetre, mass: Mass::Gram, decimal: Decimal::Point };

    /// The unit of lengths.
    pub fn length_unit(self) -> Unit {
        match self.length {
            Length::Millimetre => MILLIMETRES,
            Length::Inch => INCHES,
        }
    }

    /// The unit of masses.
    pub fn mass_unit(self) -> Unit {
        match self.mass {
            Mass::Gram => GRAMS,
            Mass::Ounce => OUNCES,
        }
    }

    /// The unit of surfaces.
    pub fn area_unit(self) -> Unit {
        match self.length {
            Length::Millimetre => SQUARE_CENTIMETRES,
            Length::Inch => SQUARE_INCHES,
        }
    }

    /// The unit of what solid things take up.
    pub fn volume_unit(self) -> Unit {
        match self.length {
            Length::Millimetre => CUBIC_CENTIMETRES,
            Length::Inch => CUBIC_INCHES,
        }
    }

    /// The unit of what tanks hold. Cubic inches and not fluid ounces: of those there are two kinds,
    /// and neither is what an ounce of water takes up.
    pub fn liquid_unit(self) -> Unit {
        match self.length {
            Length::Millimetre => MILLILITRES,
            Length::Inch => CUBIC_INCHES,
        }
    }

    /// The unit of a material's density. Tables have kg/m³; only who measures in inches and weighs in
    /// ounces has ounces per cubic inch without reckoning. A water's density stays in kg/m³, as
    /// hydrometers have it.
    pub fn density_unit(self) -> Unit {
        match (self.length, self.mass) {
            (Length::Inch, Mass::Ounce) => OUNCES_PER_CUBIC_INCH,
            _ => KILOGRAMS_PER_CUBIC_METRE,
        }
    }

    /// A plain number.
    pub fn number(self, value: f64, decimals: usize) -> String {
        self.decimal.write(value, decimals)
    }

    /// A quantity in SI, written in a unit to so many decimals, with its sign behind it.
    pub fn written(self, unit: Unit, si: f64, decimals: usize) -> String {
        format!("{}{THIN}{}", self.number(unit.of(si), decimals), unit.sign)
    }

    /// A length, metres, as it is cut or marked: "38 mm", "1.50 in".
    pub fn length(self, metres: f64) -> String {
        self.written(self.length_unit(), metres, self.length_unit().coarse)
    }

    /// A small length, metres: "3.8 mm", "0.150 in".
    pub fn fine_length(self, metres: f64) -> String {
        self.written(self.length_unit(), metres, self.length_unit().fine)
    }

    /// The step by which a length is set with buttons and keys, metres.
    pub fn length_step(self) -> f64 {
        match self.length {
            Length::Millimetre => MILLIMETRE,
            // A millimetre and a quarter.
            Length::Inch => 0.05 * INCH,
        }
    }

    /// The step by which a mass is set with buttons, kilograms.
    pub fn mass_step(self) -> f64 {
        match self.mass {
            Mass::Gram => GRAM,
            // A gram and a half.
            Mass::Ounce => 0.05 * OUNCE,
        }
    }

    /// A figure as typed in a unit, so much more of it (SI); nothing, if it can't be read, counts as none.
    /// It keeps its digits.
    pub fn stepped(self, unit: Unit, typed: &str, by: f64) -> String {
        let digits = typed.trim().split(['.', ',']).nth(1).map_or(0, str::len);
        let next = read_number(typed).unwrap_or(0.0) + unit.of(by);
        self.number(next, digits.clamp(unit.coarse, unit.typed))
    }

    /// True for a length, metres, that [`Self::length`] writes as nothing.
    pub fn is_no_length(self, metres: f64) -> bool {
        let unit = self.length_unit();
        unit.of(metres.abs()) * power(unit.coarse) < 0.5
    }

    /// A mass, kilograms, to the finer digit if it is little: "312 g", "7.5 g"; "11.01 oz", "0.265 oz".
    pub fn mass(self, kilograms: f64) -> String {
        let unit = self.mass_unit();
        let decimals = if kilograms.abs() < LITTLE { unit.fine } else { self.whole(kilograms) };
        self.written(unit, kilograms, decimals)
    }

    /// A mass, kilograms, as it is weighed out: whole grams, hundredths of an ounce.
    pub fn whole_mass(self, kilograms: f64) -> String {
        self.written(self.mass_unit(), kilograms, self.whole(kilograms))
    }

    fn whole(self, kilograms: f64) -> usize {
        match self.mass {
            Mass::Ounce if kilograms.abs() >= MUCH => 1,
            _ => self.mass_unit().coarse,
        }
    }

    /// A surface, square metres.
    pub fn area(self, square_metres: f64) -> String {
        self.written(self.area_unit(), square_metres, self.area_unit().coarse)
    }

    /// What something solid takes up, cubic metres.
    pub fn volume(self, cubic_metres: f64) -> String {
        self.written(self.volume_unit(), cubic_metres, self.volume_unit().fine)
    }

    /// What something solid takes up that is cut to it, cubic metres.
    pub fn cut_volume(self, cubic_metres: f64) -> String {
        self.written(self.volume_unit(), cubic_metres, self.volume_unit().coarse)
    }

    /// What a tank holds, cubic metres.
    pub fn liquid(self, cubic_metres: f64) -> String {
        self.written(self.liquid_unit(), cubic_metres, self.liquid_unit().coarse)
    }

    /// A material's density, kg/m³.
    pub fn density(self, kilograms_per_cubic_metre: f64) -> String {
        let unit = self.density_unit();
        self.written(unit, kilograms_per_cubic_metre, unit.coarse)
    }

    /// A quantity in SI as it stands in a field of a unit: with as few digits as tell it, so that what
    /// was typed in one unit and read in another comes back as it was typed.
    pub fn typed(self, unit: Unit, si: f64) -> String {
        let value = unit.of(si);
        let tells = |decimals: &usize| {
            let digits = power(*decimals);
            unit.si(((value * digits).round() / digits - value).abs()) <= unit.blur
        };
        let decimals = (0..unit.typed).find(tells).unwrap_or(unit.typed);
        self.decimal.write_short(value, decimals)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const INCHES_AND_OUNCES: Units =
        Units { length: Length::Inch, mass: Mass::Ounce, decimal: Decimal::Point };

    #[test]
    fn results_have_the_digits_that_can_be_cut_and_read() {
        let (metric, inch) = (Units::METRIC, INCHES_AND_OUNCES);
        let comma = Units { decimal: Decimal::Comma, ..inch };
        for (written, expected) in [
            (metric.length(0.0381), "38\u{202f}mm"),
            (metric.fine_length(0.0381), "38.1\u{202f}mm"),
            (inch.length(0.0381), "1.50\u{202f}in"),
            (inch.fine_length(0.00381), "0.150\u{202f}in"),
            (comma.length(-0.0381), "\u{2212}1,50\u{202f}in"),
            (metric.mass(0.312), "312\u{202f}g"),
            (metric.mass(0.0075), "7.5\u{202f}g"),
            (metric.mass(0.00996), "10\u{202f}g"),
            (inch.mass(0.312), "11.01\u{202f}oz"),
            (inch.mass(0.0075), "0.265\u{202f}oz"),
            (inch.mass(3.2), "112.9\u{202f}oz"),
            (inch.whole_mass(0.0075), "0.26\u{202f}oz"),
            (inch.whole_mass(100.0 * OUNCE), "100.0\u{202f}oz"),
            (metric.liquid(350e-6), "350\u{202f}ml"),
            (inch.liquid(350e-6), "21.4\u{202f}in³"),
            (metric.volume(35.26e-6), "35.3\u{202f}cm³"),
            (inch.area(64.516e-4), "10.0\u{202f}in²"),
            (metric.density(11_340.0), "11340\u{202f}kg/m³"),
            (inch.density(11_340.0), "6.555\u{202f}oz/in³"),
        ] {
            assert_eq!(written, expected, "");
        }
        let mixed = Units { mass: Mass::Gram, ..inch };
        assert_eq!(
            mixed.density(1240.0),
            "1240\u{202f}kg/m³",
            "inches and grams: as in the tables"
        );
    }

    #[test]
    fn what_stands_in_a_field_is_what_was_typed_there() {
        let inch = INCHES_AND_OUNCES.length_unit();
        let metres = inch.si(1.5);
        assert!((metres - 0.0381).abs() < 1e-15, "one inch and a half is {metres} m");
        assert_eq!(INCHES_AND_OUNCES.typed(inch, metres), "1.5", "in inches");
        assert_eq!(Units::METRIC.typed(MILLIMETRES, metres), "38.1", "in millimetres");
        for (from, to) in [(MILLIMETRES, INCHES), (INCHES, MILLIMETRES), (GRAMS, OUNCES)] {
            for hundredths in 0..2000_u32 {
                let value = f64::from(hundredths) / 100.0;
                let [first, other] = [from, to].map(|u| Units::METRIC.typed(u, from.si(value)));
                let back = to.si(read_number(&other).expect("a number"));
                let again = Units::METRIC.typed(from, back);
                assert_eq!(again, first, "{value} {} by way of {other} {}", from.sign, to.sign);
                let same = read_number(&first).expect("a number");
                assert!((same - value).abs() < 1e-9, "{value} is typed {first}");
            }
        }
    }

    #[test]
    fn a_typed_figure_goes_by_steps_and_keeps_its_digits() {
        let metric = Units::METRIC;
        let inch = Units { decimal: Decimal::Comma, ..INCHES_AND_OUNCES };
        let [mm, inches] = [metric, inch].map(|u| (u, u.length_unit(), u.length_step()));
        let [grams, ounces] = [metric, inch].map(|u| (u, u.mass_unit(), u.mass_step()));
        let angle = (metric, Unit::DEGREES, 0.1 * DEGREE);
        for ((units, unit, step), typed, steps, next) in [
            (mm, "", 1.0, "1"),
            (mm, "7.5", -1.0, "6.5"),
            (mm, "\u{2212}1", 1.0, "0"),
            (mm, "abc", 5.0, "5"),
            (inches, "", 1.0, "0,05"),
            (inches, "0.95", 1.0, "1,00"),
            (inches, "0,276", -1.0, "0,226"),
            (inches, "0,05", -2.0, "\u{2212}0,05"),
            (grams, "", -1.0, "\u{2212}1"),
            (grams, "46", 5.0, "51"),
            (ounces, "0,35", 1.0, "0,40"),
            (angle, "", 1.0, "0.1"),
            (angle, "1.8", 5.0, "2.3"),
            (angle, "0.2", -5.0, "\u{2212}0.3"),
            (angle, "1.85", -1.0, "1.75"),
        ] {
            let stepped = units.stepped(unit, typed, steps * step);
            assert_eq!(stepped, next, "{typed} and {steps} steps of {}", unit.sign);
        }
    }

    #[test]
    fn a_limit_is_a_round_number_on_the_safe_side() {
        assert!((MILLIMETRES.limit(0.5) - 500.0).abs() < 1e-9, "{}", MILLIMETRES.limit(0.5));
        assert!((INCHES.limit(0.5) - 19.68).abs() < 1e-9, "{}", INCHES.limit(0.5));
        assert!((INCHES.limit(0.0254) - 1.0).abs() < 1e-9, "{}", INCHES.limit(0.0254));
        assert!((OUNCES.limit(50.0) - 1763.69).abs() < 1e-9, "{}", OUNCES.limit(50.0));
        assert!((OUNCES.least(0.001) - 0.0353).abs() < 1e-9, "{}", OUNCES.least(0.001));
        assert!((GRAMS.least(0.001) - 1.0).abs() < 1e-9, "{}", GRAMS.least(0.001));
    }

    #[test]
    fn what_is_written_as_nothing_is_no_length() {
        for units in [Units::METRIC, INCHES_AND_OUNCES] {
            for tenths in 0..60_u32 {
                let metres = f64::from(tenths) * 0.97e-5;
                let is_nothing = read_number(units.length(metres).split(THIN).next().unwrap_or(""));
                let is_nothing = is_nothing.expect("a number").abs() < 1e-12;
                assert_eq!(units.is_no_length(metres), is_nothing, "{metres} in {units:?}");
            }
        }
    }
}
