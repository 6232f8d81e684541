//! The answer as it is printed: figures in SI and degrees, each a value and one standard deviation.

use super::advised::{Advised, look_at};
use super::changed_printed::{ChangedPrinted, figure_name};
use super::evidence::Evidence;
use super::fitted::Refusal;
use super::in_hand::{InHand, PrintError};
use super::next::{ReadNext, read_next};
use super::ready_boat::ReadyBoat;
use super::typed::AdviceRequest;
use crate::ballast::{Advice, BothConditions, Remedy, Step, Verdict, Weight};
use crate::diary::{BoatRecord, Diary};
use crate::dive::Summary;
use crate::fit::{Estimate, Fit, Help, KnownErrors, Lean, Unknown};
use crate::float::{Basin, BoatError, FloatModel, Heading, Outcome, Sweep, Tolerance, hang};
use crate::pause::at_once;
use crate::reading::Condition;
use crate::unit::DEGREE;
use nalgebra::Vector3;
use serde::Serialize;
use std::collections::BTreeMap;

/// A value and one standard deviation.
type ValueAndSpread = [f64; 2];

/// The whole answer, for other programs: it serializes as DEVELOPERS.md describes.
#[derive(Debug, Serialize)]
pub struct Printed {
    boat: String,
    estimate: EstimatePrinted,
    lean: &'static str,
    verdict: &'static str,
    steps: Vec<StepPrinted>,
    after: AfterPrinted,
    next: Vec<NextPrinted>,
    /// What has changed since what was read before; none where the reading goes with that.
    changed: Option<ChangedPrinted>,
}

#[derive(Debug, Serialize)]
struct EstimatePrinted {
    mass_kg: ValueAndSpread,
    x_m: ValueAndSpread,
    y_m: ValueAndSpread,
    z_m: ValueAndSpread,
    displaces_share: ValueAndSpread,
}

#[derive(Debug, Serialize)]
struct StepPrinted {
    #[serde(rename = "do")]
    what: &'static str,
    mass_kg: f64,
    material_density_kg_m3: Option<f64>,
    at_m: [f64; 3],
    to_m: Option<[f64; 3]>,
}

#[derive(Debug, Serialize)]
struct AfterPrinted {
    afloat: Option<AfloatPrinted>,
    under: Option<UnderPrinted>,
    way: Option<WayPrinted>,
}

#[derive(Debug, Serialize)]
struct AfloatPrinted {
    marks_m: BTreeMap<String, ValueAndSpread>,
    list_deg: ValueAndSpread,
    trim_deg: ValueAndSpread,
    gm_m: f64,
}

#[derive(Debug, Serialize)]
struct UnderPrinted {
    fill: ValueAndSpread,
    residual_kg: ValueAndSpread,
    list_deg: ValueAndSpread,
    trim_deg: ValueAndSpread,
    bg_m: f64,
}

#[derive(Debug, Serialize)]
struct WayPrinted {
    least_gm_m: f64,
    greatest_list_deg: f64,
}

#[derive(Debug, Serialize)]
struct NextPrinted {
    what: String,
    left: Option<f64>,
}

impl Printed {
    /// What the newest reading of the boat in hand comes to, kept or typed.
    ///
    /// # Errors
    /// [`PrintError`] when there is no such boat, or no answer.
    pub fn of(diary: &Diary) -> Result<Self, PrintError> {
        let InHand { record, hand, density, newest } = InHand::of(diary)?;
        Ok(match newest {
            Some(asked) => {
                let evidence = Evidence::in_hand(diary, &hand);
                Self::advised(record, &hand, asked, &evidence)?
            }
            None => Self::unread(record, &hand, density).map_err(Refusal::from)?,
        })
    }

    fn advised(
        record: &BoatRecord,
        hand: &ReadyBoat,
        asked: AdviceRequest,
        evidence: &Evidence,
    ) -> Result<Self, Refusal> {
        let remedy = &asked.remedy.clone();
        let advised = &look_at(hand, asked, evidence)?;
        let Advised { reading, fit, advice, .. } = advised;
        let basin = Basin::deep(reading.water_density);
        let suspects = at_once(|due| Box::pin(advised.suspects(hand, due)));
        Ok(Self {
            boat: record.id.clone(),
            estimate: EstimatePrinted::of(&fit.found.flooded(0.0, basin.density)?, &fit.known()),
            lean: lean(fit),
            verdict: verdict(advice, fit),
            steps: advice
                .steps
                .iter()
                .map(|step| StepPrinted::of(step, from(hand, advised, remedy)))
                .collect(),
            after: AfterPrinted::of(record, hand, advised, basin)?,
            next: next(advice.verdict, fit, read_next(hand, advised)),
            changed: advised.changed.as_ref().map(|c| ChangedPrinted::of(c, &suspects, reading)),
        })
    }

    /// A boat that nobody has read as it is now: what its description says.
    fn unread(record: &BoatRecord, hand: &ReadyBoat, density: f64) -> Result<Self, BoatError> {
        let basin = Basin::deep(density);
        let whole =
            BothConditions::of([&hand.model; 2], basin, hand.aim, &hand.boat.marks, 0.0, None)?;
        let blown = hand.model.flooded(0.0, density)?;
        let marks = hand
            .boat
            .marks
            .iter()
            .map(|mark| NextPrinted { what: format!("mark {}", mark.name), left: None });
        Ok(Self {
            boat: record.id.clone(),
            estimate: EstimatePrinted::of(&blown, &hand.known),
            lean: "unknown",
            verdict: "read_more",
            steps: Vec::new(),
            after: AfterPrinted::unfitted(record, hand, [&hand.model; 2], &whole, basin)?,
            next: marks.collect(),
            changed: None,
        })
    }
}

impl EstimatePrinted {
    /// The boat as it is known, its tanks blown.
    fn of(blown: &FloatModel, known: &KnownErrors) -> Self {
        let centre = blown.centre_of_gravity(Vector3::z_axis()).vector();
        let spreads = known.spreads();
        // What is in doubt lies in the boat without what water is left in its tanks.
        let share = blown.bare().mass / blown.mass();
        let place = |k: usize| [centre[k], spreads[k + 1] * share];
        Self {
            mass_kg: [blown.mass(), spreads[0]],
            x_m: place(0),
            y_m: place(1),
            z_m: place(2),
            displaces_share: [known.errors[4], spreads[4]],
        }
    }
}

fn lean(fit: &Fit) -> &'static str {
    match fit.lean {
        Lean::Upright => "upright",
        Lean::List => "list",
        Lean::Loll => "loll",
        Lean::ListOrLoll => "unknown",
    }
}

fn verdict(advice: &Advice, fit: &Fit) -> &'static str {
    match advice.verdict {
        Verdict::Do => "do",
        Verdict::LiesOver { .. } | Verdict::Lower { .. } | Verdict::TankTooSmall { .. } => {
            "look_inside"
        }
        Verdict::LeaveIt if fit.untold.is_empty() => "leave_it",
        Verdict::LeaveIt
        | Verdict::ShiftMore { .. }
        | Verdict::NoLift
        | Verdict::LeanUntold
        | Verdict::ZeroFirst
        | Verdict::TankUntold => "read_more",
    }
}

impl StepPrinted {
    /// What is shifted comes from `from`; only the way counts if that is not known.
    fn of(step: &Step, from: [f64; 3]) -> Self {
        let weight = |what: &'static str, weight: &Weight| Self {
            what,
            mass_kg: weight.mass.value,
            material_density_kg_m3: Some(weight.material),
            at_m: weight.at().vector().into(),
            to_m: None,
        };
        match step {
            Step::Add(w) => weight("add", w),
            Step::TakeOff(w) => weight("take_off", w),
            Step::Shift { mass, forward, to_port } => {
                let [x, y, z] = from;
                Self {
                    what: "shift",
                    mass_kg: *mass,
                    material_density_kg_m3: None,
                    at_m: from,
                    to_m: Some([x + forward.value, y + to_port.value, z]),
                }
            }
        }
    }
}

/// Where what is shifted lies: its part, or else amidships at the height of the place for weight.
fn from(hand: &ReadyBoat, advised: &Advised, remedy: &Remedy) -> [f64; 3] {
    let named = advised.shifted.as_ref().and_then(|shifted| shifted.part.as_ref());
    let part = hand.boat.parts_aboard().find(|part| Some(&part.name) == named);
    match (part, remedy) {
        (Some(part), _) => part.centre.vector().into(),
        (None, Remedy::Weight { place, .. }) => [0.0, 0.0, place.z],
        (None, Remedy::Shift { .. }) => [0.0; 3],
    }
}

impl AfterPrinted {
    fn of(
        record: &BoatRecord,
        hand: &ReadyBoat,
        advised: &Advised,
        basin: Basin,
    ) -> Result<Self, BoatError> {
        let (found, after) = (advised.fits(), &advised.after);
        let [boat, diver] = found.after(&advised.advice.steps)?;
        let mut printed = Self::unfitted(record, hand, [&boat, &diver], after, basin)?;
        let foretold = |condition: Condition| {
            let done = if condition == Condition::Afloat { &boat } else { &diver };
            let fit = found.in_condition(condition);
            after.foretold(done, fit, basin, condition, &hand.boat.marks)
        };
        if let (Some(afloat), Some(told)) = (&mut printed.afloat, foretold(Condition::Afloat)) {
            afloat.list_deg[1] = spread_deg(told.list);
            afloat.trim_deg[1] = spread_deg(told.trim);
            for mark in told.marks {
                if let Some(figure) = afloat.marks_m.get_mut(&mark.name) {
                    figure[1] = mark.above.spread;
                }
            }
        }
        if let (Some(under), Some(told)) = (&mut printed.under, foretold(Condition::Under)) {
            under.list_deg[1] = spread_deg(told.list);
            under.trim_deg[1] = spread_deg(told.trim);
            under.residual_kg[1] = told.residual.map_or(f64::NAN, |r| r.spread);
        }
        Ok(printed)
    }

    /// The same with no spread but that of the fill.
    fn unfitted(
        record: &BoatRecord,
        hand: &ReadyBoat,
        [boat, diver]: [&FloatModel; 2],
        after: &BothConditions,
        basin: Basin,
    ) -> Result<Self, BoatError> {
        let fixed = |value: f64| [value, 0.0];
        let degrees = |radians: f64| fixed(radians / DEGREE);
        let floats = matches!(after.afloat.outcome, Outcome::Floats(_));
        let afloat = floats.then(|| AfloatPrinted {
            marks_m: after.afloat.marks.iter().map(|m| (m.name.clone(), fixed(m.above))).collect(),
            list_deg: degrees(after.afloat.pose.heel()),
            trim_deg: degrees(after.afloat.pose.trim()),
            gm_m: after.afloat.stiffness.across,
        });
        let share = after.fill.share;
        let diving = diver.flooded(share.value, basin.density)?;
        let under = UnderPrinted {
            fill: [share.value, share.spread],
            residual_kg: fixed(diving.residual_mass(basin.density)),
            list_deg: degrees(after.under.pose.heel()),
            trim_deg: degrees(after.under.pose.trim()),
            bg_m: hang(&diving, basin, &Tolerance::FINE)?.bg,
        };
        let way = way(record, hand, boat, basin)?;
        Ok(Self { afloat, under: Some(under), way })
    }
}

fn spread_deg(angle: Option<Estimate>) -> f64 {
    angle.map_or(f64::NAN, |a| a.spread / DEGREE)
}

/// The boat on its way down; none without tanks.
fn way(
    record: &BoatRecord,
    hand: &ReadyBoat,
    done: &FloatModel,
    basin: Basin,
) -> Result<Option<WayPrinted>, BoatError> {
    if done.n_tanks() == 0 || hand.is_quick {
        return Ok(None);
    }
    let mut passage = record.plan(done, Heading::Down).passage(done, basin, Heading::Down)?;
    let mut sweep = Sweep::default();
    while let Some(row) = passage.next() {
        sweep.rows.push(row?);
        sweep.events.extend(passage.event());
    }
    Ok(Summary::of(&sweep, &hand.boat.marks).map(|summary| WayPrinted {
        least_gm_m: summary.worst.gm.value,
        greatest_list_deg: summary.worst.lean.value.abs() / DEGREE,
    }))
}

/// What to read next: what the reading did not tell, and what would narrow it most.
fn next(verdict: Verdict, fit: &Fit, elsewhere: Option<ReadNext>) -> Vec<NextPrinted> {
    let first = match verdict {
        Verdict::TankUntold => Some("what the tank takes"),
        Verdict::ZeroFirst => Some("the phone's zero"),
        _ => None,
    };
    let first = first.map(|what| NextPrinted { what: what.to_owned(), left: None });
    let untold = fit.untold.iter().map(|unknown| NextPrinted {
        what: match unknown {
            Unknown::Mass => "mass",
            Unknown::Along => "trim",
            Unknown::Across => "list",
        }
        .to_owned(),
        left: None,
    });
    let help = fit
        .help
        .as_ref()
        .map(|Help { seen, left }| NextPrinted { what: figure_name(seen), left: Some(*left) });
    let elsewhere = elsewhere
        .map(|next| NextPrinted { what: next.what.name().to_owned(), left: Some(next.left) });
    first.into_iter().chain(untold).chain(help).chain(elsewhere).collect()
}
