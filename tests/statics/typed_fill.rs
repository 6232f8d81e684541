//! How full the tanks are, typed in per cent, by volume and by the time that they flooded: box tanks of known
//! sizes. Source of what is expected: closed form, share = volume / (length × breadth × height × range).

use trimwright::answer::{
    Answer, Evidence, Field, Own, ReadyBoat, Unreadable, WrongFigure, answer, fill_units,
    read_fill, set_fill, turn_fill,
};
use trimwright::boat::{Boat, Mark, Part, Tank};
use trimwright::diary::{
    BoatRecord, ConditionRecord, Draft, FillUnit, LengthUnit, MassUnit, UnitsRecord,
};
use trimwright::frame::Position;
use trimwright::geometry::Solid;
use trimwright::unit::Decimal;

const OWN: Own<'_> =
    Own { phone_mass: 0.2, is_zeroed: true, phone: "phone", inside: "inside", weight: "weight" };

fn block(size: [f64; 3], x: f64) -> Solid {
    Solid::Box { size, centre: Position::new(x, 0.0, 0.05) }
}

/// A box boat with tanks of 600 ml each, used between these shares; each floods in so many seconds, if that
/// is known, one after the other.
fn boat(tanks: &[([f64; 2], Option<f64>)]) -> BoatRecord {
    let mut boat = Boat { name: "box".to_owned(), ..Boat::default() };
    let hull = block([0.6, 0.1, 0.1], 0.0);
    boat.parts.push(Part::solid("hull", 5.0, Position::new(0.0, 0.0, 0.03), hull));
    boat.marks.push(Mark { name: "bow".to_owned(), at: Position::new(0.3, 0.0, 0.08) });
    for (k, (range, _)) in tanks.iter().enumerate() {
        let x = 0.25 * f64::from(u8::try_from(k).expect("few")) - 0.1;
        let cavity = block([0.2, 0.05, 0.06], x);
        boat.tanks.push(Tank { range: Some(*range), ..Tank::new(format!("tank {k}"), cavity) });
    }
    let mut record = BoatRecord::ledger("box", &boat);
    record.dive.in_turn = true;
    for (tank, (_, seconds)) in record.tanks.iter_mut().zip(tanks) {
        tank.flood_s = *seconds;
    }
    record
}

fn hand(tanks: &[([f64; 2], Option<f64>)]) -> ReadyBoat {
    ReadyBoat::of(&boat(tanks)).expect("a boat")
}

/// Used from a tenth to nine tenths: 480 ml in 12 s.
fn usual() -> ReadyBoat {
    hand(&[([0.1, 0.9], Some(12.0))])
}

fn typed(fill: &str, fill_in: FillUnit) -> Draft {
    let (condition, fill) = (ConditionRecord::Under, fill.to_owned());
    Draft { condition, fill, fill_in, ..Draft::default() }
}

#[track_caller]
fn is_share(hand: &ReadyBoat, draft: &Draft, expected: f64) {
    let got = read_fill(draft, hand).expect("a fill");
    assert!((got - expected).abs() < 1e-9, "{} {:?}: {got}", draft.fill, draft.fill_in);
}

#[test]
fn the_same_fill_is_typed_in_three_units() {
    for (fill, unit) in
        [("25", FillUnit::Percent), ("120", FillUnit::Volume), ("3", FillUnit::Seconds)]
    {
        is_share(&usual(), &typed(fill, unit), 0.25);
    }
    for unit in [FillUnit::Percent, FillUnit::Volume, FillUnit::Seconds] {
        is_share(&usual(), &typed("0", unit), 0.0);
        is_share(&usual(), &typed(" ", unit), 1.0);
        let afloat = Draft { condition: ConditionRecord::Afloat, ..typed("7", unit) };
        is_share(&usual(), &afloat, 0.0);
    }
}

#[test]
fn a_volume_is_in_cubic_inches_where_lengths_are_inches() {
    let units = UnitsRecord { length: LengthUnit::Inch, mass: MassUnit::Ounce };
    // A cubic inch is 16.387064 ml by definition.
    let inches = Draft { units, ..typed("10", FillUnit::Volume) };
    is_share(&usual(), &inches, 163.870_64 / 480.0);
    let mut metric = inches;
    metric.turn_to_units(UnitsRecord::default(), Decimal::Comma);
    assert_eq!(metric.fill, "163,87", "the same water");
    is_share(&usual(), &metric, 163.87 / 480.0);
    let mut percent = Draft { units, ..typed("10", FillUnit::Percent) };
    percent.turn_to_units(UnitsRecord::default(), Decimal::Point);
    assert_eq!(percent.fill, "10", "a share has no unit");
}

#[test]
fn tanks_that_flood_in_turn_hold_together_what_each_took() {
    // 600 ml in 10 s, then 300 ml in 20 s.
    let two = hand(&[([0.0, 1.0], Some(10.0)), ([0.0, 0.5], Some(20.0))]);
    is_share(&two, &typed("5", FillUnit::Seconds), 300.0 / 900.0);
    is_share(&two, &typed("20", FillUnit::Seconds), 750.0 / 900.0);
    is_share(&two, &typed("750", FillUnit::Volume), 750.0 / 900.0);
}

#[test]
fn more_than_the_tanks_take_is_refused_with_how_much_they_take() {
    let why = |fill: &str, unit| read_fill(&typed(fill, unit), &usual());
    let wrong = |why| Err(Unreadable { field: Field::Fill, why });
    let Err(Unreadable { field: Field::Fill, why: WrongFigure::BeyondFull(takes) }) =
        why("481", FillUnit::Volume)
    else {
        panic!("a millilitre too many")
    };
    assert!((takes - 480e-6).abs() < 1e-12, "they take {takes} m³");
    let said = why("600", FillUnit::Volume).expect_err("the whole cavity").to_string();
    assert!(said.contains("480 ml"), "{said}");
    assert_eq!(why("12.5", FillUnit::Seconds), wrong(WrongFigure::LongerThanToFull(12.0)));
    assert!(why("101", FillUnit::Percent).is_err(), "as before");
    for unit in [FillUnit::Percent, FillUnit::Volume, FillUnit::Seconds] {
        assert!(why("-1", unit).is_err() && why("a", unit).is_err(), "{unit:?}");
    }
    // The answer has it beside the field, whatever else is typed.
    let draft = Draft { residual: "20".to_owned(), ..typed("600", FillUnit::Volume) };
    let Answer::BadFields(bad) = answer(&usual(), &draft, OWN, &Evidence::default()) else {
        panic!("it is refused")
    };
    assert_eq!(bad.len(), 1, "{bad:?}");
    assert_eq!(bad[0].field, Field::Fill);
}

#[test]
fn full_is_what_is_written_of_full_tanks() {
    // 599.4 ml, of which a field says 599.
    let odd = hand(&[([0.0, 0.999], Some(7.04))]);
    for (fill, unit, share) in [
        ("599", FillUnit::Volume, 1.0),
        ("599.4", FillUnit::Volume, 1.0),
        ("598", FillUnit::Volume, 598.0 / 599.4),
        ("7", FillUnit::Seconds, 1.0),
        ("6.9", FillUnit::Seconds, 6.9 / 7.04),
    ] {
        is_share(&odd, &typed(fill, unit), share);
    }
    for unit in fill_units(&odd) {
        for share in [0.0, 1.0] {
            let mut draft = typed("", unit);
            set_fill(&mut draft, &odd, share, Decimal::Comma);
            let got = read_fill(&draft, &odd).expect("a fill");
            assert!((got - share).abs() < 1e-12, "{unit:?}: {} is {got}", draft.fill);
        }
    }
}

#[test]
fn a_unit_is_offered_where_the_boat_says_what_it_means() {
    use FillUnit::{Percent, Seconds, Volume};
    assert_eq!(fill_units(&usual()), [Percent, Volume, Seconds]);
    let unknown = hand(&[([0.0, 1.0], Some(10.0)), ([0.0, 1.0], None)]);
    assert_eq!(fill_units(&unknown), [Percent, Volume], "one time is not known");
    assert_eq!(fill_units(&hand(&[])), [], "no tanks");
    is_share(&hand(&[]), &typed("600", Volume), 1.0);
    // A time was taken away while the draft has seconds.
    let mut draft = typed("3", Seconds);
    let wrong = Unreadable { field: Field::Fill, why: WrongFigure::NoFloodTime };
    assert_eq!(read_fill(&draft, &unknown), Err(wrong), "nothing is guessed");
    turn_fill(&mut draft, &unknown, Volume, Decimal::Point);
    assert_eq!((draft.fill.as_str(), draft.fill_in), ("3", Volume), "it stays as typed");
    let mut draft = typed("3", Seconds);
    set_fill(&mut draft, &unknown, 1.0, Decimal::Point);
    is_share(&unknown, &draft, 1.0);
}

#[test]
fn going_over_to_another_unit_and_back_loses_nothing() {
    let odd = hand(&[([0.03, 0.9871], Some(7.3)), ([0.0, 0.77], Some(11.9))]);
    let units = [FillUnit::Percent, FillUnit::Volume, FillUnit::Seconds];
    for from in units {
        for to in units {
            for fill in ["89", "0", "3", "7 or 8", ""] {
                let before = typed(fill, from);
                let mut draft = before.clone();
                turn_fill(&mut draft, &odd, to, Decimal::Point);
                if let Ok(share) = read_fill(&before, &odd) {
                    let got = read_fill(&draft, &odd).expect("the same fill");
                    assert!((got - share).abs() <= 1e-4, "{fill} {from:?}: {}", draft.fill);
                }
                assert!(draft.reads_as(&before), "it is no new figure");
                // A figure beyond this unit may be one within the other.
                let is_beyond = fill == "89" && from == FillUnit::Seconds;
                if is_beyond {
                    continue;
                }
                turn_fill(&mut draft, &odd, from, Decimal::Point);
                assert_eq!(draft, before, "by way of {to:?}");
            }
        }
    }
}
