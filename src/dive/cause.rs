//! Why a boat leans: what of it lies off centre, each with its share of the lean.

use crate::boat::Boat;
use crate::float::{Basin, BoatError, Container, FloatModel, SweepRow, composition};
use crate::geometry::Mesh;
use nalgebra::Vector3;

/// Something aboard.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum WeightItem {
    /// A part, by its number in the boat's list.
    Part(usize),
    /// A tank with its liquid.
    Tank(usize),
    /// Water trapped in a free-flooding space.
    Space(usize),
    /// Weight that is not in the list: the boat was seen to lean more than its parts explain.
    Unlisted,
}

/// What leans a boat.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LeanOrigin {
    /// One thing that lies off centre.
    One(WeightItem),
    /// Two that lie on either side and do not balance one another.
    Pair(WeightItem, WeightItem),
    /// The boat is top-heavy: it would lean with nothing off centre.
    TopHeavy,
}

/// One cause of a lean.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LeanCause {
    /// What it is.
    pub origin: LeanOrigin,
    /// Its share of the lean, radians; positive to starboard.
    pub lean: f64,
    /// Its moment to port, kg·m: weight less buoyancy, times the distance from the centre plane.
    pub moment: f64,
}

/// A lean in its parts.
#[derive(Debug, Clone, PartialEq)]
pub struct LeanCauses {
    /// The whole lean, radians; positive to starboard.
    pub whole: f64,
    /// How far the centre of gravity lies to port of that of buoyancy when upright, metres.
    pub offset: f64,
    /// GM across with the heel held at zero, metres: a small one makes a small offset into a
    /// large lean.
    pub gm: f64,
    /// Mass with liquids, kg.
    pub mass: f64,
    /// The causes, the largest first. Together they are the whole.
    pub parts: Vec<LeanCause>,
}

/// Moments below this share of all that is off centre are rounding.
const ROUNDING: f64 = 1e-9;
/// How far from mirrored places two things may lie and still be a pair, as a share of the boat's
/// length and beam. Common practice, no source.
const ALIKE: f64 = 0.05;
/// How far their masses, or capacities, may differ, as a share of the larger. Common practice, no
/// source.
const SIZE_ALIKE: f64 = 0.3;

/// Takes the lean of a row apart. `model` is the boat as it is in that row.
///
/// A boat that would stand upright with nothing off centre leans by moment over stiffness, so each
/// moment has its share; one that is top-heavy has its angle of loll as one cause, and what it
/// leans more or less than that is shared by the moments.
///
/// # Errors
/// [`BoatError::WaterDensity`] for a density that is not positive.
pub fn lean_causes(
    boat: &Boat,
    model: &FloatModel,
    basin: Basin,
    row: &SweepRow,
) -> Result<LeanCauses, BoatError> {
    let whole = row.pose().heel();
    let all = off_centre(boat, model, basin, row)?;
    let size = model.bounds().size();
    let shared: f64 = all.iter().map(|o| o.moment).sum();
    let loll = row.loll.map_or(0.0, |angle| angle.copysign(whole));
    let rest = whole - loll;
    let size_of_all: f64 = all.iter().map(|o| o.moment.abs()).sum();
    let mut parts = Vec::new();
    let by_moment = shared.abs() > ROUNDING * (size_of_all + model.mass() * size.y);
    // With nothing off centre what is left over is rounding, and belongs to the loll.
    if row.loll.is_some() || !by_moment {
        let lean = if by_moment { loll } else { whole };
        parts.push(LeanCause { origin: LeanOrigin::TopHeavy, lean, moment: 0.0 });
    }
    if by_moment {
        for (origin, moment) in paired(&all, size) {
            parts.push(LeanCause { origin, lean: rest * moment / shared, moment });
        }
    }
    parts.sort_by(|a, b| b.lean.abs().total_cmp(&a.lean.abs()));
    Ok(LeanCauses { whole, offset: row.offset, gm: row.upright.across, mass: model.mass(), parts })
}

/// Something with its moment about the centre plane.
#[derive(Debug, Clone, Copy)]
struct OffCentre {
    item: WeightItem,
    /// To port, kg·m.
    moment: f64,
    /// Where it is.
    at: Vector3<f64>,
    /// Its size for telling whether it has a partner: mass, or capacity of a tank.
    size: f64,
}

/// Everything aboard whose weight and buoyancy do not balance about the centre plane, with the
/// boat held upright.
fn off_centre(
    boat: &Boat,
    model: &FloatModel,
    basin: Basin,
    row: &SweepRow,
) -> Result<Vec<OffCentre>, BoatError> {
    let made_of = composition(model, basin, row.upright_pose)?;
    let pose = row.upright_pose;
    let afloat = row.outcome.afloat().is_some();
    let lift = |mesh: &Mesh| {
        let moment = if afloat {
            mesh.below(pose.up(), pose.height()).first_moment
        } else {
            mesh.first_moment()
        };
        moment.y * made_of.density
    };
    let nesting = model.nesting();
    let mut all = Vec::new();
    for (k, part) in boat.parts.iter().enumerate().filter(|(_, p)| p.status.is_aboard()) {
        let carried = nesting.displaced_by_part(k).map_or(0.0, |mesh| lift(mesh));
        let at = part.centre.vector();
        let moment = part.mass * at.y - carried;
        all.push(OffCentre { item: WeightItem::Part(k), moment, at, size: part.mass });
    }
    for (k, tank) in boat.tanks.iter().enumerate() {
        let carried = nesting.displaced_by_tank(k).map_or(0.0, |mesh| lift(mesh));
        let at = tank.empty_centre().vector();
        let moment = tank.empty_mass() * at.y - carried;
        all.push(OffCentre { item: WeightItem::Tank(k), moment, at, size: model.capacity(k) });
    }
    for liquid in &made_of.liquids {
        let (item, moment) = match liquid.container {
            Container::Tank(k) => (WeightItem::Tank(k), liquid.moment.y),
            Container::Space(k) => (WeightItem::Space(k), liquid.moment.y),
        };
        match all.iter_mut().find(|o| o.item == item) {
            Some(one) => one.moment += moment,
            None => {
                all.push(OffCentre {
                    item,
                    moment,
                    at: liquid.moment / liquid.mass,
                    size: liquid.mass,
                });
            }
        }
    }
    // What is left of the whole moment belongs to nothing in the list.
    let listed: f64 = all.iter().map(|o| o.moment).sum();
    let moment = row.offset * model.mass() - listed;
    all.push(OffCentre { item: WeightItem::Unlisted, moment, at: Vector3::zeros(), size: 0.0 });
    Ok(all)
}

/// Joins what stands on either side and balances, so that two saddle tanks are one small cause and
/// not two large ones; leaves out what is nothing but rounding.
fn paired(all: &[OffCentre], size: Vector3<f64>) -> Vec<(LeanOrigin, f64)> {
    let mut left: Vec<OffCentre> = all.to_vec();
    left.sort_by(|a, b| b.moment.abs().total_cmp(&a.moment.abs()));
    let mut causes = Vec::new();
    while !left.is_empty() {
        let one = left.remove(0);
        let partner = left.iter().position(|other| is_partner(&one, other, size));
        match partner.map(|k| left.remove(k)) {
            Some(other) => {
                let pair = LeanOrigin::Pair(one.item.min(other.item), one.item.max(other.item));
                causes.push((pair, one.moment + other.moment));
            }
            None => causes.push((LeanOrigin::One(one.item), one.moment)),
        }
    }
    let most = causes.iter().map(|(_, moment)| moment.abs()).fold(0.0, f64::max);
    // The sum must stay the whole: the rounding that is left out is added to the largest.
    let (kept, dropped): (Vec<_>, Vec<_>) =
        causes.into_iter().partition(|(_, moment)| moment.abs() > ROUNDING * most);
    let rounding: f64 = dropped.iter().map(|(_, moment)| moment).sum();
    let mut kept = kept;
    if let Some(first) = kept.iter_mut().max_by(|a, b| a.1.abs().total_cmp(&b.1.abs())) {
        first.1 += rounding;
    }
    kept
}

/// True for two of a kind in mirrored places, of about the same size.
fn is_partner(one: &OffCentre, other: &OffCentre, size: Vector3<f64>) -> bool {
    let kind = matches!(
        (one.item, other.item),
        (WeightItem::Part(_), WeightItem::Part(_))
            | (WeightItem::Tank(_), WeightItem::Tank(_))
            | (WeightItem::Space(_), WeightItem::Space(_))
    );
    let near = |a: f64, b: f64, scale: f64| (a - b).abs() <= ALIKE * scale;
    // Tanks on either side are a pair whatever is in them; the rest only if it balances.
    let tanks = matches!(one.item, WeightItem::Tank(_));
    let near_in_size = (one.size - other.size).abs() <= SIZE_ALIKE * one.size.max(other.size);
    kind && (tanks || one.moment * other.moment < 0.0)
        && near(one.at.x, other.at.x, size.x)
        && near(one.at.z, other.at.z, size.y)
        && near(one.at.y, -other.at.y, size.y)
        && near_in_size
}
