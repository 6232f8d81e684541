//! What makes a boat right as it is described, before it is ever wet: weight for its marks, and foam above the
//! waterline for what is then still wrong under water.

use super::advice::{Remedy, Step, done_to, has_room, shift, steps};
use super::aim::{Least, UnderAim};
use super::both::{Demand, above_the_water};
use super::both_conditions::BothConditions;
use super::need::Need;
use super::target::Target;
use super::weight::{Piece, Weight};
use crate::boat::{Medium, Place};
use crate::fit::Fit;
use crate::float::{BoatError, FloatModel, Tolerance, upright_stiffness};
use crate::frame::Position;
use crate::geometry::Bounds;
use crate::unit::{GRAM, MILLIMETRE};
use nalgebra::Vector3;

/// What there is to make a boat right with.
#[derive(Debug, Clone, Copy)]
pub struct Stores<'a> {
    /// Density of the weight that is put on, kg/m³.
    pub weight: f64,
    /// The parts that can be moved.
    pub movable: &'a [MovablePart],
    /// The boxes around its tanks and parts, which none may be moved into.
    pub filled: &'a [Bounds],
}

/// A part that can be moved.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MovablePart {
    /// What it counts in the water, kg.
    pub counts: f64,
    /// The box around it; its middle where nothing is known of its shape.
    pub bounds: Bounds,
}

impl MovablePart {
    /// True when it lies in a box that it did not lie in before, once it is moved along and across (metres).
    fn comes_into(&self, [along, across]: [f64; 2], other: Bounds) -> bool {
        let by = Vector3::new(along, across, 0.0);
        let meets = |by: Vector3<f64>| {
            (0..3).all(|k| {
                self.bounds.low[k] + by[k] < other.high[k]
                    && other.low[k] < self.bounds.high[k] + by[k]
            })
        };
        meets(by) && !meets(Vector3::zeros())
    }
}

/// What makes a boat as described right, or brings it nearest.
#[derive(Debug, Clone, PartialEq)]
pub struct Ballasting {
    /// What is to be done, in order; none when it is right as described.
    pub steps: Vec<Step>,
    /// Which of the movable parts a shift is of, if there is one that serves.
    pub shifted: Option<usize>,
    /// How it lies then, both ways.
    pub after: BothConditions,
    /// Why that is not right yet, if it is not.
    pub short: Option<Shortfall>,
}

impl Ballasting {
    /// Whether it can be done to the boat's list as it stands: what is to be shifted is a part of it.
    pub fn is_of_the_list(&self) -> bool {
        self.shifted.is_some() || !self.steps.iter().any(|s| matches!(s, Step::Shift { .. }))
    }
}

/// Why ballast alone does not make a boat right.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Shortfall {
    /// At its marks its tanks are too small to take it under.
    Tank {
        /// Missing tank volume, m³.
        lacking: f64,
    },
    /// Weight must come lower, by this moment (mass times height, kg·m), until it is as stiff as it should be.
    Lower {
        /// Mass times height, kg·m.
        moment: f64,
    },
    /// It is too heavy for its marks, by so much (kg), and has no place in the wet where foam would lift it.
    TooHeavy {
        /// Mass that must go, kg.
        mass: f64,
    },
    /// Weight and foam within the boat cannot correct it.
    OutOfReach,
}

/// Iterations between weight and foam: foam is light, and changes the other little.
const ROUNDS: usize = 4;
/// How many fills within the aim are tried for the foam that needs least.
const FILLS: usize = 40;
/// Foam with less lift is left out, kg.
const LEAST_LIFT: f64 = 0.5 * GRAM;

/// What makes the boat of `fit` (see [`Fit::as_described`]) right both ways: for its marks one weight, at the
/// lowest of its places or of foam under the water where it is too heavy, and the part that must move least where
/// no weight within the boat would do; for what is then off under water one piece of foam above the waterline,
/// which lifts only there, at the fill within the aim that needs least of it. None without a mark.
///
/// # Errors
/// [`BoatError`] for a water density that is not positive.
pub fn ballast_for(
    fit: &Fit,
    demand: &Demand<'_>,
    stores: &Stores<'_>,
) -> Result<Option<Ballasting>, BoatError> {
    let Some(target) = Target::at_the_marks(demand.marks) else { return Ok(None) };
    let work = BallastSearch { fit, demand, stores, target };
    let as_described = work.lies(Vec::new(), None)?;
    if as_described.short.is_none() {
        return Ok(Some(as_described));
    }
    let (mut foam, mut short) = (None, None);
    let mut first = work.for_the_marks(None, &as_described.after)?;
    for _ in 0..ROUNDS {
        let ForMarks { steps, too_heavy, .. } = &first;
        if let Some(mass) = *too_heavy {
            short = Some(Shortfall::TooHeavy { mass });
            break;
        }
        let before = foam.take();
        match work.for_under(&done_to(&fit.found, steps)?)? {
            Under::Right => {}
            Under::Foam(step) => foam = Some(step),
            Under::Short(why) => short = Some(why),
        }
        if foam == before {
            break;
        }
        first = work.for_the_marks(foam.as_ref(), &as_described.after)?;
    }
    let ForMarks { steps: mut done, shifted, .. } = first;
    done.extend(foam);
    let best = work.lies(done, short)?;
    Ok(Some(Ballasting { shifted, ..best }))
}

/// What must be done for the marks.
#[derive(Default)]
struct ForMarks {
    steps: Vec<Step>,
    /// Which part is shifted, if one is.
    shifted: Option<usize>,
    /// By how much the boat is too heavy where nothing lifts it, kg.
    too_heavy: Option<f64>,
}

/// What must be done under water after the marks are right.
enum Under {
    Right,
    Foam(Step),
    Short(Shortfall),
}

struct BallastSearch<'a> {
    fit: &'a Fit,
    demand: &'a Demand<'a>,
    stores: &'a Stores<'a>,
    target: Target,
}

impl BallastSearch<'_> {
    /// The boat after these steps, put into the water both ways.
    fn lies(&self, steps: Vec<Step>, short: Option<Shortfall>) -> Result<Ballasting, BoatError> {
        let boat = done_to(&self.fit.found, &steps)?;
        let spread = match short {
            Some(Shortfall::Tank { .. }) => 0.0,
            _ => self.spread(),
        };
        let after = self.whole(&boat, spread)?;
        let stiff = self.lower(&boat, &after, self.demand.aim.least)?;
        let unknown = (!after.is_right_both()).then_some(Shortfall::OutOfReach);
        Ok(Ballasting { steps, shifted: None, after, short: stiff.or(short).or(unknown) })
    }

    /// How well it is known what the boat is heavy by under water, kg.
    fn spread(&self) -> f64 {
        self.fit.residual_spread(self.demand.basin.density)
    }

    /// A boat in the water both ways, its mass known to `spread`, kg.
    fn whole(&self, boat: &FloatModel, spread: f64) -> Result<BothConditions, BoatError> {
        let Demand { basin, aim, marks, .. } = *self.demand;
        BothConditions::of([boat, boat], basin, aim, marks, spread, None)
    }

    /// By what moment weight must come lower, if it must.
    fn lower(
        &self,
        boat: &FloatModel,
        after: &BothConditions,
        least: Least,
    ) -> Result<Option<Shortfall>, BoatError> {
        let blown = boat.flooded(0.0, self.demand.basin.density)?;
        let floats = after.afloat.outcome.afloat().is_some();
        let gm = if floats {
            upright_stiffness(&blown, self.demand.basin, None, &Tolerance::FINE)?.0.across
        } else {
            least.gm
        };
        let diving = boat.flooded(after.fill.share.value, self.demand.basin.density)?.mass();
        let moment = ((least.gm - gm) * blown.mass()).max((least.bg - after.bg) * diving);
        Ok((moment > 0.0).then_some(Shortfall::Lower { moment }))
    }

    /// What brings the boat to its marks, with this foam aboard; `now` is how it lies as described.
    fn for_the_marks(
        &self,
        foam: Option<&Step>,
        now: &BothConditions,
    ) -> Result<ForMarks, BoatError> {
        if foam.is_none() && now.is_right_afloat() {
            return Ok(ForMarks::default());
        }
        let density = self.demand.basin.density;
        let laden = foam.map_or_else(|| Ok(self.fit.found.clone()), |f| f.done_to(&self.fit.found));
        let blown = laden?.flooded(0.0, density)?;
        let fit = Fit { found: blown, ..self.fit.clone() };
        let lowest = self.demand.places.iter().min_by(|a, b| a.z.total_cmp(&b.z));
        let keel =
            || Place { name: String::new(), z: fit.found.bounds().low.z, medium: Medium::Dry };
        let place = lowest.cloned().unwrap_or_else(keel);
        let need = Need::of(&fit, self.target, density, place.z)?;
        if need.mass <= -GRAM / 2.0 {
            let foam = self.foam_under_the_water(&fit, density)?;
            let too_heavy = foam.is_none().then_some(-need.mass);
            let steps = foam.into_iter().map(Step::Add).collect();
            return Ok(ForMarks { steps, too_heavy, shifted: None });
        }
        let remedy = Remedy::Weight { place, density: self.stores.weight };
        let matters = [need.mass >= GRAM / 2.0, true, true];
        let steps = steps(&fit, &need, matters, &remedy, (self.target, density));
        let part = self.part_to_shift(&need);
        let of_the_part = |step| match (step, part) {
            (Step::Shift { .. }, Some(k)) => shift(&need, self.stores.movable[k].counts),
            (step, _) => Some(step),
        };
        let steps: Vec<Step> = steps.into_iter().filter_map(of_the_part).collect();
        let shifts = steps.iter().any(|step| matches!(step, Step::Shift { .. }));
        Ok(ForMarks { steps, shifted: part.filter(|_| shifts), too_heavy: None })
    }

    /// Foam under the water that brings the boat up to its marks, at the highest place where it lifts.
    fn foam_under_the_water(&self, fit: &Fit, density: f64) -> Result<Option<Weight>, BoatError> {
        let water = self.target.pose().map_or(0.0, |pose| pose.water_height_at(0.0, 0.0));
        let mut places: Vec<&Place> =
            self.demand.places.iter().filter(|place| place.z < water).collect();
        places.sort_by(|a, b| b.z.total_cmp(&a.z));
        for place in places {
            let need = Need::of(fit, self.target, density, place.z)?;
            let foam = self.demand.foam;
            let place = Place { medium: Medium::Wet, ..place.clone() };
            let piece =
                Piece { place: &place, material: foam, water: density, target: self.target };
            let weight = Weight::of(&fit.found, &need, &piece);
            let has_room = has_room(&fit.found, weight.x.value, weight.y.value);
            if has_room && !stays_dry(&fit.found, &weight) {
                return Ok(Some(weight));
            }
        }
        Ok(None)
    }

    /// The movable part that must move least, if it stays within a third of the boat and clear of all else.
    fn part_to_shift(&self, need: &Need) -> Option<usize> {
        let size = self.fit.found.bounds().size();
        let [along, across] = need.moment;
        let stays = |part: &&(usize, &MovablePart)| {
            let by = [along / part.1.counts, across / part.1.counts];
            by[0].abs() < size.x / 3.0
                && by[1].abs() < size.y / 3.0
                && !self.stores.filled.iter().any(|other| part.1.comes_into(by, *other))
        };
        let parts = self.stores.movable.iter().enumerate();
        let parts = parts.filter(|part| stays(&part));
        parts.max_by(|a, b| a.1.counts.total_cmp(&b.1.counts)).map(|(k, _)| k)
    }

    /// The foam that makes a boat right under water which is right at its marks.
    fn for_under(&self, boat: &FloatModel) -> Result<Under, BoatError> {
        let Demand { basin, aim, places, .. } = *self.demand;
        let fit = Fit { found: boat.clone(), ..self.fit.clone() };
        if self.whole(boat, self.spread())?.is_right_under() {
            return Ok(Under::Right);
        }
        let highest = places.iter().max_by(|a, b| a.z.total_cmp(&b.z));
        let deck = above_the_water(places, self.target).or_else(|| highest.cloned());
        let Some(deck) = deck else { return Ok(Under::Short(Shortfall::OutOfReach)) };
        let (mut best, mut least) = (None, None);
        let mut heaviest = f64::NEG_INFINITY;
        let [blown, full] = [0.0, 1.0].map(|share| boat.flooded(share, basin.density));
        let takes = full?.mass() - blown?.mass();
        let spread = self.spread();
        for k in 0..=FILLS {
            let at = aim.under.at(k as f64 / FILLS as f64, takes, spread);
            let need = Need::of(&fit, Target::Under(at), basin.density, deck.z)?;
            heaviest = heaviest.max(-need.mass);
            if -need.mass < LEAST_LIFT {
                continue;
            }
            // More lift is more foam.
            if least.is_some_and(|least| least <= -need.mass) {
                continue;
            }
            if let Some(weight) = self.foam(boat, &need, &deck) {
                (best, least) = (Some(weight), Some(-need.mass));
            }
        }
        Ok(match best {
            Some(foam) => Under::Foam(Step::Add(foam)),
            None if heaviest < -LEAST_LIFT => {
                // By the aim itself: the tanks' need does not depend on how well the mass is known.
                let lacking = aim.under.fill_of(boat, basin.density, 0.0)?.lacking;
                Under::Short(Shortfall::Tank { lacking: lacking / basin.density })
            }
            None => Under::Short(Shortfall::OutOfReach),
        })
    }

    /// Foam that gives this lift and these moments, above the water when the boat is at its marks; none if it would
    /// lie beyond the boat.
    fn foam(&self, boat: &FloatModel, need: &Need, deck: &Place) -> Option<Weight> {
        let Demand { basin, foam, .. } = *self.demand;
        let at = |place: &Place| {
            let piece = Piece {
                place,
                material: foam,
                water: basin.density,
                target: Target::Under(self.demand.aim.under),
            };
            Weight::of(boat, need, &piece)
        };
        let wet = Place { medium: Medium::Wet, ..deck.clone() };
        let weight = at(&wet);
        let (x, y) = (weight.x.value, weight.y.value);
        // All of the piece is above the water there.
        let water = self.target.pose()?.water_height_at(x, y);
        let least = water + weight.volume().cbrt() / 2.0 + MILLIMETRE;
        let place = Place { z: deck.z.max(least), ..wet };
        has_room(boat, x, y).then(|| at(&place)).filter(|foam| !stays_dry(boat, foam))
    }
}

/// How far around a piece is looked whether water comes to it, metres: farther than a wall is thick.
const AROUND: f64 = 5.0 * MILLIMETRE;

/// Whether a piece stays dry because it lies inside something watertight, and not merely in a wall.
fn stays_dry(boat: &FloatModel, piece: &Weight) -> bool {
    let sides = [0, 1, 2].into_iter().flat_map(|axis| [-AROUND, AROUND].map(|by| (axis, by)));
    let mut points = std::iter::once((0, 0.0)).chain(sides).map(|(axis, by)| {
        let mut at = piece.at().vector();
        at[axis] += by;
        Position::from_vector(at)
    });
    points.all(|at| boat.solids().iter().any(|solid| solid.holds(at)))
}

impl UnderAim {
    /// This aim at so much of its way, 0 (lightest or least fill) to 1, and nothing else of it, for tanks that take
    /// so much (kg). It stays inside the aim by twice the spread (kg), as far as there is room.
    fn at(self, way: f64, takes: f64, spread: f64) -> Self {
        let between = |[low, high]: [f64; 2], margin: f64| {
            let margin = margin.min((high - low) / 2.0).max(0.0);
            low + margin + way * (high - low - 2.0 * margin)
        };
        match self {
            Self::AnyAmount { least, most } => {
                let margin = if takes > 0.0 { 2.0 * spread / takes } else { 0.0 };
                let share = between([least, most], margin);
                Self::AnyAmount { least: share, most: share }
            }
            Self::AllOrNothing { lightest, heaviest } => {
                let goal = between([lightest, heaviest], 2.0 * spread);
                Self::AllOrNothing { lightest: goal, heaviest: goal }
            }
        }
    }
}
