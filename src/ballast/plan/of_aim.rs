//! What a plan is to demand of a boat so that it meets its aim.

use super::state::{FreeFill, Lies, PlanState};
use crate::ballast::aim::{AT_THE_MARK, Aim, LEVEL, UnderAim};
use crate::ballast::target::Target;
use crate::boat::Mark;
use crate::float::{Basin, BoatError, FloatModel, NEUTRAL, Tolerance, upright_stiffness};
use crate::frame::Pose;
use crate::unit::MILLIMETRE;

/// A boat as it was found, and what is right for it.
#[derive(Debug, Clone, Copy)]
pub struct Aimed<'a> {
    /// The boat as it was found afloat.
    pub afloat: &'a FloatModel,
    /// The same under water.
    pub under: &'a FloatModel,
    /// Density of the water, kg/m³.
    pub density: f64,
    /// What is right for it.
    pub aim: Aim,
    /// Where the water should be.
    pub marks: &'a [Mark],
    /// How well it is known what it is heavy by under water, kg.
    pub spread: f64,
}

/// What a plan leaves of what may be left, so that there is room for pieces that can be cut: a share.
const LEFT: f64 = 0.25;
/// How much stiffer than its least the boat is planned, metres: rounding takes some of it.
const SPARE: f64 = 0.2 * MILLIMETRE;
/// The share of the least BG that slack tanks must leave. Common practice, no source.
const LEFT_OF_BG: f64 = 0.25;
/// Fills on the way, evenly spread, at which GM is looked at.
const ON_THE_WAY: u32 = 5;
/// Room in the tanks below which they trim nothing, kg of water.
const NO_TANK: f64 = 1e-4;

/// The states of a boat that meets its aim: afloat at its marks with its tanks blown, under water with them as the aim
/// has them, and as stiff as it should be on the way. None without a mark. Of what may be left at the marks and of the
/// angles a quarter is used, and of the range of the fill what the boat's mass is not known by is kept free, up to a
/// quarter at each end.
///
/// # Errors
/// [`BoatError`] for a water density that is not positive.
pub fn states_of(aimed: &Aimed<'_>) -> Result<Option<Vec<PlanState>>, BoatError> {
    let Some(pose) = Target::at_the_marks(aimed.marks).and_then(|target| target.pose()) else {
        return Ok(None);
    };
    let mut states = vec![afloat(aimed, pose)?, under(aimed)?];
    states.extend(on_the_way(aimed)?);
    Ok(Some(states))
}

fn afloat(aimed: &Aimed<'_>, pose: Pose) -> Result<PlanState, BoatError> {
    let least = aimed.aim.least.gm;
    let state = PlanState {
        name: "afloat".to_owned(),
        boat: aimed.afloat.flooded(0.0, aimed.density)?,
        lies: Lies::Afloat(pose),
        density: aimed.density,
        free: Vec::new(),
        weight: [0.0; 2],
        list_moment: 0.0,
        trim_moment: 0.0,
        gm: Some(least + SPARE),
        bg: None,
        stiffness: None,
    };
    let effect = state.of_boat(&state.boat);
    let half = state.boat.bounds().size().x / 2.0;
    let plane = state.boat.wet(pose).waterplane.area * aimed.density;
    let heave = LEFT * AT_THE_MARK * plane;
    let along = effect.surfaces[1] - pose.up().dot(&effect.moment);
    let by_trim = (LEFT * AT_THE_MARK / half).min(LEFT * LEVEL);
    Ok(PlanState {
        weight: [-heave, heave],
        list_moment: LEFT * LEVEL * least * effect.carried,
        trim_moment: (by_trim * along).max(0.0),
        ..state
    })
}

fn under(aimed: &Aimed<'_>) -> Result<PlanState, BoatError> {
    let Aimed { density, aim, .. } = *aimed;
    let blown = aimed.under.flooded(0.0, density)?;
    let full = aimed.under.flooded(1.0, density)?;
    let takes = full.mass() - blown.mass();
    let inside = |[low, high]: [f64; 2], spread: f64| {
        let margin = (2.0 * spread).min(LEFT * (high - low)).max(0.0);
        [low + margin, high - margin]
    };
    let (boat, free, weight) = match aim.under {
        UnderAim::AnyAmount { least, most } if takes > NO_TANK => {
            let tanks = (0..blown.n_tanks())
                .filter_map(|tank| Some((tank, blown.usable_range(tank)?)))
                .collect();
            let range = inside([least, most], aimed.spread / takes);
            (blown, vec![FreeFill { name: "tanks".to_owned(), tanks, range }], [0.0; 2])
        }
        UnderAim::AnyAmount { .. } => (full, Vec::new(), [0.0; 2]),
        UnderAim::AllOrNothing { lightest, heaviest } => {
            (full, Vec::new(), inside([lightest, heaviest], aimed.spread))
        }
    };
    let mass = density * boat.total_volume();
    let stiffness = LEFT_OF_BG * aim.least.bg;
    let left = LEVEL / 2.0 * stiffness * mass;
    Ok(PlanState {
        name: "under".to_owned(),
        boat,
        lies: Lies::Under,
        density,
        free,
        weight,
        list_moment: left,
        trim_moment: left,
        gm: None,
        bg: Some(aim.least.bg + SPARE),
        stiffness: Some(stiffness + SPARE),
    })
}

fn on_the_way(aimed: &Aimed<'_>) -> Result<Vec<PlanState>, BoatError> {
    if aimed.afloat.usable_volume() * aimed.density <= NO_TANK {
        return Ok(Vec::new());
    }
    let shares = (1..=ON_THE_WAY).map(|k| f64::from(k) / f64::from(ON_THE_WAY + 1));
    shares.map(|share| way_at(aimed, share)).collect()
}

/// The boat on its way with its tanks at a share: as stiff as it should be.
pub(super) fn way_at(aimed: &Aimed<'_>, share: f64) -> Result<PlanState, BoatError> {
    let boat = aimed.afloat.flooded(share, aimed.density)?;
    // Whether the laden boat floats there is seen when it is laden.
    let pose = if boat.residual_mass(aimed.density) < -NEUTRAL {
        upright_stiffness(&boat, Basin::deep(aimed.density), None, &Tolerance::FINE)?.1
    } else {
        Pose::upright(-boat.bounds().high.z)
    };
    Ok(PlanState {
        name: format!("{:.1} % full", share * 100.0),
        boat,
        lies: Lies::OnTheWay(pose),
        density: aimed.density,
        free: Vec::new(),
        weight: [f64::NEG_INFINITY, f64::INFINITY],
        list_moment: f64::INFINITY,
        trim_moment: f64::INFINITY,
        gm: Some(aimed.aim.least.gm + SPARE),
        bg: None,
        stiffness: None,
    })
}

/// What the aim itself demands of a state, where the plan demanded a little more: that without the room that was left
/// for rounding.
#[must_use]
pub fn as_aimed(aimed: &Aimed<'_>, mut states: Vec<PlanState>) -> Vec<PlanState> {
    for state in &mut states {
        let least = aimed.aim.least;
        state.gm = state.gm.map(|_| least.gm);
        state.bg = state.bg.map(|_| least.bg);
        state.stiffness = None;
        if let (Lies::Under, UnderAim::AllOrNothing { lightest, heaviest }) =
            (state.lies, aimed.aim.under)
        {
            state.weight = [lightest, heaviest];
        }
        if let (UnderAim::AnyAmount { least, most }, Some(free)) =
            (aimed.aim.under, state.free.first_mut())
        {
            free.range = [least, most];
        }
    }
    states
}
