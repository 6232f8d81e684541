//! The form of the boat itself: its name, length and waterline, and the marks and places for weight that are
//! proposed from them and follow when they are corrected. No browser in here.

use super::doubt::{BOAT, Usual, WATERLINE};
use super::form::{FieldKey, FormProblem, FormReader, Texts};
use super::made::Datum;
use super::part_form::name_of;
use crate::words::{Word, t, word};
use trimwright::boat::Boat;
use trimwright::diary::{BoatRecord, DatumRecord, MarkRecord, MediumRecord, PlaceRecord};
use trimwright::dive::Change;
use trimwright::unit::Units;

/// The marks that are proposed: the key of the name, and how far forward of midship as a share of the length.
/// Where a ruler still finds the hull of a boat with fine ends: common practice, no source.
const MARKS: [(Word, f64); 3] =
    [(word!("form.stern"), -0.35), (word!("form.midship"), 0.0), (word!("form.bow"), 0.35)];
/// The places that are proposed: the key of the name, the height as a share of the waterline's, what is around.
const PLACES: [(Word, f64, MediumRecord); 3] = [
    (word!("form.on_the_keel"), 0.0, MediumRecord::Wet),
    (word!("reading.inside"), 0.5, MediumRecord::Dry),
    (word!("form.on_deck"), 1.0, MediumRecord::Dry),
];
/// Within this a thing stands where it was proposed, metres: a field tells no more.
const SAME: f64 = 1.1e-5;
/// The fields of its sizes, with what is usual.
const LENGTH: (FieldKey, Usual) = ("length", BOAT);
const WATER: (FieldKey, Usual) = ("waterline", WATERLINE);

/// The form of a boat that is there.
pub(super) fn form_of(boat: &BoatRecord, units: Units) -> Texts {
    let mut texts = Texts::new(units).with("name", &boat.name);
    for ((key, usual), metres) in [(LENGTH, boat.length_m), (WATER, waterline_of(boat))] {
        if let Some(metres) = metres {
            texts.set_sure_length(key, metres, usual);
        }
    }
    texts
}

/// The height at which most marks stand, metres; none without a mark.
fn waterline_of(boat: &BoatRecord) -> Option<f64> {
    let heights = || boat.marks.iter().map(|m| m.at_m[2]);
    let of_marks = |height: f64| heights().filter(|h| (h - height).abs() <= SAME).count();
    // Of two that are as many the first one.
    heights().rev().max_by_key(|height| of_marks(*height))
}

/// The boat that a form describes; `before` is what it was. Marks and places that stand where its length and
/// its waterline put them follow; what was moved by hand stays.
pub(super) fn read_boat(
    texts: &Texts,
    before: &BoatRecord,
) -> Result<BoatRecord, Vec<FormProblem>> {
    let was = form_of(before, texts.units);
    let mut reader = FormReader::new(texts, Datum::MIDSHIP);
    // What reads as before is as before, to the last digit.
    let mut read = |(key, usual), old: Option<f64>| match old {
        Some(_) if texts.get(key) == was.get(key) => Ok(old),
        _ => reader.usual_size(key, usual).map(Some),
    };
    let old = (before.length_m, waterline_of(before));
    let length = read(LENGTH, old.0);
    // Without a mark there is nothing that a waterline would say.
    let waterline = if old.1.is_some() { read(WATER, old.1) } else { Ok(None) };
    let (length, waterline) = reader.finish(length.and_then(|l| Ok((l, waterline?))))?;
    let mut boat = before.clone();
    boat.name = name_of(texts, word!("boats.my_boat"));
    boat.length_m = length;
    let lengths = old.0.zip(length);
    let proposed = |mark: &MarkRecord| {
        let of = |share: f64| Some(share * lengths?.0);
        MARKS.iter().any(|(_, share)| of(*share).is_some_and(|x| (mark.at_m[0] - x).abs() <= SAME))
    };
    let by_hand: Vec<bool> = before.marks.iter().map(|mark| !proposed(mark)).collect();
    follow(&mut boat, [lengths, old.1.zip(waterline)]);
    Ok(lengths.map_or(boat.clone(), |lengths| as_far_from_its_end(boat, lengths, &by_hand)))
}

/// How far forward of midship a thing goes that stays as far from where lengths are measured from, metres, when the
/// boat's length is another.
fn shift(from: DatumRecord, (before, now): (f64, f64)) -> f64 {
    match from {
        DatumRecord::Midship => 0.0,
        DatumRecord::Stern => (before - now) / 2.0,
        DatumRecord::Bow => (now - before) / 2.0,
    }
}

/// The boat with all that was measured from an end of it as far from there as it was typed: its length has
/// changed, and with it where midship is. `by_hand` are the marks that do not follow by themselves.
fn as_far_from_its_end(
    boat: BoatRecord,
    (before, now): (f64, f64),
    by_hand: &[bool],
) -> BoatRecord {
    let by = shift(boat.datum, (before, now));
    if by == 0.0 {
        return boat;
    }
    let along = [by, 0.0, 0.0];
    let parts = (0..boat.parts.len()).map(|part| Change::MovePart { part, by: along });
    let tanks = (0..boat.tanks.len()).map(|tank| Change::MoveTank { tank, by: along });
    let changes: Vec<Change> = parts.chain(tanks).collect();
    let mut boat = changes.iter().fold(boat, |boat, change| boat.changed(change).unwrap_or(boat));
    for (mark, _) in boat.marks.iter_mut().zip(by_hand).filter(|(_, by_hand)| **by_hand) {
        mark.at_m[0] += by;
    }
    boat
}

/// Puts what stands where the length and the waterline before put it where those now do.
fn follow(boat: &mut BoatRecord, [length, waterline]: [Option<(f64, f64)>; 2]) {
    let moved = |at: &mut f64, of: Option<(f64, f64)>, shares: &[f64]| {
        let Some((before, now)) = of.filter(|(before, now)| (before - now).abs() > 0.0) else {
            return;
        };
        if let Some(share) = shares.iter().find(|share| (*at - *share * before).abs() <= SAME) {
            *at = share * now;
        }
    };
    for MarkRecord { at_m: [along, _, height], .. } in &mut boat.marks {
        moved(along, length, &MARKS.map(|(_, share)| share));
        moved(height, waterline, &[1.0]);
    }
    for place in &mut boat.places {
        moved(&mut place.height_m, waterline, &PLACES.map(|(_, share, _)| share));
    }
}

/// The names of the marks and places that stand elsewhere than before; what only stays as far from an end of the boat
/// does not.
fn followers<'a>(before: &BoatRecord, now: &'a BoatRecord) -> Vec<&'a str> {
    let by = before.length_m.zip(now.length_m).map_or(0.0, |lengths| shift(now.datum, lengths));
    let stays = |was: &MarkRecord, is: &MarkRecord| {
        let as_far = |by: f64| {
            let ways = is.at_m.iter().zip(was.at_m).zip([by, 0.0, 0.0]);
            ways.into_iter().all(|((is, was), by)| (is - by - was).abs() <= SAME)
        };
        as_far(0.0) || as_far(by)
    };
    let marks = before.marks.iter().zip(&now.marks);
    let marks = marks.filter(|(was, is)| !stays(was, is)).map(|(_, is)| is.name.as_str());
    let places = before.places.iter().zip(&now.places);
    marks.chain(places.filter(|(was, is)| was != is).map(|(_, is)| is.name.as_str())).collect()
}

/// What followed a corrected length or waterline, in words.
pub(super) fn followed(before: &BoatRecord, now: &BoatRecord) -> Option<String> {
    let names = followers(before, now);
    (!names.is_empty()).then(|| t!("form.followed", names = names.join(", ")))
}

/// A new boat of no parts: marks at its waterline, the usual places for weight, both named in the
/// language of the view.
pub(super) fn new_boat(texts: &Texts, id: String) -> Result<BoatRecord, Vec<FormProblem>> {
    let mut reader = FormReader::new(texts, Datum::MIDSHIP);
    let [length, waterline] = [LENGTH, WATER].map(|(key, usual)| reader.usual_size(key, usual));
    let (length, waterline) = reader.finish(length.and_then(|l| Ok((l, waterline?))))?;
    let name = name_of(texts, word!("boats.my_boat"));
    let mut boat = BoatRecord::ledger(id, &Boat { name, ..Boat::default() });
    boat.length_m = Some(length);
    boat.datum = DatumRecord::Stern;
    boat.marks = MARKS
        .map(|(name, share)| MarkRecord {
            name: t!(name),
            at_m: [share * length, 0.0, waterline],
            extra: serde_json::Map::new(),
        })
        .into();
    boat.places = PLACES
        .map(|(name, share, medium)| PlaceRecord {
            name: t!(name),
            height_m: share * waterline,
            medium,
            extra: serde_json::Map::new(),
        })
        .into();
    Ok(boat)
}

#[cfg(test)]
mod tests {
    use super::*;
    use trimwright::diary::PartRecord;

    /// A boat of 700 mm that floats at 90 mm.
    fn begun() -> BoatRecord {
        let texts = Texts::default().with("length", "700").with("waterline", "90");
        new_boat(&texts, "it".to_owned()).expect("two good figures")
    }

    /// The boat after its form was opened, and these fields typed into.
    fn typed(before: &BoatRecord, fields: &[(FieldKey, &str)]) -> BoatRecord {
        let mut texts = form_of(before, Units::METRIC);
        for (key, text) in fields {
            texts.set(key, *text);
        }
        read_boat(&texts, before).expect("good figures")
    }

    fn marks(boat: &BoatRecord) -> Vec<[f64; 2]> {
        boat.marks.iter().map(|m| [m.at_m[0], m.at_m[2]].map(|x| (x * 1e6).round() / 1e6)).collect()
    }

    fn heights(boat: &BoatRecord) -> Vec<f64> {
        boat.places.iter().map(|p| (p.height_m * 1e6).round() / 1e6).collect()
    }

    #[test]
    fn what_was_proposed_follows_the_length_and_the_waterline() {
        let before = begun();
        let longer = typed(&before, &[("length", "800")]);
        assert_eq!(marks(&longer), [[-0.28, 0.09], [0.0, 0.09], [0.28, 0.09]], "0.35 of 800 mm");
        assert_eq!(followers(&before, &longer), ["stern", "bow"], "midship stays midship");
        let lower = typed(&longer, &[("waterline", "80")]);
        assert_eq!(marks(&lower), [[-0.28, 0.08], [0.0, 0.08], [0.28, 0.08]], "at 80 mm");
        assert_eq!(heights(&lower), [0.0, 0.04, 0.08], "on the keel, half way up, at the water");
        let followed = ["stern", "midship", "bow", "inside", "on deck"];
        assert_eq!(followers(&longer, &lower), followed, "all but the keel");
        let back = typed(&lower, &[("length", "700"), ("waterline", "90")]);
        assert_eq!((marks(&back), heights(&back)), (marks(&before), heights(&before)), "and back");
    }

    #[test]
    fn what_was_moved_by_hand_stays() {
        let mut before = begun();
        before.marks[0].at_m[0] = -0.3;
        before.marks[2].at_m[2] = 0.1;
        before.places[2].height_m = 0.12;
        let after = typed(&before, &[("length", "800"), ("waterline", "80")]);
        let as_put = [[-0.35, 0.08], [0.0, 0.08], [0.28, 0.1]];
        assert_eq!(marks(&after), as_put, "the first as far from the stern as it was put");
        assert_eq!(heights(&after), [0.0, 0.04, 0.12], "the deck stays");
    }

    #[test]
    fn what_was_measured_from_the_stern_stays_as_far_from_it() {
        let mut boat = begun();
        let part = PartRecord {
            name: "battery".to_owned(),
            mass_kg: Some(0.3),
            centre_m: Some([-0.1, 0.0, 0.05]),
            ..PartRecord::default()
        };
        boat.parts.push(part);
        // 250 mm from the stern of 700 mm; midship of 900 mm is 100 mm farther from there.
        let longer = typed(&boat, &[("length", "900")]);
        let x = longer.parts[0].centre_m.expect("it has a place")[0];
        assert!((x - -0.2).abs() < 1e-12, "250 mm from the stern still: {x}");
        boat.datum = DatumRecord::Midship;
        let longer = typed(&boat, &[("length", "900")]);
        assert_eq!(longer.parts[0].centre_m, Some([-0.1, 0.0, 0.05]), "from midship nothing moves");
    }

    #[test]
    fn a_form_that_was_only_looked_at_changes_nothing() {
        let mut boat = begun();
        // No field shows so many digits.
        boat.length_m = Some(0.700_000_123);
        for mark in &mut boat.marks {
            mark.at_m[2] = 0.090_000_123;
        }
        assert_eq!(typed(&boat, &[]), boat, "to the last digit");
        let renamed = typed(&boat, &[("name", "Dipper")]);
        assert_eq!(renamed, BoatRecord { name: "Dipper".to_owned(), ..boat }, "but its name");
    }

    #[test]
    fn a_boat_without_marks_has_no_waterline_to_type() {
        let mut boat = begun();
        boat.marks.clear();
        assert!(!form_of(&boat, Units::METRIC).has("waterline"), "nothing to show");
        assert_eq!(typed(&boat, &[("length", "650")]).length_m, Some(0.65), "its length can be");
    }

    #[test]
    fn metres_in_a_field_of_millimetres_are_asked_for() {
        let texts = Texts::default().with("length", "0.7").with("waterline", "0.09");
        let problems = new_boat(&texts, "it".to_owned()).expect_err("two doubts");
        let expected = [
            ("length", "0.7\u{202f}mm: did you mean 700\u{202f}mm?".to_owned()),
            ("waterline", "0.09\u{202f}mm: did you mean 90\u{202f}mm?".to_owned()),
        ];
        assert_eq!(problems, expected, "both");
    }
}
