//! What is half typed: which of it goes with the boat and which with the person, and that it means the
//! same in other units.

use crate::support::diary::{full_diary, round_trip};
use trimwright::diary::{
    Angles, ConditionRecord, Draft, FormTexts, LengthUnit, MassUnit, NEW_BOATS, UnitsRecord,
    WaterDraft,
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
        forms: [note, six].into_iter().collect(),
        water: WaterDraft { temperature: temperature.to_owned(), ..WaterDraft::default() },
        ..Draft::default()
    }
}

/// What is typed in a field of a form.
fn field<'a>(draft: &'a Draft, form: &str, field: &str) -> &'a str {
    draft.forms.get(form).and_then(|texts| texts.get(field)).expect("it was typed")
}

#[test]
fn a_boat_that_is_being_made_goes_with_the_person_and_a_note_stays_with_its_boat() {
    let of_teal = typed("teal", "windy, and", "900", "14");
    let fresh = of_teal.for_boat("smew");
    assert_eq!(fresh.forms.keys().collect::<Vec<_>>(), [NEW_BOATS[1]], "no note");
    assert_eq!(fresh.water.temperature, "14", "the same water");
    let before = typed("smew", "of Smew", "1", "20");
    let again = of_teal.and_then(before);
    assert_eq!(field(&again, "note", "text"), "of Smew", "its own note");
    assert_eq!(field(&again, NEW_BOATS[1], "length"), "900", "typed last");
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
    let mut draft = Draft {
        forms: [("part".to_owned(), part.clone())].into_iter().collect(),
        ..Draft::default()
    };
    let inches = UnitsRecord { length: LengthUnit::Inch, mass: MassUnit::Ounce };
    draft.turn_to_units(inches, Decimal::Comma);
    let turned = texts(&[("name", "keel 25.4"), ("mass", "10"), ("x", "1"), ("y", "2 or 3")]);
    assert_eq!(draft.forms.get("part"), Some(&turned), "in inches and ounces");
    draft.turn_to_units(UnitsRecord::default(), Decimal::Point);
    assert_eq!(draft.forms.get("part"), Some(&part), "and back");
    draft.turn_to_decimal(Decimal::Comma);
    assert_eq!(field(&draft, "part", "mass"), "283,5", "the mark of the language");
}

/// A draft with a figure in every field.
fn read() -> Draft {
    Draft {
        marks: [("bow".to_owned(), "-3".to_owned()), ("stern".to_owned(), "1".to_owned())]
            .into_iter()
            .collect(),
        list: "1.2".to_owned(),
        trim: "0.5".to_owned(),
        residual: "12".to_owned(),
        fill: "80".to_owned(),
        of_other_state: Angles { list: "2".to_owned(), ..Angles::default() },
        ..Draft::default()
    }
}

#[test]
fn looking_at_the_other_state_is_no_new_figure() {
    let before = read();
    let mut draft = before.clone();
    draft.turn_to(ConditionRecord::Under);
    draft.marks.insert("midship".to_owned(), String::new());
    draft.place = "deck".to_owned();
    assert!(draft.reads_as(&before) && before.reads_as(&draft), "the same figures");
    draft.turn_to(ConditionRecord::Afloat);
    draft.list_to_port = true;
    assert!(!draft.reads_as(&before), "on the other side it is another figure");
    let emptied = Draft { list: String::new(), ..before.clone() };
    assert!(!emptied.reads_as(&before), "and none is another");
    assert!(before.has_figures() && !Draft::default().has_figures());
}

#[test]
fn of_figures_from_another_day_only_what_is_typed_stays() {
    let before = read();
    let mut draft = before.clone();
    draft.marks.insert("bow".to_owned(), "-4".to_owned());
    draft.drop_unchanged(&before);
    let left = Draft {
        marks: [("bow".to_owned(), "-4".to_owned())].into_iter().collect(),
        ..Draft::default()
    };
    assert_eq!(draft, left, "all others are of the boat as it was");
}
