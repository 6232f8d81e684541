//! The way between: a boat followed along its stable branch while its tanks flood or are blown.

use super::draining::{Draining, outside};
use super::equilibrium::{Basin, release, settle_from};
use super::flooding::{Flooding, Heading, Order};
use super::liquid::Surfaces;
use super::model::FloatModel;
use super::outcome::Outcome;
use super::problem::BoatError;
use super::righting::{Upright, held_upright};
use super::settle::Tolerance;
use super::sweep::{Event, Happening, Sweep, SweepRow};
use crate::boat::Space;
use crate::frame::Pose;
use crate::unit::DEGREE;
use nalgebra::{Unit, Vector3};
use std::f64::consts::FRAC_PI_2;
use std::sync::Arc;

/// In how many steps a boat is followed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Steps {
    /// Rows at equal distances of time, both ends counted; two at the least.
    pub n_rows: u32,
    /// Rows between them where the boat turns quickly.
    pub refined: bool,
}

impl Default for Steps {
    fn default() -> Self {
        Self { n_rows: 101, refined: true }
    }
}

/// A millionth of a millimetre: a hundred-thousandth of a degree where GM is 5 mm.
const ON_THE_WAY: Tolerance = Tolerance { force: 1e-9, lever: 1e-9, ..Tolerance::FINE };
/// A turn between two rows above which a row is inserted, radians.
const QUICK: f64 = 3.0 * DEGREE;
/// How often a step is halved for that.
const HALVINGS: u32 = 4;
/// A turn between two rows up to which the motion is extrapolated, radians.
const STEADY: f64 = 1.0 * DEGREE;
/// Heel below which the boat counts as lying at zero heel, radians.
const NO_HEEL: f64 = 1e-6;
/// Off centre by less, a boat counts as symmetric, metres.
const CENTRED: f64 = 1e-7;

/// Follows a boat row by row: the first is the boat released upright, each other one is reached
/// from the row before, so that a boat with two attitudes stays in the one it is in.
///
/// An iterator, so that a caller with other things to do can stop between rows.
#[derive(Debug, Clone)]
pub struct Passage {
    model: FloatModel,
    basin: Basin,
    flooding: Flooding,
    spaces: Arc<[Space]>,
    steps: Steps,
    tolerance: Tolerance,
    /// The times of the last row and of the next one, in the least parts of a step.
    last: u64,
    next: u64,
    before: Option<SweepRow>,
    /// When the row before that one was, and how the boat lay then and with its heel held at zero.
    earlier: Option<(f64, [Pose; 2])>,
    /// Where the liquids' surfaces were in the last row.
    surfaces: Surfaces,
    /// The pose of the boat with nothing off centre.
    centred: Option<Pose>,
    event: Option<Event>,
    failed: bool,
}

impl Passage {
    /// Makes ready. `spaces` hold water back on the way up; on the way down water is taken to
    /// come in as quickly as the tanks flood.
    ///
    /// # Errors
    /// [`BoatError::WaterDensity`] for a density that is not positive.
    pub fn new(
        model: &FloatModel,
        basin: Basin,
        flooding: Flooding,
        spaces: Arc<[Space]>,
        steps: Steps,
    ) -> Result<Self, BoatError> {
        basin.check()?;
        let up = flooding.heading() == Heading::Up;
        Ok(Self {
            model: model.clone(),
            basin,
            flooding,
            spaces: if up { spaces } else { Arc::default() },
            steps: Steps { n_rows: steps.n_rows.max(2), ..steps },
            tolerance: ON_THE_WAY,
            last: 0,
            next: 0,
            before: None,
            earlier: None,
            surfaces: Surfaces::new(),
            centred: None,
            event: None,
            failed: false,
        })
    }

    /// The water it goes through.
    pub fn basin(&self) -> Basin {
        self.basin
    }

    /// Down or up.
    pub fn heading(&self) -> Heading {
        self.flooding.heading()
    }

    /// Which tank begins when.
    pub fn order(&self) -> Order {
        self.flooding.order()
    }

    /// How much of the way is done, 0 to 1.
    pub fn done(&self) -> f64 {
        (self.next as f64 / self.end() as f64).min(1.0)
    }

    /// What happened on the way to the row that came last.
    pub fn event(&self) -> Option<Event> {
        self.event
    }

    /// The boat as it is in a row of this passage.
    ///
    /// # Errors
    /// [`BoatError`] when the row is of another boat.
    pub fn model_in(&self, row: &SweepRow) -> Result<FloatModel, BoatError> {
        self.model_at(row.time, &row.trapped)
    }

    fn parts(&self) -> u64 {
        if self.steps.refined { 1 << HALVINGS } else { 1 }
    }

    fn end(&self) -> u64 {
        u64::from(self.steps.n_rows - 1) * self.parts()
    }

    fn time(&self, at: u64) -> f64 {
        self.flooding.lasts() * at as f64 / self.end() as f64
    }

    fn model_at(&self, time: f64, trapped: &[f64]) -> Result<FloatModel, BoatError> {
        let filled = self.flooding.filled(&self.model, time, self.basin.density)?;
        Ok(self.holding(filled, trapped))
    }

    fn holding(&self, filled: FloatModel, trapped: &[f64]) -> FloatModel {
        if self.spaces.is_empty() {
            return filled;
        }
        filled.with_trapped(&self.spaces, trapped, self.basin.density)
    }

    /// The row at the end of the longest step from the last row that does not turn the boat
    /// quickly, or of the least step.
    fn row(&mut self) -> Result<SweepRow, BoatError> {
        let Some(before) = self.before.clone() else {
            let row = self.row_at(0, None)?;
            self.next = self.parts();
            return Ok(row);
        };
        loop {
            let row = self.row_at(self.next, Some(&before))?;
            let turned = before.pose().up().angle(&row.pose().up());
            let step = self.next - self.last;
            if turned <= QUICK || step <= 1 {
                let sudden = turned > QUICK && self.steps.refined;
                self.event = sudden.then(|| event(&before, &row));
                self.last = self.next;
                // On to the next row at an equal distance.
                self.next += self.parts() - self.next % self.parts();
                return Ok(row);
            }
            self.next = self.last + step / 2;
        }
    }

    /// Mass of water that the spaces above the surface could hold, kg: the calculation counts it as
    /// buoyancy still to come, but it does not carry.
    fn dry_room(&self, outcome: &Outcome) -> f64 {
        let dry = |space: &Space| {
            (space.cavity.volume() - outside(space, outcome))
                * space.permeability
                * self.basin.density
        };
        self.spaces.iter().map(dry).sum()
    }

    /// The boat at a time and how it lies then: what its spaces hold and the level outside them
    /// follow from each other.
    fn at_rest(
        &mut self,
        time: f64,
        before: Option<&SweepRow>,
    ) -> Result<(FloatModel, Vec<f64>, Outcome), BoatError> {
        let filled = self.flooding.filled(&self.model, time, self.basin.density)?;
        let (basin, tolerance) = (self.basin, self.tolerance);
        let Some(before) = before else {
            let full: Vec<f64> = self.spaces.iter().map(|s| s.cavity.volume()).collect();
            let model = self.holding(filled, &full).near(&self.surfaces);
            let outcome = release(&model, basin, &tolerance)?;
            self.look_at_surfaces(&model, &outcome);
            return Ok((model, full, outcome));
        };
        let mut pose = self.ahead(before, time)[0];
        let around: Vec<f64> = self.spaces.iter().map(|s| outside(s, &before.outcome)).collect();
        let ahead = |space: &Space| space.cavity.below(pose.up(), pose.height()).volume;
        let guess = match before.outcome.afloat() {
            Some(_) => self.spaces.iter().map(ahead).collect(),
            None => around.clone(),
        };
        let seconds = time - before.time;
        let mut draining = Draining::new(&self.spaces, &before.trapped, &around, guess, seconds);
        loop {
            let trapped = draining.held();
            let model = self.holding(filled.clone(), &trapped).near(&self.surfaces);
            let outcome = settle_from(&model, basin, pose, &tolerance)?;
            self.look_at_surfaces(&model, &outcome);
            let found = self.spaces.iter().map(|s| outside(s, &outcome)).collect();
            if draining.agrees(found)? {
                return Ok((model, trapped, outcome));
            }
            pose = outcome.pose();
        }
    }

    /// Keeps where the surfaces of the liquids are, so that the next ones are found sooner.
    fn look_at_surfaces(&mut self, model: &FloatModel, outcome: &Outcome) {
        self.surfaces = model.surfaces();
        model.weights(outcome.pose().up(), &mut self.surfaces);
    }

    fn row_at(&mut self, at: u64, before: Option<&SweepRow>) -> Result<SweepRow, BoatError> {
        let time = self.time(at);
        let (basin, tolerance) = (self.basin, self.tolerance);
        let (model, trapped, outcome) = self.at_rest(time, before)?;
        let held = if let Some(held) = upright_already(&outcome) {
            held
        } else {
            let near = before.map(|before| self.ahead(before, time)[1]);
            held_upright(&model, basin, near, &tolerance)?
        };
        let loll = if held.stiffness.across < 0.0 {
            Some(self.loll(&model, outcome.pose(), held.offset)?)
        } else {
            self.centred = None;
            None
        };
        Ok(SweepRow {
            fill: self.flooding.fill(time),
            time,
            fills: self.flooding.fills(time),
            trapped,
            residual: model.residual_mass(basin.density) + self.dry_room(&outcome),
            outcome,
            upright: held.stiffness,
            upright_pose: held.pose,
            offset: held.offset,
            loll,
        })
    }

    /// Where the boat will lie at a time, free and with its heel held at zero, extrapolated from
    /// the last two rows: a start close to rest. After a quick turn nothing is extrapolated.
    fn ahead(&self, before: &SweepRow, time: f64) -> [Pose; 2] {
        let last = [before.pose(), before.upright_pose];
        let Some((earlier, poses)) = self.earlier else { return last };
        let times = (time - before.time) / (before.time - earlier);
        let on = |k: usize| {
            let (from, to) = (poses[k], last[k]);
            let turn = to.up().into_inner() - from.up().into_inner();
            if !times.is_finite() || turn.norm() > STEADY {
                return to;
            }
            let up = Unit::new_normalize(to.up().into_inner() + turn * times);
            Pose::new(to.height() + (to.height() - from.height()) * times, up)
        };
        [on(0), on(1)]
    }

    /// How far the boat would lean with its centre of gravity over that of buoyancy.
    fn loll(&mut self, model: &FloatModel, pose: Pose, offset: f64) -> Result<f64, BoatError> {
        if offset.abs() < CENTRED {
            return Ok(pose.heel().abs());
        }
        let centred = model.with_error(0.0, Vector3::new(0.0, -offset, 0.0))?;
        let start = self.centred.unwrap_or(pose);
        let outcome = settle_from(&centred, self.basin, start, &self.tolerance)?;
        self.centred = Some(outcome.pose());
        Ok(outcome.pose().heel().abs())
    }
}

impl Iterator for Passage {
    type Item = Result<SweepRow, BoatError>;

    fn next(&mut self) -> Option<Self::Item> {
        if self.failed || self.next > self.end() {
            return None;
        }
        self.event = None;
        let row = self.row();
        match &row {
            Ok(row) => {
                if self.before.is_none() && is_over(row.pose()) {
                    let from = row.upright_pose;
                    self.event = Some(Event {
                        what: Happening::Capsizes,
                        fill: row.fill,
                        from,
                        to: row.pose(),
                    });
                }
                let last = self.before.replace(row.clone());
                self.earlier = last.map(|last| (last.time, [last.pose(), last.upright_pose]));
            }
            Err(_) => self.failed = true,
        }
        Some(row)
    }
}

/// A boat at rest without heel needs no second solution with its heel held.
fn upright_already(outcome: &Outcome) -> Option<Upright> {
    let (pose, stiffness) = (outcome.pose(), outcome.stiffness());
    let heel = pose.heel();
    let offset = -stiffness.across * heel;
    (heel.abs() < NO_HEEL).then_some(Upright { stiffness, pose, offset })
}

fn is_over(pose: Pose) -> bool {
    pose.heel().abs() > FRAC_PI_2
}

fn event(before: &SweepRow, after: &SweepRow) -> Event {
    let (from, to) = (before.pose(), after.pose());
    let heels = (to.heel() - from.heel()).abs() > (to.trim() - from.trim()).abs();
    let what = match (is_over(to) && !is_over(from), heels) {
        (true, _) => Happening::Capsizes,
        (false, true) => Happening::Heels,
        (false, false) => Happening::Trims,
    };
    Event { what, fill: after.fill, from, to }
}

impl Sweep {
    /// Follows a boat to the end.
    ///
    /// # Errors
    /// [`BoatError`] for a tank that is not there or a density that is not positive.
    pub fn along(mut passage: Passage) -> Result<Self, BoatError> {
        let mut sweep = Self::default();
        while let Some(row) = passage.next() {
            sweep.rows.push(row?);
            sweep.events.extend(passage.event());
        }
        Ok(sweep)
    }
}

/// Fills the tanks of these numbers together from empty to full, at `n_rows` equal steps (two at
/// the least), each with its own liquid.
///
/// # Errors
/// [`BoatError`] for a tank that is not there or a density that is not positive.
pub fn sweep(
    model: &FloatModel,
    basin: Basin,
    tanks: &[usize],
    n_rows: u32,
    tolerance: &Tolerance,
) -> Result<Sweep, BoatError> {
    let flooding = Flooding::of_tanks(model, tanks)?;
    let steps = Steps { n_rows, refined: false };
    let passage = Passage::new(model, basin, flooding, Arc::default(), steps)?;
    Sweep::along(Passage { tolerance: *tolerance, ..passage })
}
