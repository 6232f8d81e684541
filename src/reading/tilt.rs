//! List and trim from a phone that lies flat on the deck, its top towards the bow.

use crate::unit::DEGREE;

/// One report of the phone's orientation sensor, degrees, as the W3C Device Orientation
/// recommendation defines them: `beta` about the phone's x axis (top up is positive), `gamma`
/// about its y axis (right side down is positive).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TiltSample {
    /// Front to back.
    pub beta: f64,
    /// Left to right.
    pub gamma: f64,
}

/// List and trim, radians, with the spread of the samples.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tilt {
    /// Heel; positive with the starboard side down.
    pub list: f64,
    /// Trim; positive bow down.
    pub trim: f64,
    /// Standard deviation of the list's samples.
    pub list_spread: f64,
    /// Standard deviation of the trim's samples.
    pub trim_spread: f64,
    /// Number of samples.
    pub n_samples: u32,
}

/// Averages samples while the phone is held still.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct TiltAverage {
    list: Running,
    trim: Running,
}

/// Samples whose spread stays below this were taken with the phone held still, radians.
const STILL: f64 = 0.5 * DEGREE;

impl TiltAverage {
    /// Takes one sample; what is not a number is passed over.
    ///
    /// With the top of the phone towards the bow, its x axis points to starboard and its y axis
    /// forward. The W3C order of turns then makes gamma the heel itself and beta the trim with
    /// the opposite sign, at any angle.
    pub fn add(&mut self, sample: TiltSample) {
        if sample.beta.is_finite() && sample.gamma.is_finite() {
            self.list.add(sample.gamma * DEGREE);
            self.trim.add(-sample.beta * DEGREE);
        }
    }

    /// The average so far; none before the first sample.
    pub fn tilt(&self) -> Option<Tilt> {
        (self.list.n > 0).then(|| Tilt {
            list: self.list.mean,
            trim: self.trim.mean,
            list_spread: self.list.spread(),
            trim_spread: self.trim.spread(),
            n_samples: self.list.n,
        })
    }
}

impl Tilt {
    /// The same with the phone's zero (list and trim, radians) taken off.
    #[must_use]
    pub fn without(self, [list, trim]: [f64; 2]) -> Self {
        Self { list: self.list - list, trim: self.trim - trim, ..self }
    }

    /// True when the phone and the boat held still while it was read.
    pub fn is_still(&self) -> bool {
        self.list_spread <= STILL && self.trim_spread <= STILL
    }
}

/// What two readings tell, the second with the phone turned end for end at the same place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reversal {
    /// The boat's own list and trim.
    pub tilt: Tilt,
    /// What the phone reads when it lies level: list and trim, radians. To be taken off.
    pub zero: [f64; 2],
}

impl Reversal {
    /// Each reading is the boat's tilt plus the phone's zero; turned end for end, the boat's part
    /// changes its sign in the phone's axes and the zero does not.
    ///
    /// Source: the engineers' reversal method, as in Evans, Hocken & Estler 1996, CIRP Annals
    /// 45(2):617 (from memory).
    pub fn of(first: Tilt, turned: Tilt) -> Self {
        let tilt = Tilt {
            list: f64::midpoint(first.list, -turned.list),
            trim: f64::midpoint(first.trim, -turned.trim),
            list_spread: first.list_spread.hypot(turned.list_spread) / 2.0,
            trim_spread: first.trim_spread.hypot(turned.trim_spread) / 2.0,
            n_samples: first.n_samples + turned.n_samples,
        };
        let zero = [f64::midpoint(first.list, turned.list), f64::midpoint(first.trim, turned.trim)];
        Self { tilt, zero }
    }
}

/// Running mean and spread.
///
/// Source: Welford 1962, Technometrics 4:419.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
struct Running {
    n: u32,
    mean: f64,
    squares: f64,
}

impl Running {
    fn add(&mut self, value: f64) {
        self.n += 1;
        let before = value - self.mean;
        self.mean += before / f64::from(self.n);
        self.squares += before * (value - self.mean);
    }

    fn spread(&self) -> f64 {
        if self.n < 2 { 0.0 } else { (self.squares / f64::from(self.n - 1)).sqrt() }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn right_side_down_is_starboard_and_top_up_is_stern_down() {
        let mut average = TiltAverage::default();
        average.add(TiltSample { beta: 2.0, gamma: 3.0 });
        average.add(TiltSample { beta: 4.0, gamma: 5.0 });
        average.add(TiltSample { beta: f64::NAN, gamma: 90.0 });
        let tilt = average.tilt().expect("two samples");
        assert!((tilt.list - 4.0 * DEGREE).abs() < 1e-12, "list {}", tilt.list);
        assert!((tilt.trim + 3.0 * DEGREE).abs() < 1e-12, "trim {}", tilt.trim);
        assert_eq!(tilt.n_samples, 2, "what is not a number is passed over");
        let root_two = 2.0_f64.sqrt() * DEGREE;
        assert!((tilt.list_spread - root_two).abs() < 1e-12, "spread {}", tilt.list_spread);
        assert!(!tilt.is_still(), "it moved by two degrees");
    }

    /// Source: an engineers' level sheet: the bubble four divisions off, three after turning, the
    /// same end of the instrument both times: zero error 3.5, surface 0.5 divisions.
    #[test]
    fn turning_end_for_end_parts_the_boat_from_the_phone() {
        let read = |list: f64| Tilt {
            list,
            trim: -list,
            list_spread: 0.3,
            trim_spread: 0.4,
            n_samples: 1,
        };
        let found = Reversal::of(read(4.0), read(3.0));
        let near = |got: f64, expected: f64, what: &str| {
            assert!((got - expected).abs() < 1e-12, "{what}: {got}, expected {expected}");
        };
        let [list, trim] = found.zero;
        near(list, 3.5, "the phone's own list");
        near(trim, -3.5, "the phone's own trim");
        near(found.tilt.list, 0.5, "the boat's list");
        near(found.tilt.trim, -0.5, "the boat's trim");
        near(found.tilt.list_spread, 0.3 / 2.0_f64.sqrt(), "the variance halves");
        near(read(4.0).without(found.zero).list, 0.5, "any later reading");
    }
}
