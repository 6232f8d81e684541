//! Looking back: what was foretold is closed by the next reading, trends, comparisons, the last good
//! trim.

mod support;

use support::assert_within;
use support::session::{done_entry, reading_entry, session};
use trimwright::diary::{
    Closing, Closings, ConditionRecord, EstimateRecord, Figure, Followed, ForetoldMark,
    ForetoldRecord, FoundRecord, MarkReading, ReadingRecord, SessionRecord, Unlike, closings,
};
use trimwright::fit::Estimate;

/// Fresh water of 20 °C, kg/m³.
const POOL: f64 = 998.2067;

/// A reading of a list (degrees) in the pool, of which a list of 0.2° ± 0.3° is foretold.
fn listing(list: f64) -> ReadingRecord {
    let foretold = ForetoldRecord {
        list_deg: Some(EstimateRecord::from(Estimate::new(0.2, 0.3))),
        ..ForetoldRecord::default()
    };
    ReadingRecord {
        water_density_kg_m3: POOL,
        list_deg: Some(list),
        foretold: Some(foretold),
        ..ReadingRecord::default()
    }
}

fn under(list: f64) -> ReadingRecord {
    ReadingRecord { condition: ConditionRecord::Under, fill: 1.0, ..listing(list) }
}

/// A closing as advice, reading, whether it was followed, whether it can be judged.
fn pair(closing: &Closing) -> (&str, &str, Followed, bool) {
    let Closing { advice, reading, followed, .. } = closing;
    (&advice.entry, &reading.entry, *followed, closing.is_fair())
}

fn pairs(closings: &[Closing]) -> Vec<(&str, &str, Followed, bool)> {
    closings.iter().map(pair).collect()
}

#[test]
fn an_advice_is_closed_by_the_next_reading_in_the_same_condition() {
    let one = session(
        "one",
        vec![
            reading_entry("a1", listing(3.0)),
            done_entry("a1"),
            reading_entry("a2", listing(0.4)),
            reading_entry("u1", under(1.0)),
            reading_entry("a3", listing(0.5)),
        ],
    );
    let got = closings([&one]);
    let expected = [("a1", "a2", Followed::Done, true), ("a2", "a3", Followed::NotKnown, true)];
    assert_eq!(pairs(&got), expected, "the dive between is another matter");
    let [figure] = got[0].figures.as_slice() else { panic!("one figure: {:?}", got[0].figures) };
    assert_eq!(figure.figure, Figure::List, "what was foretold and read");
    assert_within(figure.difference(), 0.2, 1e-12, "read more than foretold");
    assert_within(figure.spread(), 0.3 * 2.0_f64.sqrt(), 1e-12, "both spreads");
    assert!(figure.came_true(), "0.2° is within two spreads");
    assert_eq!(got[0].came_true(), Some(true), "as a whole");
}

#[test]
fn a_figure_comes_true_up_to_two_spreads() {
    let spread = 0.3 * 2.0_f64.sqrt();
    for (off, came_true) in [(1.99, true), (2.01, false), (-1.99, true), (-2.01, false)] {
        let entries = vec![
            reading_entry("a1", listing(3.0)),
            reading_entry("a2", listing(0.2 + off * spread)),
        ];
        let got = closings([&session("one", entries)]);
        assert_eq!(got[0].came_true(), Some(came_true), "{off} spreads off");
    }
}

#[test]
fn what_a_session_leaves_open_the_next_of_that_boat_closes_once() {
    let evening = session("evening", vec![reading_entry("a1", listing(3.0)), done_entry("a1")]);
    let other = SessionRecord {
        boat: "other".to_owned(),
        ..session("other", vec![reading_entry("o1", listing(0.0))])
    };
    let only_dived = session("dive", vec![reading_entry("u1", under(0.0))]);
    let next = session("next", vec![reading_entry("a1", listing(0.1))]);
    let last = session("last", vec![reading_entry("a1", listing(0.1))]);
    let mut all = Closings::default();
    assert!(all.add(&evening).is_empty(), "nothing has followed yet");
    assert!(all.add(&other).is_empty(), "another boat");
    assert!(all.add(&only_dived).is_empty(), "another condition");
    let got = all.add(&next);
    assert_eq!(pairs(&got), [("a1", "a1", Followed::Done, true)], "the first of the next day");
    assert_eq!(got[0].advice.session, "evening", "the advice's session");
    assert_eq!(got[0].reading.session, "next", "the reading's session");
    let got = all.add(&last);
    // An entry's identity holds within its session: this is the advice of the session before.
    assert_eq!(pairs(&got), [("a1", "a1", Followed::NotKnown, true)], "and then the next");
    assert_eq!(got[0].advice.session, "next", "each advice is closed once");
}

#[test]
fn what_was_done_counts_for_its_own_advice_only() {
    let entries = vec![
        reading_entry("a1", listing(3.0)),
        reading_entry("u1", under(1.0)),
        done_entry("u1"),
        reading_entry("u2", under(0.2)),
        reading_entry("a2", listing(0.3)),
    ];
    let got = closings([&session("one", entries)]);
    let expected = [("u1", "u2", Followed::Done, true), ("a1", "a2", Followed::NotKnown, false)];
    assert_eq!(pairs(&got), expected, "the boat was changed after the dive");
    assert_eq!(got[1].unlike, [Unlike::OtherSteps], "why");
    assert_eq!(got[1].came_true(), None, "it is not judged");
}

#[test]
fn a_note_that_does_not_say_for_which_advice_is_for_the_last_one() {
    let entries = vec![
        reading_entry("a1", listing(3.0)),
        reading_entry("u1", under(1.0)),
        done_entry(""),
        reading_entry("u2", under(0.2)),
        reading_entry("a2", listing(0.3)),
    ];
    let got = closings([&session("one", entries)]);
    let expected = [("u1", "u2", Followed::Done, true), ("a1", "a2", Followed::NotKnown, false)];
    assert_eq!(pairs(&got), expected, "for the last one");
}

/// The one closing of a reading of which something was foretold and another one.
fn closed(first: ReadingRecord, next: ReadingRecord) -> Closing {
    let entries = vec![reading_entry("a1", first), reading_entry("a2", next)];
    let mut got = closings([&session("one", entries)]);
    assert_eq!(got.len(), 1, "one advice, one reading");
    got.remove(0)
}

#[test]
fn a_reading_under_other_conditions_does_not_judge() {
    let of = |next: ReadingRecord| closed(listing(3.0), next).unlike;
    assert_eq!(of(listing(0.2)), [], "the same conditions");
    let sea = ReadingRecord { water_density_kg_m3: 1024.0, ..listing(0.2) };
    assert_eq!(of(sea), [Unlike::Water], "at sea");
    let colder = ReadingRecord { water_density_kg_m3: POOL + 0.9, ..listing(0.2) };
    assert_eq!(of(colder), [], "five degrees colder");
    let flooded = ReadingRecord { fill: 0.5, ..listing(0.2) };
    assert_eq!(of(flooded), [Unlike::Fill], "half flooded");
    let phone = trimwright::diary::AboardRecord {
        name: "phone".to_owned(),
        mass_kg: 0.2,
        at_m: [0.0, 0.0, 0.15],
        extra: serde_json::Map::default(),
    };
    let laden = ReadingRecord { aboard: vec![phone], ..listing(0.2) };
    assert_eq!(of(laden.clone()), [Unlike::Aboard], "a phone, and nobody knows what it did");
    let alone = trimwright::diary::FiguresRecord { list_deg: Some(0.1), ..Default::default() };
    let known = ReadingRecord { by_itself: Some(Box::new(alone)), ..laden };
    let got = closed(listing(3.0), known);
    assert_eq!(got.unlike, [], "what the phone did is known");
    assert_within(got.figures[0].got.value, 0.1, 0.0, "the figure without the phone");
}

#[test]
fn where_nothing_was_to_be_done_the_boat_must_be_the_same() {
    let foretold = ForetoldRecord { as_it_is: true, ..listing(0.0).foretold.expect("a list") };
    let good = ReadingRecord {
        foretold: Some(foretold),
        state: "state-1".to_owned(),
        good: true,
        ..listing(0.2)
    };
    let same = ReadingRecord { state: "state-1".to_owned(), ..listing(0.3) };
    let other = ReadingRecord { state: "state-2".to_owned(), ..listing(0.3) };
    let got = closed(good.clone(), same.clone());
    assert_eq!((got.followed, got.is_fair()), (Followed::NothingToDo, true), "left as it was");
    assert_eq!(closed(good.clone(), other).unlike, [Unlike::Boat], "another boat");
    let entries = vec![reading_entry("a1", good), done_entry("a1"), reading_entry("a2", same)];
    let got = closings([&session("one", entries)]);
    assert_eq!(got[0].unlike, [Unlike::OtherSteps], "something was done all the same");
}

#[test]
fn each_kind_of_figure_is_closed_in_its_own_unit_and_with_its_own_spread() {
    let estimate = |value| Some(EstimateRecord::from(Estimate::new(value, 0.0)));
    let extra = serde_json::Map::default;
    let mark = |name: &str, at: f64, above: f64| MarkReading {
        name: name.to_owned(),
        at_m: [at, 0.0, 0.1],
        above_m: above,
        extra: extra(),
    };
    let foretold_mark = |name: &str| ForetoldMark {
        name: name.to_owned(),
        above_m: EstimateRecord::from(Estimate::new(0.001, 0.0)),
        extra: extra(),
    };
    let first = ReadingRecord {
        water_density_kg_m3: POOL,
        marks: vec![mark("bow", 0.4, 0.01), mark("stern", -0.4, 0.01)],
        foretold: Some(ForetoldRecord {
            list_deg: estimate(0.1),
            trim_deg: estimate(-0.1),
            residual_kg: estimate(0.004),
            marks: vec![foretold_mark("bow"), foretold_mark("midship"), foretold_mark("stern")],
            ..ForetoldRecord::default()
        }),
        ..ReadingRecord::default()
    };
    // The stern mark was moved, and nobody read the list.
    let next = ReadingRecord {
        water_density_kg_m3: POOL,
        trim_deg: Some(-0.3),
        residual_kg: Some(0.005),
        marks: vec![mark("stern", -0.38, 0.0), mark("midship", 0.0, 0.002), mark("bow", 0.4, 0.0)],
        ..ReadingRecord::default()
    };
    let got = closed(first.clone(), next.clone()).figures;
    let at = |name: &str| Figure::Mark(name.to_owned());
    let figures: Vec<&Figure> = got.iter().map(|f| &f.figure).collect();
    assert_eq!(figures, [&Figure::Trim, &Figure::Residual, &at("bow"), &at("midship")], "which");
    let differences = [-0.2, 0.001, -0.001, 0.001];
    let spreads = [0.3, 0.002, 0.001, 0.001];
    for ((figure, difference), spread) in got.iter().zip(differences).zip(spreads) {
        let what = format!("{:?}", figure.figure);
        assert_within(figure.difference(), difference, 1e-12, &what);
        assert_within(figure.spread(), spread, 1e-12, &what);
    }
    // In water denser by a thousandth, a boat of 4 kg may be 4 g lighter: that is no fault of the
    // advice. Of what mass it is, a reading that found nothing does not say.
    let colder = |found| ReadingRecord { water_density_kg_m3: POOL + 0.5, found, ..next.clone() };
    let found = FoundRecord {
        mass_kg: EstimateRecord::from(Estimate::new(4.0, 0.01)),
        forward_m: EstimateRecord::default(),
        to_port_m: EstimateRecord::default(),
        untold: Vec::new(),
        extra: extra(),
    };
    let residual = |reading| {
        let closing = closed(first.clone(), reading);
        closing.figures.into_iter().find(|f| f.figure == Figure::Residual)
    };
    let spread = residual(colder(Some(found))).expect("it is judged").spread();
    assert_within(spread, 0.002_f64.hypot(4.0 * 0.5 / POOL), 1e-12, "with the water's share");
    assert_eq!(residual(colder(None)), None, "of an unknown mass");
}
