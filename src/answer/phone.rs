//! Where the phone lies while the boat is read with it aboard, and how far it can be moved.

use super::ready_boat::ReadyBoat;
use crate::diary::{ConditionRecord, Draft};
use crate::frame::{Body, Position};
use crate::unit::MILLIMETRE;

/// Where the phone lies, body axes, metres; none where it does not count: ashore, and while the boat is read
/// under water.
///
/// It lies on what is highest of the places for weight: amidships on the centre line, or where the draft says,
/// but never beyond the boat.
pub fn phone_place(draft: &Draft, hand: &ReadyBoat) -> Option<Position<Body>> {
    let counts = draft.phone_aboard && draft.condition == ConditionRecord::Afloat;
    let z = hand.boat.places.iter().map(|p| p.z).fold(0.0, f64::max);
    let [x, y] = draft.phone_at_m.map_or([0.0; 2], |at| within(hand, at));
    counts.then(|| Position::new(x, y, z))
}

/// What the draft has to say of the phone's place once it was moved so far forward and to port, metres: to the
/// millimetre, and no farther than the boat is long and broad. None for amidships on the centre line.
pub fn phone_moved(draft: &Draft, hand: &ReadyBoat, by: [f64; 2]) -> Option<[f64; 2]> {
    let from = draft.phone_at_m.unwrap_or_default();
    let [x, y] = within(hand, [0, 1].map(|k| from[k] + by[k]));
    let to_millimetre = |metres: f64| (metres / MILLIMETRE).round() * MILLIMETRE;
    let at = [x, y].map(to_millimetre);
    at.iter().any(|metres| metres.abs() > 0.5 * MILLIMETRE).then_some(at)
}

/// What a size may lack of a whole millimetre by rounding, millimetres.
const ROUNDED: f64 = 1e-6;

/// The nearest place within length and beam: where the boat ends first, the last whole millimetre on it.
fn within(hand: &ReadyBoat, at: [f64; 2]) -> [f64; 2] {
    let bounds = hand.model.bounds();
    [0, 1].map(|k| {
        let least = (bounds.low[k] / MILLIMETRE - ROUNDED).ceil() * MILLIMETRE;
        let most = (bounds.high[k] / MILLIMETRE + ROUNDED).floor() * MILLIMETRE;
        // Not `clamp`: a boat thinner than a millimetre beside its centre plane has no such place.
        at[k].min(most).max(least)
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::boat::{Boat, Medium, Part, Place};
    use crate::diary::BoatRecord;
    use crate::geometry::Solid;

    /// A box 600 mm long and 100 mm broad, its midship 20 mm aft of its middle, with two places for weight.
    fn hand() -> ReadyBoat {
        let middle = Position::new(0.02, 0.0, 0.05);
        let solid = Solid::Box { size: [0.6, 0.1, 0.1], centre: middle };
        let place = |name: &str, z: f64| Place { name: name.to_owned(), z, medium: Medium::Dry };
        let boat = Boat {
            parts: vec![Part::solid("box", 3.0, middle, solid)],
            places: vec![place("keel", 0.0), place("deck", 0.1)],
            ..Boat::default()
        };
        ReadyBoat::of(&BoatRecord::ledger("box", &boat)).expect("a boat")
    }

    fn aboard(at: Option<[f64; 2]>) -> Draft {
        Draft { phone_aboard: true, phone_at_m: at, ..Draft::default() }
    }

    #[track_caller]
    fn assert_moved(from: Option<[f64; 2]>, by: [f64; 2], wanted_mm: Option<[f64; 2]>) {
        let got = phone_moved(&aboard(from), &hand(), by);
        let off = match (got, wanted_mm) {
            (Some(got), Some(mm)) => {
                (0..2).map(|k| (got[k] - mm[k] * 1e-3).abs()).fold(0.0, f64::max)
            }
            (None, None) => 0.0,
            _ => f64::INFINITY,
        };
        assert!(off < 1e-12, "from {from:?} by {by:?}: {got:?}, wanted {wanted_mm:?} mm");
    }

    #[test]
    fn it_lies_amidships_on_the_highest_place_unless_it_was_moved() {
        let place = |draft: &Draft| phone_place(draft, &hand()).map(|at| at.vector().into());
        assert_eq!(place(&aboard(None)), Some([0.0, 0.0, 0.1]), "amidships on deck");
        assert_eq!(place(&aboard(Some([0.2, -0.01]))), Some([0.2, -0.01, 0.1]), "as it was put");
        let under = Draft { condition: ConditionRecord::Under, ..aboard(None) };
        assert_eq!(place(&under), None, "no phone goes under");
        assert_eq!(place(&Draft::default()), None, "it is ashore");
    }

    #[test]
    fn it_is_moved_by_whole_millimetres_and_back_to_amidships() {
        assert_moved(None, [0.1004, -0.0076], Some([100.0, -8.0]));
        assert_moved(Some([0.1, -0.008]), [0.0, 0.001], Some([100.0, -7.0]));
        assert_moved(Some([0.1, -0.008]), [-0.1, 0.008], None);
    }

    #[test]
    fn it_stays_within_the_boat_s_length_and_beam() {
        // Of the box as it is written above: from 280 mm aft to 320 mm forward, 50 mm to either side.
        assert_moved(None, [5.0, 5.0], Some([320.0, 50.0]));
        assert_moved(None, [-5.0, -5.0], Some([-280.0, -50.0]));
        let place = phone_place(&aboard(Some([0.9, 0.0])), &hand()).expect("aboard");
        assert!((place.x() - 0.32).abs() < 1e-12, "put before the boat was shortened: {place:?}");
    }
}
