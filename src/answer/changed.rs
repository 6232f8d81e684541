//! What may have happened to a boat that is not the one that was read before.

use super::hollow::Hollow;
use super::kept::sessions_in_hand;
use super::ready_boat::ReadyBoat;
use crate::boat::can_be_shifted;
use crate::diary::{Diary, ReadingRecord};
use crate::fit::{
    ChangeFit, ChangeWay, Estimate, Foretold, KnownErrors, MassChange, Slip, WetSighting,
};
use crate::float::FloatModel;
use crate::frame::{Pose, Position};
use crate::geometry::Bounds;
use crate::pause::{Pause, pause};
use crate::reading::{Condition, Reading};
use crate::unit::GRAM;
use std::f64::consts::PI;
use std::sync::Arc;

/// How the boat differs from what everything before foretold of it.
#[derive(Debug, Clone)]
pub struct Change {
    /// How much heavier or lighter it is, and where; none where no such change makes it lie so.
    pub found: Option<MassChange>,
    /// What was known of it before.
    pub(super) known: KnownErrors,
}

/// Something that may have happened.
#[derive(Debug, Clone, PartialEq)]
pub struct Suspect {
    /// What.
    pub what: SuspectKind,
    /// How much of it, kg: positive is heavier. Of a figure that was misread, how much too much it read, in its own
    /// unit.
    pub amount: Estimate,
    /// The sum of squares that is left of the figures.
    pub chi_squared: f64,
    /// How probable it is among all that are looked at, 0 to 1.
    pub probability: f64,
}

/// What may have happened, with the name of the part or tank, or the figure's place in the reading.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum SuspectKind {
    /// Water got into a dry part.
    WaterInside(String),
    /// A tank holds less water than was said: air stayed in it, or it was not filled.
    TankHoldsLess(String),
    /// A tank holds more water than was said: it was not blown out.
    TankHoldsMore(String),
    /// Air stayed in a flooded space.
    AirInside(String),
    /// Water stays in a flooded space above the water outside.
    DrainsBadly(String),
    /// A part of the list is not aboard.
    LeftAshore(String),
    /// Something is aboard that is not in the list.
    PutOn,
    /// Something is gone that is not in the list by itself.
    Gone,
    /// Something aboard lies elsewhere.
    Moved,
    /// One figure was misread.
    Misread(usize),
}

/// Amounts below this are not looked for, kg: common practice, no source.
const LEAST: f64 = 5.0 * GRAM;
/// More than this share of the boat's mass is not looked for: common practice, no source.
const MOST: f64 = 0.3;
/// How far what is moved aboard goes, as shares of the boat's mass and size: common practice, no source.
const MOVED: f64 = 0.01;
/// How far figures that are misread are off, in their spreads: at most. Common practice, no source.
const MISREAD: f64 = 100.0;
/// What is less probable is not named.
const NAMED: f64 = 0.01;

/// The kinds of things that happen, each as likely as another beforehand; and within a kind each thing. Common
/// practice, no source.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Group {
    Leak,
    Tank,
    Space,
    Ashore,
    Anything,
    Moved,
    Misread,
}

/// A suspect with the logarithm of its evidence.
struct Weighed {
    group: Group,
    what: SuspectKind,
    amount: Estimate,
    chi_squared: f64,
    log_evidence: f64,
}

impl Change {
    /// Of a reading that does not go with what was known.
    pub(super) fn of(wet: &WetSighting, known: &KnownErrors) -> Self {
        Self { found: Foretold { known, wet }.change(), known: known.clone() }
    }

    /// What may have happened, the likeliest first: each is fitted to the reading (its tanks so full, 0 to 1), with
    /// pauses, since all of them take longer than a frame.
    pub(super) async fn suspects(
        &self,
        hand: &ReadyBoat,
        (wet, fill): (&WetSighting, f64),
        due: Pause<'_>,
    ) -> Vec<Suspect> {
        let foretold = Foretold { known: &self.known, wet };
        let density = wet.reading.water_density;
        let search = Search { hand, foretold, fill, density, found: self.found.as_ref() };
        let mut all = search.misread();
        all.extend(search.anything());
        all.extend(search.moved());
        for hollow in hand.hollows.all(&hand.model) {
            pause(due).await;
            all.extend(if hollow.is_dry { search.leak(hollow) } else { search.space(hollow) });
        }
        for tank in 0..hand.boat.tanks.len() {
            pause(due).await;
            all.extend(search.tank(tank));
        }
        pause(due).await;
        all.extend(search.ashore());
        ranked(all)
    }
}

/// When the boat in hand was read last before a reading with its tanks so full, which may be kept already: ISO 8601.
pub fn read_before<'a>(diary: &'a Diary, reading: &Reading, fill: f64) -> Option<&'a str> {
    let own = ReadingRecord::of(reading, "", fill);
    let mut sessions: Vec<_> = sessions_in_hand(diary).collect();
    sessions.sort_by(|a, b| b.started_at.cmp(&a.started_at));
    let mut readings = sessions.into_iter().flat_map(|session| session.readings().rev());
    let (last, read) = readings.next()?;
    let before = if read.says_the_same(&own) { readings.next()?.0 } else { last };
    Some(&before.at)
}

/// By probability: that of the figures under each, with what was open about it beforehand (Bayes; the integral over
/// its amount by Laplace).
fn ranked(all: Vec<Weighed>) -> Vec<Suspect> {
    let of_group = |group: Group| all.iter().filter(|w| w.group == group).count().max(1);
    let weight = |w: &Weighed| w.log_evidence - (of_group(w.group) as f64).ln();
    let weights: Vec<f64> = all.iter().map(weight).collect();
    let greatest = weights.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let sum: f64 = weights.iter().map(|w| (w - greatest).exp()).sum();
    let suspects = all.into_iter().zip(weights).map(|(w, weight)| Suspect {
        what: w.what,
        amount: w.amount,
        chi_squared: w.chi_squared,
        probability: (weight - greatest).exp() / sum,
    });
    let mut named: Vec<Suspect> = suspects.filter(|s| s.probability >= NAMED).collect();
    named.sort_by(|a, b| b.probability.total_cmp(&a.probability));
    named
}

/// Looks for what may have happened.
struct Search<'a> {
    hand: &'a ReadyBoat,
    foretold: Foretold<'a>,
    fill: f64,
    density: f64,
    found: Option<&'a MassChange>,
}

impl Search<'_> {
    /// How the boat lies, as far as known.
    fn pose(&self) -> Option<Pose> {
        self.found.map(|found| found.fit.pose)
    }

    fn most(&self) -> f64 {
        MOST * self.hand.model.mass()
    }

    /// Something of one amount between two, kg: both on one side of nothing, the first one nearer to it.
    fn one(
        &self,
        group: Group,
        what: SuspectKind,
        [least, most]: [f64; 2],
        boat: &dyn Fn(&FloatModel, f64) -> Option<FloatModel>,
    ) -> Option<Weighed> {
        let within = [least.min(most), least.max(most)];
        let guess = self.found.map_or(most, |found| found.mass.value);
        let try_from = |guess: f64| {
            self.foretold.fit(&ChangeWay {
                boat: &|model, amounts| boat(model, *amounts.first()?),
                start: vec![guess.clamp(within[0], within[1])],
                steps: vec![(0.1 * GRAM).min(0.5 * (within[1] - within[0]))],
                within: vec![within],
                spreads: vec![f64::INFINITY],
                height_spread: 0.0,
            })
        };
        let fit = try_from(guess).or_else(|| try_from(0.3 * guess))?;
        let amount = Estimate::new(fit.amounts[0], spread(&fit)?);
        // At its lower end it explains nothing.
        if amount.value.abs() <= least.abs() {
            return None;
        }
        let prior = 1.0 / (amount.value.abs() * (most / least).ln().max(1.0));
        let open = ((2.0 * PI).sqrt() * amount.spread * prior).ln().min(0.0);
        let log_evidence = fit.log_likelihood + open;
        Some(Weighed { group, what, amount, chi_squared: fit.chi_squared, log_evidence })
    }

    /// Water in a dry part.
    fn leak(&self, Hollow { space, .. }: &Hollow) -> Option<Weighed> {
        let density = self.density * space.permeability;
        let most = (density * space.cavity.volume()).min(self.most());
        let boat = |model: &FloatModel, mass: f64| {
            Some(model.with_water_in(&space.cavity, mass / density, density))
        };
        let what = SuspectKind::WaterInside(space.name.clone());
        self.one(Group::Leak, what, ends(LEAST, most)?, &boat)
    }

    /// Air in a flooded part, or water that does not run out.
    fn space(&self, Hollow { space, .. }: &Hollow) -> Option<Weighed> {
        let (whole, density) = (space.cavity.volume(), self.density * space.permeability);
        let is_under = self.foretold.wet.reading.condition == Condition::Under;
        let pose = self.pose()?;
        let below = space.cavity.below(pose.up(), pose.height()).volume;
        let outside = if is_under { whole } else { below };
        let spaces = Arc::from([space.clone()]);
        let boat = |model: &FloatModel, mass: f64| {
            let volume = outside + mass / density;
            Some(model.with_trapped(&spaces, &[volume], self.density))
        };
        let name = space.name.clone();
        if is_under {
            let most = (density * whole).min(self.most());
            let [least, most] = ends(LEAST, most)?;
            self.one(Group::Space, SuspectKind::AirInside(name), [-least, -most], &boat)
        } else {
            let most = (density * (whole - below)).min(self.most());
            self.one(Group::Space, SuspectKind::DrainsBadly(name), ends(LEAST, most)?, &boat)
        }
    }

    /// A tank that holds less or more than was said.
    fn tank(&self, k: usize) -> Vec<Weighed> {
        let model = &self.hand.model;
        let (Some(tank), Some([low, high])) = (self.hand.boat.tanks.get(k), model.usable_range(k))
        else {
            return Vec::new();
        };
        let said = low + self.fill * (high - low);
        let whole = self.density * model.capacity(k);
        let boat = |model: &FloatModel, mass: f64| {
            model.with_fill(k, (said + mass / whole).clamp(0.0, 1.0)).ok()
        };
        let kinds = [
            (SuspectKind::TankHoldsLess(tank.name.clone()), -1.0, whole * said),
            (SuspectKind::TankHoldsMore(tank.name.clone()), 1.0, whole * (1.0 - said)),
        ];
        let fitted = kinds.into_iter().filter_map(|(what, sign, room)| {
            let [least, most] = ends(LEAST, room.min(self.most()))?;
            self.one(Group::Tank, what, [sign * least, sign * most], &boat)
        });
        fitted.collect()
    }

    /// Parts of the list that are not aboard.
    fn ashore(&self) -> Vec<Weighed> {
        let ReadyBoat { boat, model, .. } = self.hand;
        let (Some(pose), false) = (self.pose(), self.hand.is_quick) else { return Vec::new() };
        let nesting = model.nesting();
        let aboard = boat.parts.iter().enumerate().filter(|(_, part)| part.status.is_aboard());
        let can = aboard.zip(can_be_shifted(boat, nesting)).filter(|(_, can)| *can);
        let is_under = self.foretold.wet.reading.condition == Condition::Under;
        let of_part = |((k, part), _): ((usize, &crate::boat::Part), bool)| {
            // What the water carried of it is gone too.
            let carried =
                nesting.displaced_by_part(k).map_or((0.0, part.centre.vector()), |mesh| {
                    let (volume, moment) = if is_under {
                        (mesh.volume(), mesh.first_moment())
                    } else {
                        let cut = mesh.below(pose.up(), pose.height());
                        (cut.volume, cut.first_moment)
                    };
                    let at = if volume > 0.0 { moment / volume } else { part.centre.vector() };
                    (self.density * volume, at)
                });
            let net = carried.0 - part.mass;
            if net.abs() < LEAST {
                return None;
            }
            let boat = |model: &FloatModel, _: &[f64]| {
                let lighter = model.with_weight(-part.mass, part.centre).ok()?;
                lighter.with_weight(carried.0, Position::from_vector(carried.1)).ok()
            };
            let fit = self.foretold.fit(&ChangeWay {
                boat: &boat,
                start: Vec::new(),
                steps: Vec::new(),
                within: Vec::new(),
                spreads: Vec::new(),
                height_spread: 0.0,
            })?;
            Some(Weighed {
                group: Group::Ashore,
                what: SuspectKind::LeftAshore(part.name.clone()),
                amount: Estimate::new(net, 0.0),
                chi_squared: fit.chi_squared,
                log_evidence: fit.log_likelihood,
            })
        };
        can.filter_map(of_part).collect()
    }

    /// Something that is not in the list came aboard, or went, anywhere.
    fn anything(&self) -> Option<Weighed> {
        let MassChange { mass, at, place_covariance, fit, .. } = self.found?;
        let Bounds { low, high } = self.hand.model.bounds();
        let size = high - low;
        let much = mass.value.abs().max(LEAST);
        let prior = 1.0 / (2.0 * much * (self.most() / LEAST).ln().max(1.0) * size.x * size.y);
        let open = place_covariance.determinant().max(0.0).sqrt() * (2.0 * PI).powf(1.5) * prior;
        let beyond = |k: usize, at: &Estimate| {
            let off = (low[k] - at.value).max(at.value - high[k]).max(0.0);
            -0.5 * (off / at.spread.max(1e-6)).powi(2)
        };
        // Mass that is hardly any has no place: then it is rather something that was moved.
        let outside = at.as_ref().map_or(0.0, |at| beyond(0, &at[0]) + beyond(1, &at[1]));
        Some(Weighed {
            group: Group::Anything,
            what: if mass.value > 0.0 { SuspectKind::PutOn } else { SuspectKind::Gone },
            amount: *mass,
            chi_squared: fit.chi_squared,
            log_evidence: fit.log_likelihood + open.ln().min(0.0) + outside,
        })
    }

    /// Something aboard lies elsewhere.
    fn moved(&self) -> Option<Weighed> {
        let (mass, size) = (self.hand.model.mass(), self.hand.model.bounds().size());
        let spreads = [MOVED * mass * size.x, MOVED * mass * size.y];
        let fit = self.foretold.moved(spreads)?;
        let likely: f64 =
            fit.amounts.iter().zip(spreads).map(|(amount, s)| (amount / s).powi(2)).sum();
        let open = fit.covariance.determinant().max(0.0).sqrt() / spreads.iter().product::<f64>();
        Some(Weighed {
            group: Group::Moved,
            what: SuspectKind::Moved,
            amount: Estimate::new(0.0, 0.0),
            chi_squared: fit.chi_squared,
            log_evidence: fit.log_likelihood - 0.5 * likely + open.ln().min(0.0),
        })
    }

    /// One figure was misread.
    fn misread(&self) -> Vec<Weighed> {
        let observations = &self.foretold.wet.reading.observations;
        let slip = |slip: Slip| {
            let own = observations.get(slip.figure)?.spread;
            let much = slip.by.value.abs().max(own);
            let open = (2.0 * PI).sqrt() * slip.by.spread / (2.0 * much * MISREAD.ln());
            Some(Weighed {
                group: Group::Misread,
                what: SuspectKind::Misread(slip.figure),
                amount: slip.by,
                chi_squared: slip.chi_squared,
                log_evidence: slip.log_likelihood + open.ln().min(0.0),
            })
        };
        self.foretold.slips().into_iter().filter_map(slip).collect()
    }
}

/// Two ends with something between them.
fn ends(least: f64, most: f64) -> Option<[f64; 2]> {
    (most > 1.2 * least).then_some([least, most])
}

/// The spread of the one amount of a fit.
fn spread(fit: &ChangeFit) -> Option<f64> {
    Some(fit.covariance.get((0, 0))?.max(0.0).sqrt())
}
