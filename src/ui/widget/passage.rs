//! A way from one attitude to another, as scenes that pass into one another without a jump.

use super::frame::SMALL;
use super::scene::{Passing, Scene};
use nalgebra::Unit;
use trimwright::float::Outcome;
use trimwright::frame::Pose;

/// A scene on a way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct PassageScene {
    /// Share of the tanks that is full.
    pub(crate) fill: f64,
    /// How the boat lies there.
    pub(crate) scene: Scene,
}

/// Share of the tanks' fill over which a boat that has gone under is drawn on its way down.
const SINKS: f64 = 0.05;

/// The stops of a way, from outcomes by rising fill. How deep a boat hangs nothing tells: it is
/// drawn going down from where it last floated.
pub(crate) fn stops<'a>(rows: impl IntoIterator<Item = (f64, &'a Outcome)>) -> Vec<PassageScene> {
    let stop = |(fill, outcome): (f64, &Outcome)| PassageScene {
        fill,
        scene: Scene::lying(outcome.pose(), outcome),
    };
    let mut stops: Vec<PassageScene> = rows.into_iter().map(stop).collect();
    let angle = |s: &PassageScene| s.scene.pose.heel().abs().max(s.scene.pose.trim().abs());
    let larger = stops.iter().map(angle).fold(0.0, f64::max) < SMALL.to_radians();
    let last = stops.last().map_or(1.0, |s| s.fill);
    let mut floated: Option<PassageScene> = None;
    for stop in &mut stops {
        let mut sunk = 0.0;
        if !stop.scene.under {
            floated = Some(*stop);
        } else if let Some(floated) = floated {
            let within = SINKS.min(last - floated.fill).max(1e-9);
            sunk = ((stop.fill - floated.fill) / within).clamp(0.0, 1.0);
            stop.scene.pose = Pose::new(floated.scene.pose.height(), stop.scene.pose.up());
        } else {
            sunk = 1.0;
        }
        stop.scene.passing = Some(Passing { sunk, larger });
    }
    stops
}

/// The scene at a fill, between the stops on both sides of it; none without stops.
pub(crate) fn between(stops: &[PassageScene], fill: f64) -> Option<Scene> {
    let after = stops.partition_point(|s| s.fill < fill);
    let to = stops.get(after).or(stops.last())?;
    let from = after.checked_sub(1).and_then(|k| stops.get(k)).unwrap_or(to);
    let way = to.fill - from.fill;
    let share = if way > 0.0 { ((fill - from.fill) / way).clamp(0.0, 1.0) } else { 1.0 };
    let (a, b) = (&from.scene, &to.scene);
    let mix = |a: f64, b: f64| (1.0 - share) * a + share * b;
    let place = |a: [f64; 3], b: [f64; 3]| {
        let ([ax, ay, az], [bx, by, bz]) = (a, b);
        [mix(ax, bx), mix(ay, by), mix(az, bz)]
    };
    let nearer = if share < 0.5 { a } else { b };
    let both = |a: Option<[f64; 3]>, b: Option<[f64; 3]>, nearer| match (a, b) {
        (Some(a), Some(b)) => Some(place(a, b)),
        _ => nearer,
    };
    let up = a.pose.up().into_inner() * (1.0 - share) + b.pose.up().into_inner() * share;
    let pose = match Unit::try_new(up, 1e-6) {
        Some(up) => Pose::new(mix(a.pose.height(), b.pose.height()), up),
        // From one side straight to the other: there is no middle.
        None => nearer.pose,
    };
    let passing = match (a.passing, b.passing) {
        (Some(a), Some(b)) => Some(Passing { sunk: mix(a.sunk, b.sunk), ..b }),
        _ => nearer.passing,
    };
    Some(Scene {
        pose,
        gravity: place(a.gravity, b.gravity),
        buoyancy: both(a.buoyancy, b.buoyancy, nearer.buoyancy),
        metacentre: both(a.metacentre, b.metacentre, nearer.metacentre),
        passing,
        ..*nearer
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use trimwright::boat::demo_boat;
    use trimwright::float::{Basin, FloatModel, Tolerance, sweep};
    use trimwright::geometry::Fineness;

    fn stop(fill: f64, height: f64, heel: f64) -> PassageScene {
        let scene = Scene {
            pose: Pose::from_angles(height, heel, 0.0),
            ..Scene::upright([fill, 0.0, 0.0])
        };
        PassageScene { fill, scene }
    }

    #[test]
    fn between_two_stops_the_boat_lies_between() {
        let way = [stop(0.2, -0.1, 0.0), stop(0.4, -0.2, 0.02)];
        let there = between(&way, 0.25).expect("a way");
        assert!((there.pose.height() - -0.125).abs() < 1e-12, "height {}", there.pose.height());
        assert!((there.pose.heel() - 0.005).abs() < 1e-6, "heel {}", there.pose.heel());
        assert!((there.gravity[0] - 0.25).abs() < 1e-12, "G at {}", there.gravity[0]);
        for (fill, same) in [(0.0, way[0]), (0.2, way[0]), (0.4, way[1]), (1.0, way[1])] {
            assert_eq!(between(&way, fill), Some(same.scene), "at {fill}");
        }
        assert_eq!(between(&[], 0.5), None, "no stops");
        assert!(between(&way, f64::NAN).is_some(), "what is not a number is somewhere");
    }

    #[test]
    fn a_boat_that_rolls_right_over_is_drawn_on_one_side_or_the_other() {
        let way = [stop(0.0, 0.0, 0.0), stop(1.0, 0.0, std::f64::consts::PI)];
        let middle = between(&way, 0.5).expect("a way").pose;
        assert!(middle.up().iter().all(|c| c.is_finite()), "{middle:?}");
    }

    #[test]
    fn the_demonstration_boat_goes_down_without_a_jump() {
        let boat = demo_boat().expect("fixed sizes");
        let model = FloatModel::new(&boat, Fineness::WORK).expect("a boat");
        let sweep = sweep(&model, Basin::deep(998.2), &[0], 101, &Tolerance::FINE);
        let rows = sweep.expect("a way").rows;
        let way = stops(rows.iter().map(|row| (row.fill, &row.outcome)));
        assert!(way.last().is_some_and(|s| s.scene.under), "it goes under");
        // Ten pictures lie between two stops: none goes farther than its share of their distance.
        let apart = |of: fn(&Scene, &Scene) -> f64| {
            way.windows(2).map(|w| of(&w[0].scene, &w[1].scene)).fold(0.0, f64::max)
        };
        let rise = |a: &Scene, b: &Scene| (a.pose.height() - b.pose.height()).abs();
        let turn = |a: &Scene, b: &Scene| a.pose.up().angle(&b.pose.up());
        let sunk = |s: &Scene| s.passing.map_or(0.0, |p| p.sunk);
        let mut before = between(&way, 0.0).expect("a way");
        for k in 1..=1000 {
            let now = between(&way, f64::from(k) / 1000.0).expect("a way");
            let (risen, turned) = (rise(&now, &before), turn(&now, &before));
            assert!(risen < 0.101 * apart(rise), "at {k} of 1000: {risen} m at once");
            assert!(turned < 0.101 * apart(turn) + 1e-7, "at {k} of 1000: {turned} at once");
            assert!((sunk(&now) - sunk(&before)).abs() < 0.12, "at {k} of 1000: sinks at once");
            before = now;
        }
        assert!((sunk(&before) - 1.0).abs() < 1e-12, "it ends where it hangs: {}", sunk(&before));
    }
}
