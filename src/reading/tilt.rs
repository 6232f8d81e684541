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
    /// True when the phone and the boat held still while it was read.
    pub fn is_still(&self) -> bool {
        self.list_spread <= STILL && self.trim_spread <= STILL
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
}
