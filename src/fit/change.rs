//! What changed: the newest reading against what everything before it foretold.

use super::chi_squared::chi_squared_99;
use super::estimate::{Estimate, Unknown};
use super::foretold::{ChangeFit, ChangeWay, Foretold};
use super::sighting::Sighting;
use crate::float::{FloatModel, Push};
use crate::frame::Position;
use nalgebra::{DVector, Matrix3, Vector3};

/// How far a reading is from what was foretold of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ChangeTest {
    /// The sum of squares of all figures, of so many degrees of freedom.
    pub chi_squared: f64,
    /// Number of figures.
    pub figures: usize,
    /// How much of it the best change of mass and moments takes away: chi-squared of so many degrees of freedom as
    /// the figures tell.
    pub explained: f64,
    /// How many of mass and the two moments the figures tell.
    pub told: usize,
    /// How much of it mass alone takes away that came to the boat's middle, or went from there: of one degree of
    /// freedom.
    pub by_mass: f64,
}

/// A change of the boat's mass and moments.
#[derive(Debug, Clone)]
pub struct MassChange {
    /// How much heavier it is, kg.
    pub mass: Estimate,
    /// The moment of that about the body's origin, along and across, kg·m.
    pub moment: [Estimate; 2],
    /// Where that lies, x and y, metres; none where what it weighs is too uncertain for a place.
    pub at: Option<[Estimate; 2]>,
    /// The covariance of mass and place.
    pub place_covariance: Matrix3<f64>,
    /// The fit itself.
    pub fit: ChangeFit,
}

/// One figure that was misread, if that is what happened.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slip {
    /// Its place in the reading.
    pub figure: usize,
    /// How much more it read than it should, in its unit.
    pub by: Estimate,
    /// The sum of squares that is left.
    pub chi_squared: f64,
    /// The logarithm of how likely the figures are then, on the scale of [`ChangeFit`].
    pub log_likelihood: f64,
}

/// What is left of a column, below this share of the longest one, tells nothing.
const TELLS: f64 = 1e-6;
/// A mass has a place from so many of its spreads on.
const HAS_PLACE: f64 = 2.0;
/// What of a boat's mass may come aboard or go, for figures that do not tell all: common practice, no source.
const MOST: f64 = 0.3;

impl ChangeTest {
    /// True where the boat has changed, or something was misread.
    ///
    /// Three tests, each at 1 %: mass amidships, which is what water in a dry hull and a tank that was not blown are;
    /// mass and moments, which any leak or lost weight is; and all figures together, which a slip moves. So a boat
    /// that did not change passes in 97 of 100 readings at least (Bonferroni). Mass by itself is tested because one
    /// degree of freedom finds less of it than three.
    pub fn alarms(&self) -> bool {
        let sums =
            [(self.by_mass, 1), (self.explained, self.told), (self.chi_squared, self.figures)];
        sums.into_iter().any(|(sum, n)| sum > chi_squared_99(n))
    }
}

impl Foretold<'_> {
    /// How far the reading is from what was foretold; none where the boat could not even lie as it did.
    pub fn test(&self) -> Option<ChangeTest> {
        let here = self.difference(&Some, None, None)?;
        let lower = here.root.l();
        let off = lower.solve_lower_triangular(&here.off)?;
        let size = self.wet.model.bounds().size();
        let height = self.middle();
        let pushes = [
            Push { mass: 1.0, moment: Vector3::z() * height },
            Push { mass: 0.0, moment: Vector3::x() * size.x },
            Push { mass: 0.0, moment: Vector3::y() * size.y },
        ];
        let at_centre = Push { mass: 1.0, moment: self.wet.model.bare().centre };
        let by_mass = lower.solve_lower_triangular(&self.wet.moves(&here.at_rest, &at_centre))?;
        let by_mass = by_mass.dot(&off).powi(2) / by_mass.norm_squared();
        let columns = pushes
            .iter()
            .map(|push| lower.solve_lower_triangular(&self.wet.moves(&here.at_rest, push)));
        let columns: Vec<DVector<f64>> = columns.collect::<Option<_>>()?;
        let greatest = columns.iter().map(DVector::norm).fold(0.0, f64::max);
        // The part of it that lies in what they span, by Gram and Schmidt.
        let (mut explained, mut directions) = (0.0, Vec::<DVector<f64>>::new());
        for mut column in columns {
            for direction in &directions {
                column -= direction * direction.dot(&column);
            }
            let left = column.norm();
            if left > TELLS * greatest {
                column /= left;
                explained += column.dot(&off).powi(2);
                directions.push(column);
            }
        }
        let told = directions.len();
        Some(ChangeTest {
            chi_squared: off.norm_squared(),
            figures: off.len(),
            explained,
            told,
            by_mass,
        })
    }

    /// How much heavier or lighter the boat is, and where. Its height cannot be told: half the boat's depth, and
    /// what that leaves open (anywhere between keel and deck) is in the ±. None where no such change makes it lie so.
    pub fn change(&self) -> Option<MassChange> {
        let (size, height) = (self.wet.model.bounds().size(), self.middle());
        let boat = |boat: &FloatModel, amounts: &[f64]| {
            let [mass, along, across] = *amounts else { return None };
            let heavier = boat.with_weight(mass, Position::ORIGIN).ok()?;
            heavier.with_moment(Vector3::new(along, across, mass * height)).ok()
        };
        let is_told = Sighting::Wet(Box::new(self.wet.clone())).tells(self.wet.model.bounds());
        let free = is_told.len() == Unknown::ALL.len();
        let most = MOST * self.wet.model.mass();
        let anywhere = size / 12.0_f64.sqrt();
        let spreads = [most, most * anywhere.x, most * anywhere.y];
        let fit = self.fit(&ChangeWay {
            boat: &boat,
            start: vec![0.0; 3],
            steps: vec![1e-3, 1e-3 * size.x, 1e-3 * size.y],
            within: vec![[f64::NEG_INFINITY, f64::INFINITY]; 3],
            spreads: spreads.map(|s| if free { f64::INFINITY } else { s }).to_vec(),
            height_spread: anywhere.z,
        })?;
        Some(MassChange::of(fit))
    }

    /// Weight that was moved within the boat: along and across, kg·m. `spread` is how much is likely of each.
    pub fn moved(&self, spread: [f64; 2]) -> Option<ChangeFit> {
        let boat = |boat: &FloatModel, amounts: &[f64]| {
            let [along, across] = *amounts else { return None };
            boat.with_moment(Vector3::new(along, across, 0.0)).ok()
        };
        let size = self.wet.model.bounds().size();
        self.fit(&ChangeWay {
            boat: &boat,
            start: vec![0.0; 2],
            steps: vec![1e-3 * size.x, 1e-3 * size.y],
            within: vec![[f64::NEG_INFINITY, f64::INFINITY]; 2],
            spreads: spread.to_vec(),
            height_spread: 0.0,
        })
    }

    /// Each figure as if it alone was misread, of a boat that did not change.
    pub fn slips(&self) -> Vec<Slip> {
        let Some(here) = self.difference(&Some, None, None) else { return Vec::new() };
        let pulled = here.root.solve(&here.off);
        let inverse = here.root.inverse();
        let whole = here.off.dot(&pulled);
        let ln_determinant = here.root.ln_determinant();
        let slip = |k: usize| {
            let weight = inverse[(k, k)];
            let by = Estimate::new(pulled[k] / weight, (1.0 / weight).sqrt());
            let chi_squared = (whole - pulled[k] * pulled[k] / weight).max(0.0);
            let log_likelihood = -0.5 * (chi_squared + ln_determinant);
            Slip { figure: k, by, chi_squared, log_likelihood }
        };
        (0..here.off.len()).map(slip).collect()
    }

    /// Half the boat's depth, metres above the body's origin.
    fn middle(&self) -> f64 {
        let bounds = self.wet.model.bounds();
        f64::midpoint(bounds.low.z, bounds.high.z)
    }
}

impl MassChange {
    fn of(fit: ChangeFit) -> Self {
        let estimate =
            |k: usize| Estimate::new(fit.amounts[k], fit.covariance[(k, k)].max(0.0).sqrt());
        let (mass, moment) = (estimate(0), [estimate(1), estimate(2)]);
        let places = moment.map(|m| m.value / mass.value);
        // The place is the moment over the mass: first order, JCGM 100:2008 (GUM) section 5.2.2.
        let by = Matrix3::from_rows(&[
            nalgebra::RowVector3::new(1.0, 0.0, 0.0),
            nalgebra::RowVector3::new(-places[0], 1.0, 0.0) / mass.value,
            nalgebra::RowVector3::new(-places[1], 0.0, 1.0) / mass.value,
        ]);
        let covariance = Matrix3::from_fn(|i, j| fit.covariance[(i, j)]);
        let place_covariance = by * covariance * by.transpose();
        let has_place = mass.value.abs() > HAS_PLACE * mass.spread;
        let place =
            |k: usize| Estimate::new(places[k], place_covariance[(k + 1, k + 1)].max(0.0).sqrt());
        let at = has_place.then(|| [place(0), place(1)]);
        Self { mass, moment, at, place_covariance, fit }
    }
}
