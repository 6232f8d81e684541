//! The signs in the drawing: the boat's centres with their letters, its marks, what to do.

use super::frame::{Axes, Frame, HEIGHT, SURFACE, View, WIDTH, seen};
use super::placing::{Area, BESIDE, SignPlace, SignRoom, fan_out};
use super::scene::{Load, Scene};
use crate::state::BoatInHand;
use crate::ui::markup::{Attr, Markup};
use crate::ui::text;
use crate::words::speech::speech;
use trimwright::ballast::Target;
use trimwright::boat::Mark;
use trimwright::unit::MILLIMETRE;

/// A stroke or an area: all that is drawn of the boat is made by this. `width` is that of the
/// stroke in pixels, where the style sheet does not say it.
pub(super) fn path(class: &str, width: f64, d: &str) -> Markup {
    let width = (width > 0.0).then(|| format!("{width:.1}"));
    let width = width.as_ref().map(|w| -> Attr<'_> { ("stroke-width", w) });
    let attributes: Vec<Attr<'_>> =
        [("class", &class as _), ("d", &d as _)].into_iter().chain(width).collect();
    Markup::empty("path", &attributes)
}

/// Words in the picture.
pub(super) fn letters(class: &str, [x, y]: [f64; 2], words: &str) -> Markup {
    let [x, y] = [x, y].map(|px| format!("{px:.1}"));
    Markup::element("text", &[("class", &class), ("x", &x), ("y", &y)], &Markup::words(words))
}

/// A group at a place.
fn placed(attributes: &[Attr<'_>], [x, y]: [f64; 2], inside: &Markup) -> Markup {
    let group = Markup::element("g", attributes, inside);
    Markup::element("g", &[("transform", &format_args!("translate({x:.2} {y:.2})"))], &group)
}

/// A centre of the boat on the page.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Sign {
    letter: &'static str,
    /// Its place in the boat, metres as seen.
    seen: [f64; 2],
    at: [f64; 2],
    /// Where its letter is drawn, pixels from its place, if sign and letter have no room there; else nothing.
    off: [f64; 2],
    /// Where the letter's middle is, from the sign's.
    beside: [f64; 2],
}

/// A round thing on the glass that nothing may lie on: its middle and its radius, pixels.
pub(crate) type Disc = ([f64; 2], f64);

/// The centres that are drawn in a view seen from `times` as close, each where `room` has room for it: if not
/// at its place, beside it with a line to it.
pub(super) fn signs(
    scene: &Scene,
    frame: &Frame,
    view: View,
    times: f64,
    room: &SignRoom,
) -> Vec<Sign> {
    // The metacentre against heel means nothing from above.
    let metacentre = scene.metacentre.filter(|_| view != View::Plan);
    let all =
        [("G", 4.0, Some(scene.gravity)), ("B", 0.0, scene.buoyancy), ("M", -2.0, metacentre)];
    let placed = all.into_iter().filter_map(|(letter, usual, at)| {
        let seen = seen(frame.axes(view), at?);
        let at = frame.page(view, at?);
        // A metacentre far above belongs to the figures.
        let inside = letter != "M" || (6.0..HEIGHT - 6.0).contains(&at[1]);
        let sign = Sign { letter, seen, at, off: [0.0; 2], beside: BESIDE[0] };
        inside.then_some((sign, usual))
    });
    let placed: Vec<(Sign, f64)> = placed.collect();
    let points: Vec<SignPlace> =
        placed.iter().map(|(sign, usual)| (sign.at.map(|px| px * times), *usual)).collect();
    let ways = fan_out(&points, room, scene.passing.is_some());
    // What weighs lies over what carries.
    let signs = placed.into_iter().zip(ways).rev();
    signs
        .map(|((sign, _), [off, letter])| {
            let beside = [letter[0] - off[0], letter[1] - off[1]];
            Sign { off, beside, ..sign }
        })
        .collect()
}

/// The part of the page that belongs to a view, `times` as large.
pub(super) fn part_of(frame: &Frame, view: View, times: f64) -> Area {
    let (left, right) = match view {
        View::Side => (0.0, frame.gap),
        View::End => (frame.gap, WIDTH),
        View::Plan => (0.0, WIDTH),
    };
    [left, 0.0, right, HEIGHT].map(|px| px * times)
}

const RING: &str = "M-5 0a5 5 0 1 0 10 0a5 5 0 1 0 -10 0Z";
const QUARTERS: &str = "M0 0V-5A5 5 0 0 1 5 0ZM0 0V5A5 5 0 0 1 -5 0Z";
const CROSS: &str = "M-5 -5L5 5M-5 5L5 -5";

/// A quartered circle for the centre of gravity, as engineers draw it; an open one for that of
/// buoyancy; a cross for the metacentre. In the group of its view; where there is said by
/// [`sign_places`], so that a sign that only moves is not made anew.
pub(super) fn sign_markup(sign: &Sign) -> Markup {
    let Sign { letter, off: [x, y], beside: [dx, dy], .. } = *sign;
    let (ring, quarters) = match letter {
        "G" => (RING, QUARTERS),
        "B" => (RING, ""),
        _ => (CROSS, ""),
    };
    let mut inside = Markup::default();
    // The sign stays on its place, whatever lies there; only its letter goes where there is room.
    let is_led = x.hypot(y) > 0.0;
    if is_led {
        let line = format!("M0 0L{x:.1} {y:.1}");
        inside += path("leader halo", 0.0, &line);
        inside += path("leader", 0.0, &line);
    }
    inside += path("ground", 0.0, ring);
    inside += path("quarters", 0.0, quarters);
    let [x, y] = if is_led { [x, y] } else { [dx, dy] };
    inside += letters("small", [x, y + 4.0], letter);
    let inside = Markup::element("g", &[("class", &"still sign")], &inside);
    Markup::element("g", &[("class", &format_args!("at-{letter}"))], &inside)
}

/// The places of the signs in the group of their view, as a style.
pub(super) fn sign_places(signs: &[Sign]) -> String {
    let place = |Sign { letter, seen: [x, up], .. }: &Sign| {
        format!("; --at-{letter}: {:.2}px, {:.2}px", x * 1e3, -up * 1e3)
    };
    signs.iter().map(place).collect()
}

/// True for a mark that is drawn in a view: from behind those on the centre plane would lie on one
/// another.
pub(crate) fn is_seen(mark: &Mark, view: View) -> bool {
    view != View::End || mark.at.y().abs() > 5.0 * MILLIMETRE
}

/// A mark: a tick on the hull, and a place to tap. In the group of its view.
pub(super) fn mark_markup(mark: &Mark, axes: Axes) -> Markup {
    let [x, up] = seen(axes, mark.at.vector().into());
    let pieces = [path("target", 0.0, "M-28 -28H28V28H-28Z"), path("tick-line", 0.0, "M0 -8V8")];
    let testid = format!("draw-mark-{}", mark.name);
    let named: [Attr<'_>; 2] = [("class", &"still mark"), ("data-testid", &testid)];
    placed(&named, [x * 1e3, -up * 1e3], &pieces.into_iter().collect())
}

/// The design waterline through the marks in a view, path data in millimetres.
pub(crate) fn aim(hand: &BoatInHand, view: View, axes: Axes) -> String {
    let pose = Target::at_the_marks(&hand.boat.marks).and_then(|t| t.pose());
    let (Some(pose), true) = (pose, view != View::Plan) else { return String::new() };
    let bounds = hand.model.bounds();
    let over = 0.02 * bounds.size().x;
    let ends = if view == View::Side {
        [[bounds.low.x - over, 0.0], [bounds.high.x + over, 0.0]]
    } else {
        [[0.0, bounds.low.y - over], [0.0, bounds.high.y + over]]
    };
    let [a, b] = ends
        .map(|[x, y]| seen(axes, [x, y, pose.water_height_at(x, y)]).map(|metres| metres * 1e3));
    format!("M{:.1} {:.1}L{:.1} {:.1}", a[0], -a[1], b[0], -b[1])
}

/// The weight to put on, take off or shift, with its distances.
pub(super) fn load_markup(load: Load, scene: &Scene, frame: &Frame, datum: f64) -> Markup {
    let s = frame.scale;
    let [along, across] = scene.told;
    let bounds = frame.bounds;
    let keel = level_of(scene);
    let mut markup = Markup::default();
    match load {
        Load::Add([x, y, _]) | Load::TakeOff([x, y, _]) => {
            let sign = if matches!(load, Load::Add(_)) { "+" } else { "\u{2212}" };
            let water = water_at(x, scene, frame);
            let (side_x, end_x) = (frame.side + x * s, frame.end - y * s);
            let level = (keel + (water - bounds.low.z) * s + 38.0).min(HEIGHT - 34.0);
            let datum_x = frame.side + datum * s;
            markup += blocks(scene, frame).into_iter().map(|at| block(at, sign)).collect();
            if along {
                markup += ruler(datum_x, side_x, level, x - datum);
            }
            if across {
                markup += ruler(frame.end, end_x, level, y);
            }
        }
        Load::Shift([forward, to_port]) => {
            let y = (keel + 62.0).min(HEIGHT - 40.0);
            if along && moves(forward) {
                let middle = frame.side + scene.gravity[0] * s;
                markup += arrow(middle, forward * s, y, forward);
            }
            if across && moves(to_port) {
                markup += arrow(frame.end, -to_port * s, y, to_port);
            }
        }
    }
    markup
}

/// Where the surface is drawn, or the middle of a boat under water; page y.
fn level_of(scene: &Scene) -> f64 {
    SURFACE + if scene.under { 46.0 } else { 0.0 }
}

/// The height in the boat that is drawn there, at x.
fn water_at(x: f64, scene: &Scene, frame: &Frame) -> f64 {
    let bounds = frame.bounds;
    if scene.under {
        f64::midpoint(bounds.low.z, bounds.high.z)
    } else {
        scene.pose.water_height_at(x, 0.0).clamp(bounds.low.z, bounds.high.z)
    }
}

/// Where the blocks of a weight to put on or to take off are drawn, in the side view and in the end view:
/// outside the hull, beyond the side that its place is on.
pub(super) fn blocks(scene: &Scene, frame: &Frame) -> Vec<[f64; 2]> {
    let Some(Load::Add([x, y, z]) | Load::TakeOff([x, y, z])) = scene.load else {
        return Vec::new();
    };
    let (s, water) = (frame.scale, water_at(x, scene, frame));
    let beyond = if z > water { -13.0 } else { 13.0 };
    let at_y = level_of(scene) + (water - z) * s + beyond;
    vec![[frame.side + x * s, at_y], [frame.end - y * s, at_y]]
}

/// An orange block with its sign.
fn block(at: [f64; 2], sign: &str) -> Markup {
    // A rectangle with round corners.
    let outline = "M-12 -6a3 3 0 0 1 3 -3H9a3 3 0 0 1 3 3V6a3 3 0 0 1 -3 3H-9a3 3 0 0 1 -3 -3Z";
    let pieces = [path("", 0.0, outline), letters("", [0.0, 6.0], sign)];
    placed(&[("class", &"block")], at, &pieces.into_iter().collect())
}

/// A dimension line from the datum, with its figure under it.
fn ruler(from: f64, to: f64, y: f64, metres: f64) -> Markup {
    let top = y - 4.0;
    let d = format!("M{from:.1} {y:.1}H{to:.1}M{from:.1} {top:.1}v8M{to:.1} {top:.1}v8");
    measured("ruler", &d, [f64::midpoint(from, to), y + 17.0], metres)
}

/// True for a distance that is not written as nothing.
fn moves(metres: f64) -> bool {
    !speech().is_no_length(metres)
}

/// An arrow from the old to the new place, with its figure under it.
fn arrow(from: f64, by: f64, y: f64, metres: f64) -> Markup {
    let to = from + by;
    let back = to + if to >= from { -7.0 } else { 7.0 };
    let (above, below) = (y - 5.0, y + 5.0);
    let d = format!(
        "M{from:.1} {y:.1}H{to:.1}M{back:.1} {above:.1}L{to:.1} {y:.1}L{back:.1} {below:.1}"
    );
    measured("arrow", &d, [from, y + 20.0], metres)
}

/// A line with its figure.
fn measured(class: &str, d: &str, [x, y]: [f64; 2], metres: f64) -> Markup {
    let figure = text::millimetres(metres.abs());
    let mut markup = path(class, 0.0, d);
    markup += letters("figure", [x.clamp(30.0, WIDTH - 30.0), y], &figure);
    markup
}

#[cfg(test)]
mod tests {
    use super::super::frame::Views;
    use super::super::placing::about;
    use super::*;
    use nalgebra::Vector3;
    use trimwright::frame::Pose;
    use trimwright::geometry::Bounds;

    fn frame(scene: &Scene, view: View) -> Frame {
        let bounds =
            Bounds { low: Vector3::new(-0.46, -0.08, 0.0), high: Vector3::new(0.46, 0.08, 0.2) };
        let views = if view == View::Plan { Views::Plan } else { Views::Side };
        Frame::of(bounds, views, scene)
    }

    /// What a view finds on the glass, with a weight lying there.
    fn room(frame: &Frame, view: View, times: f64, weights: &[Area]) -> SignRoom {
        let within = part_of(frame, view, times);
        SignRoom { within, barred: weights.to_vec(), shunned: Vec::new() }
    }

    fn drawn(scene: &Scene, view: View, times: f64) -> Vec<Sign> {
        let frame = frame(scene, view);
        signs(scene, &frame, view, times, &room(&frame, view, times, &[]))
    }

    fn scene(metacentre: f64) -> Scene {
        Scene {
            pose: Pose::upright(-0.1),
            under: false,
            gravity: [0.02, 0.0, 0.06],
            buoyancy: Some([0.02, 0.0, 0.072]),
            metacentre: Some([0.02, 0.0, metacentre]),
            load: None,
            told: [true; 2],
            passing: None,
        }
    }

    /// What is drawn of a sign: its place, itself, its letter; on the glass.
    fn drawn_of(sign: &Sign, times: f64) -> [[f64; 2]; 3] {
        let place = sign.at.map(|px| px * times);
        let middle = [0, 1].map(|k| place[k] + sign.off[k]);
        [place, middle, [0, 1].map(|k| middle[k] + sign.beside[k])]
    }

    #[track_caller]
    fn assert_apart(a: [f64; 2], b: [f64; 2], room: f64, words: &str) {
        let apart = (a[0] - b[0]).abs() >= room || (a[1] - b[1]).abs() >= room;
        assert!(apart, "{words}: {a:?} and {b:?} lie within {room}");
    }

    #[test]
    fn signs_and_letters_do_not_lie_on_one_another_on_a_weight_or_on_the_other_view() {
        for (view, times, metacentre) in [View::Side, View::End, View::Plan]
            .into_iter()
            .flat_map(|view| [1.0, 3.0, 8.0].map(|times| (view, times)))
            .flat_map(|(view, times)| [0.062, 0.072, 0.085, 0.13].map(|m| (view, times, m)))
        {
            let words = format!("{view:?}, {times} times, M at {metacentre}");
            for offset in [0.0, 0.012] {
                let scene = Scene { gravity: [0.02, offset, 0.06], ..scene(metacentre) };
                let (frame, battery) = (frame(&scene, view), [0.05, 0.0, 0.05]);
                let battery = frame.page(view, battery).map(|px| px * times);
                let room = room(&frame, view, times, &[about(battery, 11.0)]);
                let signs = signs(&scene, &frame, view, times, &room);
                assert!(signs.len() >= 2, "{words}: {signs:?}");
                let gap = frame.gap * times;
                for (k, a) in signs.iter().enumerate() {
                    let [_, middle, letter] = drawn_of(a, times);
                    assert_apart(middle, letter, 11.0, &words);
                    for at in [middle, letter] {
                        assert_apart(at, battery, 17.0, &format!("{words}: {} on it", a.letter));
                        let own_side = match view {
                            View::Side => at[0] < gap - 5.0,
                            View::End => at[0] > gap + 5.0,
                            View::Plan => true,
                        };
                        assert!(own_side, "{words}: {} at {at:?}, the gap at {gap}", a.letter);
                    }
                    for b in &signs[k + 1..] {
                        let words = format!("{words}: {} and {}", a.letter, b.letter);
                        let [a, b] = [a, b].map(|sign| drawn_of(sign, times));
                        for (one, other) in [(1, 1), (1, 2), (2, 1), (2, 2)] {
                            assert_apart(a[one], b[other], 12.0, &words);
                        }
                        for (one, other) in [(0, 1), (0, 2)] {
                            assert_apart(a[one], b[other], 7.0, &words);
                            assert_apart(b[one], a[other], 7.0, &words);
                        }
                    }
                }
            }
        }
    }

    #[test]
    fn a_sign_that_has_room_is_drawn_at_its_place_and_one_that_has_none_has_a_line_to_it() {
        let apart = Scene { buoyancy: Some([0.2, 0.0, 0.072]), ..scene(0.9) };
        let there = drawn(&apart, View::Side, 1.0);
        let stands_off = |s: &Sign| s.off.iter().any(|by| by.abs() > 0.0);
        assert!(!there.iter().any(stands_off), "{there:?}");
        assert!(!sign_markup(&there[0]).as_str().contains("leader"), "no line");
        let near = drawn(&scene(0.9), View::Side, 1.0);
        assert!(near.iter().all(stands_off), "{near:?}");
        assert!(sign_markup(&near[0]).as_str().contains("leader"), "a line");
    }

    #[test]
    fn a_name_stays_inside_its_attribute() {
        let at = trimwright::frame::Position::new(0.1, 0.0, 0.1);
        let mark = Mark { name: "a\"><script>&'".to_owned(), at };
        let markup = mark_markup(&mark, [Vector3::x(), Vector3::z()]);
        let harmless = "\"draw-mark-a&quot;&gt;&lt;script&gt;&amp;&#39;\"";
        assert!(markup.as_str().contains(harmless), "{markup:?}");
    }

    #[test]
    fn a_metacentre_outside_the_picture_is_left_out() {
        let letters = |signs: Vec<Sign>| signs.iter().map(|s| s.letter).collect::<String>();
        assert_eq!(letters(drawn(&scene(0.9), View::End, 1.0)), "BG", "far above");
        assert_eq!(letters(drawn(&scene(0.085), View::Plan, 1.0)), "BG", "from above");
        assert_eq!(letters(drawn(&scene(0.085), View::End, 1.0)), "MBG", "G lies over the others");
    }
}
