//! What is half typed: which of it goes with the boat and which with the person, and that it means the
//! same in other units.

use crate::support::diary::{full_diary, round_trip};
use trimwright::diary::{
    Draft, FormTexts, LengthUnit, MassUnit, NEW_BOATS, UnitsRecord, WaterDraft,
};
use trimwright::unit::Decimal;

fn texts(fields: &[(&str, &str)]) -> FormTexts {
    fields.iter().map(|(field, text)| ((*field).to_owned(), (*text).to_owned())).collect()
}

/// What is typed for a boat: a note, the six numbers of another boat, a temperature.
fn typed(boat: &str, note: &str, length: &str, temperature: &str) -> Draft {
    let note = ("note".to_owned(), texts(&[("text", note)]));
    let six = (NEW_BOATS[1].to_owned(), texts(&[("length", length)]));
    Draft {
        boat: boat.to_owned(),
        forms: [note, six].into(),
        water: WaterDraft { temperature: temperature.to_owned(), ..WaterDraft::default() },
        ..Draft::default()
    }
}

#[test]
fn a_boat_that_is_being_made_goes_with_the_person_and_a_note_stays_with_its_boat() {
    let of_teal = typed("teal", "windy, and", "900", "14");
    let fresh = of_teal.for_boat("smew");
    assert_eq!(fresh.forms.keys().collect::<Vec<_>>(), [NEW_BOATS[1]], "no note");
    assert_eq!(fresh.water.temperature, "14", "the same water");
    let before = typed("smew", "of Smew", "1", "20");
    let again = of_teal.and_then(before);
    assert_eq!(again.forms["note"]["text"], "of Smew", "its own note");
    assert_eq!(again.forms[NEW_BOATS[1]]["length"], "900", "typed last");
    assert_eq!((again.boat.as_str(), again.water.temperature.as_str()), ("smew", "14"), "");
    let away = of_teal.put_away();
    assert_eq!(away.forms.keys().collect::<Vec<_>>(), ["note"], "what stays with the boat");
    assert!(!away.is_empty(), "a note alone is something that is being typed");
}

#[test]
fn what_is_half_typed_is_in_the_file() {
    let diary = full_diary();
    assert!(!diary.draft.forms.is_empty(), "something is half typed");
    assert_eq!(round_trip(&diary).draft, diary.draft, "as typed, valid or not");
}

#[test]
fn a_form_means_the_same_in_other_units() {
    let part = texts(&[("name", "keel 25.4"), ("mass", "283.5"), ("x", "25.4"), ("y", "2 or 3")]);
    let mut draft = Draft { forms: [("part".to_owned(), part.clone())].into(), ..Draft::default() };
    let inches = UnitsRecord { length: LengthUnit::Inch, mass: MassUnit::Ounce };
    draft.turn_to_units(inches, Decimal::Comma);
    let turned = texts(&[("name", "keel 25.4"), ("mass", "10"), ("x", "1"), ("y", "2 or 3")]);
    assert_eq!(draft.forms["part"], turned, "in inches and ounces");
    draft.turn_to_units(UnitsRecord::default(), Decimal::Point);
    assert_eq!(draft.forms["part"], part, "and back");
    draft.turn_to_decimal(Decimal::Comma);
    assert_eq!(draft.forms["part"]["mass"], "283,5", "the mark of the language");
}
