//! Where the signs of the boat's centres, their letters and the word at the surface are drawn, so that none
//! of them lies on anything that must be seen.

use super::frame::{SURFACE, WIDTH};
use std::f64::consts::FRAC_PI_4;

/// A part of the glass: its left, upper, right and lower edge, pixels.
pub(super) type Area = [f64; 4];

/// Half of what a sign, or a letter, needs across and up, pixels.
pub(super) const HALF: f64 = 6.5;
/// Places for a letter beside its sign.
pub(super) const BESIDE: [[f64; 2]; 4] = [[13.0, 0.0], [-13.0, 0.0], [0.0, -13.0], [0.0, 14.0]];
/// How far from its place a sign is drawn that has no room there, pixels.
const FAR: [f64; 5] = [24.0, 36.0, 48.0, 64.0, 80.0];
/// By how much a sign's way from its place may be turned from the usual, eighths of a turn.
const TURNS: [f64; 7] = [0.0, 1.0, -1.0, 2.0, -2.0, 3.0, -3.0];

/// What it costs to lie outside, and on what must be seen; no distance outweighs it.
const OUTSIDE: f64 = 1e5;
const BARRED: f64 = 1e4;
/// What it costs that a line to a place runs through another sign, or another's line through this one.
const CROSSED: f64 = 300.0;
/// What a turn of an eighth costs, and a letter that does not go on the way of its sign, in pixels of distance.
const TURNED: f64 = 10.0;
const ASIDE: f64 = 4.0;

/// What the signs of a view find on the glass.
#[derive(Debug, Clone, Default)]
pub(super) struct SignRoom {
    /// What they stay in.
    pub(super) within: Area,
    /// What none may lie on: words, weights, the phone.
    pub(super) barred: Vec<Area>,
    /// What they are kept off while there is room beside it: parts, and how far away they rather go, pixels.
    pub(super) shunned: Vec<(Area, f64)>,
}

/// A place that has a sign: where it is, and in which direction the sign is drawn if not there, eighths of a
/// turn clockwise from the right.
pub(super) type SignPlace = ([f64; 2], f64);

/// Where a sign and its letter are drawn, pixels from its place.
pub(super) type SignOffsets = [[f64; 2]; 2];

/// An area about a point.
pub(super) fn about([x, y]: [f64; 2], half: f64) -> Area {
    [x - half, y - half, x + half, y + half]
}

/// True when two areas have something in common.
pub(super) fn overlap(a: &Area, b: &Area) -> bool {
    a[0] < b[2] && b[0] < a[2] && a[1] < b[3] && b[1] < a[3]
}

/// The share of `a` that lies on `b`.
fn share(a: &Area, b: &Area) -> f64 {
    let common = |k: usize| (a[k + 2].min(b[k + 2]) - a[k].max(b[k])).max(0.0);
    common(0) * common(1) / ((a[2] - a[0]) * (a[3] - a[1]))
}

/// Where the signs of these places are drawn. Each is drawn at its place if it has room there; else beside it,
/// as near as there is room. `led`: none is drawn at its place, so that none jumps while the boat moves.
pub(super) fn fan_out(points: &[SignPlace], room: &SignRoom, led: bool) -> Vec<SignOffsets> {
    let mut taken = room.barred.clone();
    let n_barred = taken.len();
    // Signs do not lie on another's place.
    taken.extend(points.iter().map(|(at, _)| about(*at, 2.0)));
    let mut lines: Vec<Area> = Vec::new();
    let mut placed = Vec::with_capacity(points.len());
    for (k, (at, usual)) in points.iter().enumerate() {
        let there = |[dx, dy]: &[f64; 2]| about([at[0] + dx, at[1] + dy], HALF);
        let cost = |way: &SignOffsets| {
            let mut cost = 0.0;
            for area in way.iter().map(there) {
                let others = taken.iter().enumerate().filter(|(l, _)| *l != n_barred + k);
                let n = others.filter(|(_, other)| overlap(&area, other)).count();
                let crossed = lines.iter().any(|line| overlap(&area, line));
                let shunned = room.shunned.iter().map(|(part, far)| far * share(&area, part));
                cost += BARRED * n as f64
                    + if crossed { CROSSED } else { 0.0 }
                    + if share(&area, &room.within) < 1.0 - 1e-9 { OUTSIDE } else { 0.0 }
                    + shunned.fold(0.0, f64::max);
            }
            let signs = taken.iter().skip(n_barred + points.len());
            let is_crossed = |sign: &&Area| line(*at, way[0]).any(|piece| overlap(&piece, sign));
            let crosses = signs.filter(is_crossed).count();
            cost + CROSSED * crosses as f64
        };
        let near = BESIDE.iter().map(|beside| ([[0.0; 2], *beside], 0.0));
        let ways = near.filter(|_| !led).chain(ways(*usual));
        let costs = ways.map(|(way, far)| (way, far + cost(&way)));
        let best = costs.min_by(|a, b| a.1.total_cmp(&b.1)).map(|(way, _)| way);
        let way = best.unwrap_or([[0.0; 2], BESIDE[0]]);
        taken.extend(way.iter().map(there));
        lines.extend(line(*at, way[0]));
        placed.push(way);
    }
    placed
}

/// Where a sign may be drawn beside its place, and its letter, with what that costs: the letter goes on the same
/// way, or beside the sign where a view is narrow.
fn ways(usual: f64) -> impl Iterator<Item = (SignOffsets, f64)> {
    FAR.into_iter().flat_map(move |far| {
        TURNS.into_iter().flat_map(move |turn| {
            let (up, along) = ((usual + turn) * FRAC_PI_4).sin_cos();
            let off = [far * along, far * up];
            // A letter clears its sign across or up.
            let clear = 13.0 / along.abs().max(up.abs());
            let on = [clear * along, clear * up];
            let letters = std::iter::once((on, 0.0)).chain(BESIDE.map(|beside| (beside, ASIDE)));
            letters.map(move |([dx, dy], aside)| {
                let way = [off, [off[0] + dx, off[1] + dy]];
                (way, far + TURNED * turn.abs() + aside)
            })
        })
    })
}

/// Pieces of the line from a place to its sign.
fn line([x, y]: [f64; 2], [dx, dy]: [f64; 2]) -> impl Iterator<Item = Area> {
    let shares = [0.125, 0.25, 0.375, 0.5, 0.625, 0.75, 0.875].into_iter();
    let is_led = dx.hypot(dy) > 0.0;
    shares.filter(move |_| is_led).map(move |by| about([x + by * dx, y + by * dy], 1.0))
}

/// Where the word at the surface stands, the middle of its foot: at an end of the surface, on it or under it,
/// between the views, or deeper down; where it is free, and where it was `before` while it is free there.
/// `half` of the word is that wide; pixels.
pub(super) fn water_place(
    half: f64,
    gap: f64,
    before: Option<[f64; 2]>,
    is_free: impl Fn(&Area) -> bool,
) -> [f64; 2] {
    let across = [6.0 + half, WIDTH - 6.0 - half, gap];
    let feet = [-5.0, 15.0, 31.0, 47.0, 63.0].map(|below| SURFACE + below);
    let mut places = feet.into_iter().flat_map(|y| across.map(|x| [x, y]));
    let first = [across[0], feet[0]];
    let is_well = |[x, y]: &[f64; 2]| is_free(&[x - half, y - 11.0, x + half, y + 3.0]);
    before.filter(is_well).or_else(|| places.find(is_well)).unwrap_or(first)
}

#[cfg(test)]
mod tests {
    use super::*;

    const PAGE: Area = [0.0, 0.0, 390.0, 194.0];

    fn room(within: Area) -> SignRoom {
        SignRoom { within, ..SignRoom::default() }
    }

    /// What is drawn of a sign and its letter.
    fn areas((at, _): &SignPlace, way: &SignOffsets) -> [Area; 2] {
        way.map(|[dx, dy]| about([at[0] + dx, at[1] + dy], HALF))
    }

    fn is_at_its_place(way: &SignOffsets) -> bool {
        way[0].iter().all(|by| by.abs() < 1e-12)
    }

    #[test]
    fn centres_at_one_place_fan_out_inside_the_page() {
        for at in [[195.0, 90.0], [8.0, 90.0], [382.0, 186.0], [20.0, 10.0]] {
            let points = [(at, 4.0), ([at[0], at[1] - 3.0], 0.0), ([at[0], at[1] - 9.0], -2.0)];
            let ways = fan_out(&points, &room(PAGE), false);
            let all: Vec<Area> =
                points.iter().zip(&ways).flat_map(|(point, way)| areas(point, way)).collect();
            for (k, a) in all.iter().enumerate() {
                let is_inside = a[0] >= 0.0 && a[1] >= 0.0 && a[2] <= 390.0 && a[3] <= 194.0;
                assert!(is_inside, "{at:?}: {a:?} is cut off");
                for b in &all[..k] {
                    assert!(!overlap(a, b), "{at:?}: {a:?} lies on {b:?}");
                }
            }
        }
    }

    #[test]
    fn in_a_view_as_narrow_as_a_slim_boat_from_behind_no_line_runs_through_a_sign() {
        let at = [362.0, 95.0];
        let points = [(at, 4.0), ([362.0, 91.0], 0.0), ([362.0, 84.0], -2.0)];
        let ways = fan_out(&points, &room([337.0, 0.0, 390.0, 194.0]), true);
        for (k, (point, way)) in points.iter().zip(&ways).enumerate() {
            let all = areas(point, way);
            assert!(all.iter().all(|a| a[0] >= 337.0 && a[2] <= 390.0), "{k} sticks out: {all:?}");
            for (l, (other, theirs)) in
                points.iter().zip(&ways).enumerate().filter(|(l, _)| *l != k)
            {
                for a in areas(other, theirs) {
                    assert!(!all.iter().any(|b| overlap(&a, b)), "{k} lies on {l}: {ways:?}");
                    let is_crossed = line(point.0, way[0]).any(|piece| overlap(&piece, &a));
                    assert!(!is_crossed, "the line of {k} runs through {l}: {ways:?}");
                }
            }
        }
    }

    #[test]
    fn nothing_lies_on_a_word_or_a_weight_even_if_the_way_is_far() {
        let points = [([195.0, 90.0], 4.0)];
        let wall = [120.0, 40.0, 235.0, 140.0];
        let ways = fan_out(&points, &SignRoom { barred: vec![wall], ..room(PAGE) }, false);
        for area in areas(&points[0], &ways[0]) {
            assert!(!overlap(&area, &wall), "{area:?} lies on it");
        }
    }

    #[test]
    fn a_part_is_kept_clear_of_while_there_is_room_beside_it() {
        let points = [([195.0, 90.0], 4.0)];
        let narrow = ([150.0, 80.0, 240.0, 100.0], 30.0);
        let clear = fan_out(&points, &SignRoom { shunned: vec![narrow], ..room(PAGE) }, false);
        for area in areas(&points[0], &clear[0]) {
            assert!(!overlap(&area, &narrow.0), "{area:?} lies on the part");
        }
        // A part that fills the glass cannot be kept clear of: there the sign stays at its place.
        let all = SignRoom { shunned: vec![(PAGE, 30.0)], ..room(PAGE) };
        assert!(is_at_its_place(&fan_out(&points, &all, false)[0]), "nothing is gained");
        assert!(!is_at_its_place(&fan_out(&points, &all, true)[0]), "on its way it is led");
    }

    #[test]
    fn the_water_is_named_where_no_hull_is() {
        let place = |taken: &[Area], before| {
            water_place(17.0, 250.0, before, |a| !taken.iter().any(|t| overlap(a, t)))
        };
        let first = place(&[], None);
        assert!(first[0] < 30.0 && first[1] < SURFACE, "at the stern's end of the line: {first:?}");
        // A boat as long as the page, from its left edge on, and an end view up to its right edge.
        let boat = [[10.0, 60.0, 240.0, 110.0], [266.0, 60.0, 380.0, 110.0]];
        let under = place(&boat, None);
        assert!(under[1] > 110.0, "{under:?}");
        let same = |a: [f64; 2], b: [f64; 2]| (a[0] - b[0]).hypot(a[1] - b[1]) < 1e-12;
        assert!(same(place(&[], Some(under)), under), "it stays where it was");
        assert!(same(place(&[[0.0, 110.0, 100.0, 150.0]], Some(under)), first), "or goes");
    }
}
