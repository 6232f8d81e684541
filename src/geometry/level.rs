//! The level at which a given volume lies below a plane of given direction.

use super::cut::Cut;
use super::mesh::Mesh;
use nalgebra::{Unit, Vector3};

/// A plane `up · p + height = 0` and what lies below it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Level {
    /// The plane's `height`, metres: positive when the body's origin is above the plane.
    pub height: f64,
    /// What lies below.
    pub cut: Cut,
}

/// Steps allowed; halving alone would bring the bracket below the last digit in as many.
const MAX_STEPS: usize = 60;
/// Volume error accepted, as a share of the whole.
const VOLUME_SHARE: f64 = 1e-14;

/// The level at which `volume` (m³) of `mesh` lies below. A volume outside what the mesh holds
/// gives the level at its lowest or highest point.
pub fn level_of_volume(mesh: &Mesh, up: Unit<Vector3<f64>>, volume: f64) -> Level {
    level_of_volume_near(mesh, up, volume, None)
}

/// The same, sooner: `near` is a point that lay on the level for about the same volume and "up".
pub fn level_of_volume_near(
    mesh: &Mesh,
    up: Unit<Vector3<f64>>,
    volume: f64,
    near: Option<Vector3<f64>>,
) -> Level {
    let (low, high) = mesh.bounds().reach(&up);
    let start = near.map(|point| -up.dot(&point));
    solve_level_from(start, (-high, -low), volume, mesh.volume(), |height| mesh.below(up, height))
}

/// Finds the height in `bracket` (metres) at which `cut_at` has `volume` below, of `whole` m³.
///
/// The volume falls as the height grows and its slope is the waterplane's area, so Newton's step
/// is exact on wall-sided bodies; a step that leaves the bracket is replaced by halving it.
pub fn solve_level(
    bracket: (f64, f64),
    volume: f64,
    whole: f64,
    cut_at: impl Fn(f64) -> Cut,
) -> Level {
    solve_level_from(None, bracket, volume, whole, cut_at)
}

/// The same from a height that is near.
fn solve_level_from(
    start: Option<f64>,
    bracket: (f64, f64),
    volume: f64,
    whole: f64,
    cut_at: impl Fn(f64) -> Cut,
) -> Level {
    let (mut sunk, mut dry) = bracket;
    let share = if whole > 0.0 { (volume / whole).clamp(0.0, 1.0) } else { 0.0 };
    let inside = |height: &f64| sunk < *height && *height < dry;
    let mut height = start.filter(inside).unwrap_or(dry + (sunk - dry) * share);
    let mut cut = cut_at(height);
    let mut width_before = f64::INFINITY;
    for _ in 0..MAX_STEPS {
        let excess = cut.volume - volume;
        if excess.abs() <= VOLUME_SHARE * whole {
            break;
        }
        if excess > 0.0 {
            sunk = height;
        } else {
            dry = height;
        }
        let newton = height + excess / cut.waterplane.area;
        // Near the root Newton's steps are tiny and the bracket may stay wide on one side; far
        // from it a bracket that does not shrink means Newton is crawling along a thin neck.
        let crawling = dry - sunk > width_before / 2.0 && excess.abs() > 1e-3 * whole;
        width_before = dry - sunk;
        let inside = newton > sunk && newton < dry;
        let next = if inside && !crawling { newton } else { f64::midpoint(sunk, dry) };
        // The last digit is reached, or the bracket was never one.
        if !(next - height).is_normal() {
            break;
        }
        height = next;
        cut = cut_at(height);
    }
    Level { height, cut }
}
