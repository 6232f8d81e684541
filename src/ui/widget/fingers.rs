//! Fingers on the drawing: one drags what it holds or the page, two look closer. No browser in
//! here: places come in as those of the glass (see [`Zoom`](super::zoom::Zoom)).

use super::frame::{Frame, View};
use super::scene::{Drag, Picked};

/// A finger that moved less than this has tapped, pixels.
const SLOP: f64 = 4.0;
/// Two taps nearer than this are at the same place, pixels.
const SAME: f64 = 16.0;

/// What a finger holds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Grip {
    /// The thing.
    pub(crate) what: Picked,
    /// The view it was taken hold of in.
    pub(crate) view: View,
    /// Where metres fall on the page, as it was then.
    pub(crate) frame: Frame,
    /// How much closer the page was seen.
    pub(crate) times: f64,
}

/// What a movement of the fingers asks for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Gesture {
    /// Nothing yet.
    Nothing,
    /// Closer by a factor, with what was at one place of the glass now at another.
    Look {
        /// Where it was.
        from: [f64; 2],
        /// Where it is.
        to: [f64; 2],
        /// How much closer.
        factor: f64,
    },
    /// What is held is moved.
    Move(Drag),
}

/// The fingers on the drawing.
#[derive(Debug, Default)]
pub(crate) struct Fingers {
    down: Vec<(i32, [f64; 2])>,
    /// Where the first came down, later where its movement began.
    start: [f64; 2],
    moved: bool,
    /// The view whose grip a finger is about to come down on.
    pub(crate) seized: Option<View>,
    grip: Option<Grip>,
    by: [f64; 3],
    last_tap: Option<[f64; 2]>,
}

impl Fingers {
    /// Whether the page must not move under them: there are two, or one holds something.
    pub(crate) fn are_busy(&self) -> bool {
        self.down.len() > 1 || self.grip.is_some()
    }

    /// What is being moved, once the finger has moved.
    pub(crate) fn moving(&self) -> Option<&Grip> {
        self.grip.as_ref().filter(|_| self.moved)
    }

    /// A finger comes down, perhaps on something it can hold. A second one lets go of that.
    pub(crate) fn press(
        &mut self,
        id: i32,
        at: [f64; 2],
        first: bool,
        grip: Option<&Grip>,
    ) -> Gesture {
        if first {
            self.down.clear();
        }
        self.down.retain(|(other, _)| *other != id);
        let ended = self.end(false);
        self.down.push((id, at));
        if self.down.len() == 1 {
            (self.start, self.moved, self.grip, self.by) = (at, false, grip.copied(), [0.0; 3]);
        } else {
            self.moved = true;
        }
        ended
    }

    /// A finger moves.
    pub(crate) fn shift(&mut self, id: i32, to: [f64; 2]) -> Gesture {
        let Some(k) = self.down.iter().position(|(other, _)| *other == id) else {
            return Gesture::Nothing;
        };
        let other = self.down.iter().find(|(other, _)| *other != id).map(|(_, at)| *at);
        let Some((_, at)) = self.down.get_mut(k) else { return Gesture::Nothing };
        let from = std::mem::replace(at, to);
        if let Some(other) = other {
            let factor = apart(other, to) / apart(other, from).max(1.0);
            return Gesture::Look { from: middle(other, from), to: middle(other, to), factor };
        }
        if !self.moved {
            if apart(self.start, to) < SLOP {
                return Gesture::Nothing;
            }
            // What was needed to tell a movement from a tap is not part of it.
            (self.start, self.moved) = (to, true);
            return Gesture::Nothing;
        }
        let Some(grip) = self.grip else { return Gesture::Look { from, to, factor: 1.0 } };
        let way = [to[0] - self.start[0], to[1] - self.start[1]].map(|px| px / grip.times);
        let by = grip.frame.way(grip.view, way);
        if by.map(f64::to_bits) == self.by.map(f64::to_bits) {
            return Gesture::Nothing;
        }
        self.by = by;
        Gesture::Move(Drag { what: grip.what, by, done: false })
    }

    /// A finger is lifted; if the browser took it away, what it held goes back.
    pub(crate) fn lift(&mut self, id: i32, taken_away: bool) -> Gesture {
        self.down.retain(|(other, _)| *other != id);
        self.end(taken_away)
    }

    fn end(&mut self, back: bool) -> Gesture {
        let Some(grip) = self.grip.take().filter(|_| self.moved) else { return Gesture::Nothing };
        let by = if back { [0.0; 3] } else { self.by };
        Gesture::Move(Drag { what: grip.what, by, done: true })
    }

    /// Whether the last finger tapped and did not move; and if it did, whether at the place of the
    /// tap before.
    pub(crate) fn tapped(&mut self, at: [f64; 2]) -> Option<bool> {
        // A click that no finger made (a screen reader's) leaves nothing to compare with.
        if self.moved {
            return None;
        }
        let before = self.last_tap.replace(at);
        Some(before.is_some_and(|before| apart(before, at) < SAME))
    }
}

fn apart(a: [f64; 2], b: [f64; 2]) -> f64 {
    (a[0] - b[0]).hypot(a[1] - b[1])
}

fn middle(a: [f64; 2], b: [f64; 2]) -> [f64; 2] {
    [f64::midpoint(a[0], b[0]), f64::midpoint(a[1], b[1])]
}

#[cfg(test)]
mod tests {
    use super::super::frame::Views;
    use super::super::scene::Scene;
    use super::*;
    use nalgebra::Vector3;
    use trimwright::frame::Pose;
    use trimwright::geometry::Bounds;

    fn grip(times: f64) -> Grip {
        let bounds =
            Bounds { low: Vector3::new(-0.5, -0.05, 0.0), high: Vector3::new(0.5, 0.05, 0.1) };
        let scene = Scene {
            pose: Pose::upright(-0.05),
            under: false,
            gravity: [0.0; 3],
            buoyancy: None,
            metacentre: None,
            load: None,
            told: [true; 2],
            passing: None,
        };
        let frame = Frame::of(bounds, Views::Side, &scene);
        Grip { what: Picked::Part(3), view: View::Side, frame, times }
    }

    /// Takes hold at (100, 80), moves just enough to begin, and then by (`x`, `y`).
    fn dragged(times: f64, x: f64, y: f64) -> (Fingers, Gesture) {
        let mut fingers = Fingers::default();
        assert_eq!(
            fingers.press(1, [100.0, 80.0], true, Some(&grip(times))),
            Gesture::Nothing,
            "hold"
        );
        assert_eq!(fingers.shift(1, [102.0, 80.0]), Gesture::Nothing, "not yet a movement");
        assert_eq!(fingers.shift(1, [104.0, 80.0]), Gesture::Nothing, "it begins here");
        let act = fingers.shift(1, [104.0 + x, 80.0 + y]);
        (fingers, act)
    }

    #[test]
    fn a_drag_is_whole_millimetres_and_finer_from_close() {
        let px = grip(1.0).frame.scale * 1e-3;
        for times in [1.0, 8.0] {
            let (mut fingers, act) = dragged(times, 30.4 * px * times, -9.8 * px * times);
            let by = [0.030, 0.0, 0.010];
            let what = Picked::Part(3);
            assert_eq!(act, Gesture::Move(Drag { what, by, done: false }), "{times} times");
            assert_eq!(
                fingers.shift(1, [104.0 + 30.4 * px * times, 80.0 - 9.8 * px * times]),
                Gesture::Nothing,
                "the same millimetre is not told twice"
            );
            assert_eq!(
                fingers.lift(1, false),
                Gesture::Move(Drag { what, by, done: true }),
                "the end"
            );
            assert_eq!(fingers.tapped([0.0; 2]), None, "a drag is no tap");
        }
    }

    #[test]
    fn what_the_browser_takes_away_goes_back() {
        let (mut fingers, _) = dragged(1.0, 50.0, 0.0);
        let back = Drag { what: Picked::Part(3), by: [0.0; 3], done: true };
        assert_eq!(fingers.lift(1, true), Gesture::Move(back), "back to where it was");
    }

    #[test]
    fn a_tap_moves_nothing_and_knows_its_place() {
        let mut fingers = Fingers::default();
        for (at, again) in [([50.0, 50.0], false), ([55.0, 52.0], true), ([90.0, 50.0], false)] {
            fingers.press(1, at, true, Some(&grip(1.0)));
            fingers.shift(1, [at[0] + 2.0, at[1]]);
            assert_eq!(fingers.lift(1, false), Gesture::Nothing, "nothing moved");
            assert_eq!(fingers.tapped(at), Some(again), "at {at:?}");
        }
    }

    #[test]
    fn two_fingers_look_closer_about_their_middle() {
        let mut fingers = Fingers::default();
        fingers.press(1, [100.0, 80.0], true, Some(&grip(1.0)));
        assert_eq!(fingers.press(2, [200.0, 80.0], false, None), Gesture::Nothing, "lets go");
        let wanted = Gesture::Look { from: [150.0, 80.0], to: [200.0, 80.0], factor: 2.0 };
        assert_eq!(fingers.shift(2, [300.0, 80.0]), wanted, "twice as far apart");
        fingers.lift(2, false);
        assert_eq!(fingers.lift(1, false), Gesture::Nothing, "nothing was moved");
        assert_eq!(fingers.tapped([100.0, 80.0]), None, "and nothing tapped");
    }

    #[test]
    fn a_second_finger_ends_a_drag_where_it_is() {
        let (mut fingers, act) = dragged(1.0, 40.0, 0.0);
        let Gesture::Move(drag) = act else { panic!("no drag: {act:?}") };
        let ended = fingers.press(2, [200.0, 80.0], false, None);
        assert_eq!(ended, Gesture::Move(Drag { done: true, ..drag }), "kept");
        assert!(fingers.moving().is_none(), "nothing is held any more");
    }

    #[test]
    fn one_finger_that_holds_nothing_moves_the_page() {
        let mut fingers = Fingers::default();
        fingers.press(1, [100.0, 80.0], true, None);
        fingers.shift(1, [110.0, 80.0]);
        let wanted = Gesture::Look { from: [110.0, 80.0], to: [130.0, 70.0], factor: 1.0 };
        assert_eq!(fingers.shift(1, [130.0, 70.0]), wanted, "the way it went");
    }
}
