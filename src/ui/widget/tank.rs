//! The tanks in the drawing: the spaces between their bulkheads, how high the water stands in each,
//! and the bulkheads.

use super::frame::{Axes, Frame, View, seen};
use super::scene::{Drawn, Look, Picked};
use super::shape::{DrawnShape, Outline, path_of};
use nalgebra::Vector3;
use std::fmt::Write as _;
use std::sync::Arc;
use trimwright::boat::{Bulkhead, BulkheadDirection, Tank, TankEnd, TankKind};
use trimwright::frame::Pose;
use trimwright::geometry::Mesh;

/// A tank: its number in the boat's list, its cavity, its bulkheads, its kind.
type DrawnTank = (usize, Arc<Mesh>, Vec<Bulkhead>, TankKind);

/// The tanks that are drawn, as one list of spaces.
#[derive(Debug, Default)]
pub(super) struct Spaces {
    /// The tanks.
    tanks: Vec<DrawnTank>,
    /// The spaces between their bulkheads, tank by tank.
    pub(super) meshes: Vec<Arc<Mesh>>,
    /// The number of the tank that each space belongs to.
    of: Vec<usize>,
}

impl Spaces {
    /// The spaces of all tanks that are drawn, those that did not change taken from `before`. A
    /// tank whose bulkheads are not right counts as one space.
    pub(super) fn of(drawn: &[Drawn], tanks: &[Tank], before: Option<&Self>) -> Self {
        let mut all = Self::default();
        for d in drawn {
            let (Picked::Tank(k), Look::Tank, Some(cavity)) = (d.what, d.look, &d.mesh) else {
                continue;
            };
            let tank = tanks.get(k);
            let bulkheads = tank.map(|t| t.bulkheads.clone()).unwrap_or_default();
            let kind = tank.map(|t| t.kind).unwrap_or_default();
            let one = (k, Arc::clone(cavity), bulkheads, kind);
            let kept = before.and_then(|b| b.kept(&one));
            let spaces = kept.unwrap_or_else(|| {
                let parted = tank.and_then(|t| t.compartments(cavity).ok());
                parted.unwrap_or_else(|| vec![Arc::clone(cavity)])
            });
            all.of.extend(spaces.iter().map(|_| k));
            all.meshes.extend(spaces);
            all.tanks.push(one);
        }
        all
    }

    fn kept(&self, (k, cavity, bulkheads, _): &DrawnTank) -> Option<Vec<Arc<Mesh>>> {
        let same = |(l, c, b, _): &DrawnTank| l == k && Arc::ptr_eq(c, cavity) && b == bulkheads;
        self.tanks.iter().any(same).then(|| {
            let theirs = self.meshes.iter().zip(&self.of).filter(|(_, of)| *of == k);
            theirs.map(|(mesh, _)| Arc::clone(mesh)).collect()
        })
    }

    /// How the water stands in each space, of the shares `fills` of the boat's tanks. `before` is
    /// how it stood in the picture before.
    pub(super) fn levels(
        &self,
        fills: &[f64],
        pose: &Pose,
        before: Option<&Vec<WaterLevel>>,
    ) -> Vec<WaterLevel> {
        let spaces = self.meshes.iter().zip(&self.of).enumerate();
        let level = |(k, (mesh, of)): (usize, (&Arc<Mesh>, &usize))| {
            let fill = fills.get(*of).copied().unwrap_or(0.0);
            // What is not a number is drawn empty.
            let is_between = 0.0 < fill && fill < 1.0;
            if !is_between {
                return if fill >= 1.0 { WaterLevel::Full } else { WaterLevel::Empty };
            }
            let own = self.tanks.iter().find(|(tank, ..)| tank == of);
            match own.map(|(.., kind)| *kind).unwrap_or_default() {
                TankKind::Piston(piston) => {
                    let bounds = mesh.bounds();
                    let stroke = fill * bounds.size().x;
                    return match piston.inlet {
                        TankEnd::Aft => WaterLevel::AftOf(bounds.low.x + stroke),
                        TankEnd::Fore => WaterLevel::ForeOf(bounds.high.x - stroke),
                    };
                }
                TankKind::Bag => return WaterLevel::InTheMiddle(fill),
                TankKind::Open | TankKind::Sealed(_) => {}
            }
            let near = match before.and_then(|b| b.get(k)) {
                Some(WaterLevel::At(depth)) => *depth,
                _ => 0.0,
            };
            WaterLevel::At(depth_in(mesh, fill, pose, near))
        };
        spaces.map(level).collect()
    }

    /// The water in the tanks and its surfaces, as path data of a view. `outlines` are those of the
    /// spaces.
    pub(super) fn water(
        &self,
        outlines: &[Arc<Outline>],
        levels: &[WaterLevel],
        view: View,
        frame: &Frame,
    ) -> [String; 2] {
        let mut paths = [String::new(), String::new()];
        let [water, surface] = &mut paths;
        for ((mesh, outline), level) in self.meshes.iter().zip(outlines).zip(levels) {
            match level {
                WaterLevel::Empty => {}
                WaterLevel::AftOf(x) | WaterLevel::ForeOf(x) => {
                    let forward = seen(frame.axes(view), Vector3::x().into());
                    let side = if matches!(level, WaterLevel::AftOf(_)) { 1.0 } else { -1.0 };
                    let (wet, face) = behind(outline, forward, *x, side);
                    water.push_str(&wet);
                    surface.push_str(&face);
                }
                WaterLevel::InTheMiddle(fill) => {
                    let middle = seen(frame.axes(view), mesh.centroid().vector().into());
                    water.push_str(&path_of(&shrunk(outline, middle, fill.cbrt())));
                }
                // From above the surface covers the tank.
                WaterLevel::At(_) if view == View::Plan => water.push_str(&outline.path),
                WaterLevel::Full => water.push_str(&outline.path),
                WaterLevel::At(depth) => {
                    let middle = seen(frame.axes(view), mesh.bounds().centre().into());
                    let (wet, line) = below(outline, middle, *depth, frame.level(view));
                    water.push_str(&wet);
                    surface.push_str(&line);
                }
            }
        }
        paths
    }

    /// The bulkheads that are seen edge on, as path data, within the shapes of their tanks.
    pub(super) fn bulkheads(&self, shapes: &[DrawnShape], axes: Axes) -> String {
        let mut lines = String::new();
        for (k, _, bulkheads, _) in &self.tanks {
            let Some(shape) = shapes.iter().find(|s| s.what == Picked::Tank(*k)) else { continue };
            for bulkhead in bulkheads {
                lines.push_str(&chord(&shape.outline, *bulkhead, axes));
            }
        }
        lines
    }
}

/// The shares of a boat's tanks that are full, as they are drawn by themselves.
pub(super) fn fills_of(drawn: &[Drawn]) -> Vec<f64> {
    drawn.iter().filter(|d| matches!(d.what, Picked::Tank(_))).map(|d| d.fill).collect()
}

/// How the water in a space stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum WaterLevel {
    /// There is none.
    Empty,
    /// So high over the middle of the space, metres along the vertical.
    At(f64),
    /// Behind a piston, aft of this place, metres in body axes.
    AftOf(f64),
    /// Behind a piston, forward of this place, metres in body axes.
    ForeOf(f64),
    /// In a bag in the middle of the space, which it fills by this share.
    InTheMiddle(f64),
    /// There is nothing else.
    Full,
}

/// Steps towards a level; one or two do when the picture before was near.
const STEPS: usize = 12;
/// A volume that is off by no more than this share is one step from a level that nobody can tell
/// from the right one.
const NEAR: f64 = 0.004;

/// How high the water stands over the middle of a space that is filled by a share, metres along the
/// vertical, as well as it can be seen. Newton's method from `near`, within a bracket.
fn depth_in(mesh: &Mesh, fill: f64, pose: &Pose, near: f64) -> f64 {
    let up = pose.up();
    let middle = up.dot(&mesh.bounds().centre());
    let (mut dry, mut sunk) = mesh.bounds().reach(&up);
    let mut at = middle + near;
    for _ in 0..STEPS {
        if !(dry < at && at < sunk) {
            at = f64::midpoint(dry, sunk);
        }
        let cut = mesh.below(up, -at);
        let missing = fill * mesh.volume() - cut.volume;
        if missing > 0.0 {
            dry = at;
        } else {
            sunk = at;
        }
        at += missing / cut.waterplane.area;
        if missing.abs() < NEAR * mesh.volume() {
            break;
        }
    }
    let at = if at.is_nan() { middle } else { at.clamp(dry, sunk) };
    at - middle
}

/// What of an outline lies below a level that runs `depth` metres above the point `middle` (all as
/// seen), across the direction `up`; and the level itself within the outline. As path data.
fn below(outline: &Outline, middle: [f64; 2], depth: f64, up: [f64; 2]) -> (String, String) {
    let over = |p: &[f64; 2]| up[0] * (p[0] - middle[0]) + up[1] * (p[1] - middle[1]) - depth;
    let (wet, ends) = parted(&outline.points, over);
    (path_of(&wet), lines_of(ends, [up[1], -up[0]]))
}

/// What of an outline lies aft (`side` 1) or forward (`side` -1) of a face square to the boat's axis, at
/// `x` metres along the direction `forward` as seen; and the face itself. As path data. Seen from the
/// end, the face is all of the outline.
fn behind(outline: &Outline, forward: [f64; 2], x: f64, side: f64) -> (String, String) {
    if forward[0].hypot(forward[1]) < 1e-6 {
        return (outline.path.to_string(), String::new());
    }
    let over = |p: &[f64; 2]| side * (forward[0] * p[0] + forward[1] * p[1] - x);
    let (wet, ends) = parted(&outline.points, over);
    (path_of(&wet), lines_of(ends, [forward[1], -forward[0]]))
}

/// An outline made smaller about a point as seen.
fn shrunk(outline: &Outline, middle: [f64; 2], times: f64) -> Vec<[f64; 2]> {
    let toward = |p: &[f64; 2]| [0, 1].map(|k| middle[k] + times * (p[k] - middle[k]));
    outline.points.iter().map(toward).collect()
}

/// Where a bulkhead that is seen edge on crosses the outline of its tank, as path data.
fn chord(outline: &Outline, bulkhead: Bulkhead, axes: Axes) -> String {
    let across = match bulkhead.way {
        BulkheadDirection::Lengthwise => Vector3::y(),
        BulkheadDirection::Transverse => Vector3::x(),
    };
    // A plane whose normal lies in the page is seen as a line.
    let normal = seen(axes, across.into());
    if (normal[0].hypot(normal[1]) - 1.0).abs() > 1e-6 {
        return String::new();
    }
    let over = |p: &[f64; 2]| normal[0] * p[0] + normal[1] * p[1] - bulkhead.at;
    lines_of(parted(&outline.points, over).1, [normal[1], -normal[0]])
}

/// What of an outline is not over a line, and where it crosses the line.
fn parted(points: &[[f64; 2]], over: impl Fn(&[f64; 2]) -> f64) -> (Vec<[f64; 2]>, Vec<[f64; 2]>) {
    let (mut inside, mut ends) = (Vec::with_capacity(points.len() + 2), Vec::new());
    for (a, b) in points.iter().zip(points.iter().cycle().skip(1)) {
        let (from, to) = (over(a), over(b));
        if from <= 0.0 {
            inside.push(*a);
        }
        if (from <= 0.0) != (to <= 0.0) {
            let share = from / (from - to);
            let end = [a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])];
            inside.push(end);
            ends.push(end);
        }
    }
    (inside, ends)
}

/// Lines between pairs of points that lie on one line of direction `along`: path data, millimetres.
fn lines_of(mut ends: Vec<[f64; 2]>, along: [f64; 2]) -> String {
    let place = |p: &[f64; 2]| along[0] * p[0] + along[1] * p[1];
    ends.sort_by(|a, b| place(a).total_cmp(&place(b)));
    let mut lines = String::new();
    for pair in ends.chunks_exact(2) {
        if let [[ax, ay], [bx, by]] = pair {
            let [ax, ay, bx, by] = [*ax, -ay, *bx, -by].map(|metres| metres * 1e3);
            // Writing to a text cannot fail.
            let _written = write!(lines, "M{ax:.1} {ay:.1}L{bx:.1} {by:.1}");
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::super::frame::Views;
    use super::super::scene::Scene;
    use super::super::shape::Outlines;
    use super::*;
    use trimwright::boat::Piston;
    use trimwright::frame::Position;
    use trimwright::geometry::{Axis, Fineness, Solid};

    /// A tank of 0.2 × 0.1 × 0.06 m about (0.1, 0, 0.05) as it is drawn.
    fn tank(bulkheads: Vec<Bulkhead>) -> (Vec<Drawn>, Vec<Tank>) {
        let cavity = Solid::Box { size: [0.2, 0.1, 0.06], centre: Position::new(0.1, 0.0, 0.05) };
        drawn(Tank { bulkheads, ..Tank::new("tank", cavity) })
    }

    fn drawn(tank: Tank) -> (Vec<Drawn>, Vec<Tank>) {
        let one = Drawn {
            what: Picked::Tank(0),
            mesh: tank.cavity.mesh(Fineness::WORK).ok(),
            at: [0.0; 3],
            look: Look::Tank,
            faint: false,
            inside: false,
            name: String::new(),
            mass: 0.0,
            fill: 0.25,
        };
        (vec![one], vec![tank])
    }

    /// Water, surfaces and bulkheads in a view.
    fn paths(of: &(Vec<Drawn>, Vec<Tank>), fill: f64, pose: Pose, view: View) -> [String; 3] {
        let spaces = Spaces::of(&of.0, &of.1, None);
        let views = if view == View::Plan { Views::Plan } else { Views::Side };
        let bounds = of.0[0].mesh.as_ref().expect("a box").bounds();
        let frame = Frame::of(bounds, views, &Scene { pose, ..Scene::upright([0.1, 0.0, 0.05]) });
        let axes = frame.axes(view);
        let (shapes, outlines) = Outlines::default().shapes(&of.0, &spaces.meshes, axes);
        let levels = spaces.levels(&[fill], &pose, None);
        let [water, surface] = spaces.water(&outlines, &levels, view, &frame);
        [water, surface, spaces.bulkheads(&shapes, axes)]
    }

    #[test]
    fn water_in_a_tank_is_cut_at_its_level() {
        let whole = tank(Vec::new());
        let upright = Pose::upright(-0.1);
        let [water, surface, bulkheads] = paths(&whole, 0.25, upright, View::Side);
        assert_eq!(water, "M0.0 -20.0L200.0 -20.0L200.0 -35.0L0.0 -35.0Z", "15 mm of water");
        assert_eq!(surface, "M0.0 -35.0L200.0 -35.0", "level");
        assert_eq!(bulkheads, "", "none");
        let [water, surface, _] = paths(&whole, 1.0, upright, View::Side);
        assert_eq!(water, "M0.0 -20.0L200.0 -20.0L200.0 -80.0L0.0 -80.0Z", "full");
        assert_eq!(surface, "", "without a surface");
        for none in [0.0, -1.0, f64::NAN] {
            let [water, ..] = paths(&whole, none, upright, View::Side);
            assert_eq!(water, "", "filled by {none}");
        }
        let [water, ..] = paths(&whole, 0.25, upright, View::Plan);
        assert_eq!(water, "M0.0 50.0L200.0 50.0L200.0 -50.0L0.0 -50.0Z", "all of it from above");
    }

    #[test]
    fn each_space_has_a_level_of_its_own() {
        // Bow down by 0.1: fore and aft of the bulkhead the water stands at half of its space.
        let parted = tank(vec![Bulkhead { way: BulkheadDirection::Transverse, at: 0.1 }]);
        let pose = Pose::from_angles(-0.1, 0.0, 0.1);
        let [_, surface, bulkheads] = paths(&parted, 0.5, pose, View::Side);
        assert_eq!(surface.matches('M').count(), 2, "two surfaces: {surface}");
        let rise = 50.0 * 0.1_f64.tan();
        for end in [format!("{:.1}", -50.0 - rise), format!("{:.1}", -50.0 + rise)] {
            assert_eq!(surface.matches(&end).count(), 2, "both reach {end}: {surface}");
        }
        assert_eq!(bulkheads, "M100.0 -80.0L100.0 -20.0", "seen from the side");
        let [.., bulkheads] = paths(&parted, 0.5, pose, View::End);
        assert_eq!(bulkheads, "", "not seen from behind");
        let [.., bulkheads] = paths(&parted, 0.5, pose, View::Plan);
        assert_eq!(bulkheads, "M100.0 -50.0L100.0 50.0", "seen from above");
    }

    #[test]
    fn a_lengthwise_bulkhead_is_seen_from_behind() {
        let parted = tank(vec![Bulkhead { way: BulkheadDirection::Lengthwise, at: 0.02 }]);
        let upright = Pose::upright(-0.1);
        let [.., side] = paths(&parted, 0.5, upright, View::Side);
        let [.., end] = paths(&parted, 0.5, upright, View::End);
        let [.., plan] = paths(&parted, 0.5, upright, View::Plan);
        assert_eq!(
            [side.as_str(), end.as_str(), plan.as_str()],
            ["", "M-20.0 -20.0L-20.0 -80.0", "M0.0 -20.0L200.0 -20.0"],
            "side, end, plan"
        );
    }

    /// The tank filled by a piston, or with a bag, in no attitude of a still surface.
    fn of_kind(kind: TankKind) -> (Vec<Drawn>, Vec<Tank>) {
        let (drawn, mut tanks) = tank(Vec::new());
        tanks[0].kind = kind;
        (drawn, tanks)
    }

    #[test]
    fn water_of_a_piston_stands_against_its_end_at_any_attitude() {
        let piston = |inlet| of_kind(TankKind::Piston(Piston { inlet, mass: 0.0 }));
        let (aft, fore) = (piston(TankEnd::Aft), piston(TankEnd::Fore));
        for pose in [Pose::upright(-0.1), Pose::from_angles(-0.1, 0.3, 0.4)] {
            let [water, face, _] = paths(&aft, 0.25, pose, View::Side);
            assert_eq!(water, "M0.0 -20.0L50.0 -20.0L50.0 -80.0L0.0 -80.0Z", "50 mm from aft");
            assert_eq!(face, "M50.0 -80.0L50.0 -20.0", "square to the axis");
            let [water, face, _] = paths(&fore, 0.25, pose, View::Side);
            assert_eq!(water, "M150.0 -20.0L200.0 -20.0L200.0 -80.0L150.0 -80.0Z", "from fore");
            assert_eq!(face, "M150.0 -80.0L150.0 -20.0", "square to the axis");
        }
        let [water, face, _] = paths(&aft, 0.25, Pose::upright(-0.1), View::Plan);
        assert_eq!(water, "M0.0 50.0L50.0 50.0L50.0 -50.0L0.0 -50.0Z", "from above");
        assert_eq!(face, "M50.0 -50.0L50.0 50.0", "its face");
        let [water, face, _] = paths(&aft, 0.25, Pose::upright(-0.1), View::End);
        assert_eq!((water.as_str(), face.as_str()), (OF_END, ""), "all of its face from the end");
    }

    /// The whole space seen from the end.
    const OF_END: &str = "M-50.0 -20.0L50.0 -20.0L50.0 -80.0L-50.0 -80.0Z";

    #[test]
    fn water_of_a_bag_is_in_the_middle() {
        // An eighth is a space of half the size in every direction.
        let bag = of_kind(TankKind::Bag);
        let [water, surface, _] = paths(&bag, 0.125, Pose::from_angles(-0.1, 0.3, 0.4), View::Side);
        assert_eq!(water, "M50.0 -35.0L150.0 -35.0L150.0 -65.0L50.0 -65.0Z", "half as large");
        assert_eq!(surface, "", "without a surface");
    }

    #[test]
    fn a_tank_with_bad_bulkheads_is_drawn_as_one_space() {
        let bad = tank(vec![Bulkhead { way: BulkheadDirection::Lengthwise, at: 7.0 }]);
        let [water, _, bulkheads] = paths(&bad, 0.25, Pose::upright(-0.1), View::Side);
        assert_eq!(water, "M0.0 -20.0L200.0 -20.0L200.0 -35.0L0.0 -35.0Z", "15 mm of water");
        assert_eq!(bulkheads, "", "nor is the bulkhead");
    }

    #[test]
    fn the_level_is_right_wherever_the_search_begins() {
        let round = Solid::Cylinder {
            length: 0.3,
            diameter: 0.08,
            axis: Axis::X,
            centre: Position::new(0.0, 0.05, 0.1),
        };
        let mesh = round.mesh(Fineness::WORK).expect("a cylinder");
        for fill in [1e-4, 0.03, 0.4, 0.5, 0.97, 0.9999] {
            for (heel, near) in
                [(0.0, 0.0), (0.3, -0.039), (-0.2, 0.039), (1.2, 7.0), (0.1, f64::NAN)]
            {
                let pose = Pose::from_angles(0.0, heel, 0.05);
                let depth = depth_in(&mesh, fill, &pose, near);
                let middle = pose.up().dot(&mesh.bounds().centre());
                let share = mesh.below(pose.up(), -(middle + depth)).volume / mesh.volume();
                let off = (share - fill).abs();
                assert!(off < 1e-3, "{fill} at heel {heel} from {near}: {share}");
            }
        }
    }

    #[test]
    fn spaces_of_what_did_not_change_are_kept() {
        let (drawn, mut tanks) =
            tank(vec![Bulkhead { way: BulkheadDirection::Transverse, at: 0.1 }]);
        let before = Spaces::of(&drawn, &tanks, None);
        let again = Spaces::of(&drawn, &tanks, Some(&before));
        let same = |a: &Spaces, b: &Spaces| {
            a.meshes.iter().zip(&b.meshes).map(|(a, b)| Arc::ptr_eq(a, b)).collect::<Vec<_>>()
        };
        assert_eq!(same(&before, &again), [true, true], "the same tank");
        tanks[0].bulkheads.push(Bulkhead { way: BulkheadDirection::Lengthwise, at: 0.0 });
        let parted = Spaces::of(&drawn, &tanks, Some(&again));
        assert_eq!(parted.meshes.len(), 4, "one more bulkhead");
    }
}
