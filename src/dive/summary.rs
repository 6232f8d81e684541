//! A way down or up in a few figures: its worst points and its two ends, and whether another way
//! is better.

use crate::boat::Mark;
use crate::float::{Happening, Sweep, SweepRow};
use crate::unit::{DEGREE, MILLIMETRE};

/// A figure and where on the way it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WayFigure {
    /// Number of its row in the sweep.
    pub row: usize,
    /// Fill there, 0 to 1.
    pub fill: f64,
    /// The figure.
    pub value: f64,
}

/// The worst points of a way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WorstPoints {
    /// Least GM across with the heel held at zero, metres.
    pub gm: WayFigure,
    /// Greatest lean to either side, radians; positive to starboard.
    pub lean: WayFigure,
    /// Greatest trim either way, radians; positive bow down.
    pub trim: WayFigure,
}

/// The boat at one end of the way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WayEnd {
    /// Lean, radians; positive to starboard.
    pub heel: f64,
    /// Trim, radians; positive bow down.
    pub trim: f64,
    /// GM across with the heel held at zero, metres; under water less what slack tanks take from BG.
    pub gm: f64,
    /// Mass beyond what the water carries, kg; negative while it floats.
    pub residual: f64,
    /// The water at the mark where it is farthest off, metres above it. None under water, or
    /// without marks.
    pub mark: Option<f64>,
}

impl WayEnd {
    fn of(row: &SweepRow, marks: &[Mark]) -> Self {
        let pose = row.pose();
        let above = |m: &Mark| pose.water_height_at(m.at.x(), m.at.y()) - m.at.z();
        let worst = marks.iter().map(above).max_by(|a, b| a.abs().total_cmp(&b.abs()));
        Self {
            heel: pose.heel(),
            trim: pose.trim(),
            gm: row.upright.across,
            residual: row.residual,
            mark: worst.filter(|_| row.outcome.afloat().is_some()),
        }
    }
}

/// A way in figures.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Summary {
    /// Where it is worst.
    pub worst: WorstPoints,
    /// The first row.
    pub start: WayEnd,
    /// The last row.
    pub end: WayEnd,
    /// Seconds with a lean of more than [`LEANS`], or with no stability upright.
    pub leaning: f64,
    /// Seconds from the start to the end.
    pub lasts: f64,
    /// It turns over on the way.
    pub capsizes: bool,
}

/// A lean on the way that a builder sees, radians. Common practice, no source.
pub const LEANS: f64 = 2.0 * DEGREE;
impl Summary {
    /// Of a way; none without rows.
    pub fn of(sweep: &Sweep, marks: &[Mark]) -> Option<Self> {
        let rows = &sweep.rows;
        let (first, last) = (rows.first()?, rows.last()?);
        let most = |key: fn(&SweepRow) -> f64, badness: fn(f64) -> f64| {
            let mut best: Option<WayFigure> = None;
            for (row, r) in rows.iter().enumerate() {
                let value = key(r);
                // The first of equals, and of what differs by rounding.
                let worse = |b: WayFigure| badness(value) > badness(b.value) + 1e-9;
                if best.is_none_or(worse) {
                    best = Some(WayFigure { row, fill: r.fill, value });
                }
            }
            best
        };
        let leans = |row: &SweepRow| row.pose().heel().abs() > LEANS || row.loll.is_some();
        let leaning = rows.windows(2).filter(|w| w.iter().all(leans)).map(|w| match w {
            [a, b] => b.time - a.time,
            _ => 0.0,
        });
        Some(Self {
            worst: WorstPoints {
                gm: most(|r| r.upright.across, |gm| -gm)?,
                lean: most(|r| r.pose().heel(), f64::abs)?,
                trim: most(|r| r.pose().trim(), f64::abs)?,
            },
            start: WayEnd::of(first, marks),
            end: WayEnd::of(last, marks),
            leaning: leaning.fold(0.0, |all, seconds| all + seconds),
            lasts: last.time,
            capsizes: sweep.events.iter().any(|e| e.what == Happening::Capsizes),
        })
    }

    /// True when the boat stays upright all the way, with no less GM than this, metres.
    pub fn is_good(&self, least_gm: f64) -> bool {
        !self.leans_visibly() && self.worst.gm.value > least_gm
    }

    /// True when it leans visibly, or has no stability upright, somewhere.
    pub fn leans_visibly(&self) -> bool {
        self.capsizes || self.worst.lean.value.abs() > LEANS || self.worst.gm.value <= 0.0
    }
}

/// What a change does to a way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CureEffect {
    /// It leaned before and does not now.
    pub cures: bool,
    /// It leans less, or not as long, by more than can be made out.
    pub helps: bool,
    /// One of the ends became worse: off its marks, out of trim, or no longer going under.
    pub spoils: bool,
}

/// What an end may change without being spoilt.
const MARK_CHANGE: f64 = 2.0 * MILLIMETRE;
const ANGLE_CHANGE: f64 = 0.5 * DEGREE;
/// Heavy by less than this a boat does not go under, kg.
const GOES_UNDER: f64 = 0.0;

impl CureEffect {
    /// Of the way `after` a change against that `before` it; `beam` in metres.
    pub fn of(before: &Summary, after: &Summary, beam: f64) -> Self {
        let lean =
            |s: &Summary| if s.capsizes { std::f64::consts::PI } else { s.worst.lean.value.abs() };
        let stiffer = after.worst.gm.value - before.worst.gm.value > 0.002 * beam;
        let straighter = lean(before) - lean(after) > ANGLE_CHANGE;
        let shorter = before.leaning - after.leaning > 0.2 * before.leaning.max(1e-9);
        let worse = lean(after) - lean(before) > ANGLE_CHANGE
            || after.worst.gm.value < before.worst.gm.value - 0.002 * beam;
        Self {
            cures: before.leans_visibly() && !after.leans_visibly(),
            helps: (stiffer || straighter || shorter) && !worse,
            spoils: [(before.start, after.start), (before.end, after.end)]
                .iter()
                .any(|(a, b)| is_spoilt(a, b)),
        }
    }
}

fn is_spoilt(before: &WayEnd, after: &WayEnd) -> bool {
    let more = |a: f64, b: f64, by: f64| b.abs() - a.abs() > by;
    let mark = match (before.mark, after.mark) {
        (Some(a), Some(b)) => more(a, b, MARK_CHANGE),
        (Some(_), None) => true,
        _ => false,
    };
    let floats_still = before.residual >= GOES_UNDER && after.residual < GOES_UNDER;
    mark || floats_still
        || more(before.heel, after.heel, ANGLE_CHANGE)
        || more(before.trim, after.trim, ANGLE_CHANGE)
}

/// Orders changes by what they do, the best first: those that cure without spoiling the trim, by
/// the least GM they leave; then those that only help; then the rest.
pub fn rank(one: (&CureEffect, &Summary), other: (&CureEffect, &Summary)) -> std::cmp::Ordering {
    let class = |v: &CureEffect| match v {
        CureEffect { cures: true, spoils: false, .. } => 0,
        CureEffect { helps: true, spoils: false, .. } => 1,
        CureEffect { cures: true, .. } => 2,
        CureEffect { helps: true, .. } => 3,
        _ => 4,
    };
    let by_class = class(one.0).cmp(&class(other.0));
    // To a tenth of a degree: less is no difference.
    let lean = |s: &Summary| (s.worst.lean.value.abs() / DEGREE * 10.0).round();
    by_class
        .then(lean(one.1).total_cmp(&lean(other.1)))
        .then(other.1.worst.gm.value.total_cmp(&one.1.worst.gm.value))
}

/// How far a boat that lets go of upright swings before it comes to rest at its angle of loll,
/// radians: with nothing to damp it, to where its energy is again that of upright.
///
/// For small angles the energy is −a φ² + b φ⁴: least at φ₀ and again nothing at √2 φ₀.
pub fn swing(loll: f64) -> f64 {
    loll * std::f64::consts::SQRT_2
}
