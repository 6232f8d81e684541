//! Looking back: what was foretold is closed by the next reading, trends, comparisons, the last good
//! trim.

use crate::support::session::{done_entry, entry, reading_entry, session};
use crate::support::{assert_close, assert_within, random_cases};
use litemap::LiteMap;
use proptest::prelude::*;
use trimwright::diary::{
    AboardRecord, BoatRecord, BoatRecordError, Closing, Closings, ConditionRecord, Diary,
    Difference, DoneRecord, Entry, EntryRecord, EstimateRecord, Figure, FiguresRecord, Followed,
    ForetoldMark, ForetoldRecord, FoundRecord, MarkReading, NotComparable, PartChanges,
    PartFigures, PartRecord, Quantity, QuickRecord, ReadingRecord, Score, SessionRecord,
    SolidRecord, StatusRecord, TEMPLATES, TakeOverError, Trend, TrendRow, UnknownRecord, closings,
    compare, last_good, read, state_of, write,
};
use trimwright::fit::Estimate;
use trimwright::float::FloatModel;
use trimwright::frame::Position;
use trimwright::geometry::{Fineness, Solid};
use trimwright::reading::ANGLE_SPREAD;

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
    assert_eq!(figure.came_true(), Some(true), "0.2° is within two spreads");
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
fn a_figure_that_was_read_roughly_is_judged_by_its_own_spread_or_not_at_all() {
    // Foretold 0.2° ± 0.3°. By hand: √(0.3² + 0.3²) = 0.4243, √(0.3² + 0.8²) = 0.8544, √(0.3² + 1²) = 1.0440; twice
    // that is 0.849, 1.709 and 2.088. A ± of more than 1°, up to which a boat is level, judges nothing.
    for (own, off, spread, came_true) in [
        (None, 0.84, 0.4243, Some(true)),
        (None, 0.86, 0.4243, Some(false)),
        // Read better than usual: judged as was stated before.
        (Some(0.1), 0.84, 0.4243, Some(true)),
        (Some(0.8), -1.70, 0.8544, Some(true)),
        (Some(0.8), 1.72, 0.8544, Some(false)),
        (Some(1.0), 0.0, 1.0440, None),
        (Some(1.0), 3.0, 1.0440, None),
    ] {
        let what = format!("{off}° off, read with {own:?}");
        let next = ReadingRecord { angle_spread_deg: own, ..listing(0.2 + off) };
        let got = closed(listing(9.0), next);
        let [figure] = got.figures.as_slice() else { panic!("one figure: {:?}", got.figures) };
        assert_within(figure.spread(), spread, 5e-5, &what);
        assert_eq!((figure.came_true(), got.came_true()), (came_true, came_true), "{what}");
        let tally = Score::of([&got]).not_known.list;
        let counted = (u32::from(came_true.is_some()), u32::from(came_true == Some(true)));
        assert_eq!((tally.foretold, tally.came_true), counted, "{what}: the score");
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
fn what_was_done_otherwise_judges_nothing() {
    let half = DoneRecord { after: "a1".to_owned(), otherwise: true, ..DoneRecord::default() };
    let entries = vec![
        reading_entry("a1", listing(3.0)),
        entry("half of it", Entry::Done(half)),
        reading_entry("a2", listing(1.5)),
    ];
    let got = closings([&session("one", entries)]);
    assert_eq!(pairs(&got), [("a1", "a2", Followed::NotKnown, false)], "only half was done");
    assert_eq!(got[0].unlike, [NotComparable::OtherSteps], "why");
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
    assert_eq!(got[1].unlike, [NotComparable::OtherSteps], "why");
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

/// What can stand in a session, by a number.
fn any_entry(k: usize, kind: u8) -> EntryRecord {
    let id = format!("e{k}");
    // The same figures twice would be one reading.
    let list = 0.1 * f64::from(u32::try_from(k).expect("a few"));
    match kind {
        0 => reading_entry(&id, listing(list)),
        1 => reading_entry(&id, under(list)),
        2 => reading_entry(&id, ReadingRecord { foretold: None, ..listing(list) }),
        _ => done_entry(&format!("e{}", k.saturating_sub(1))),
    }
}

proptest! {
    #![proptest_config(random_cases(200, 20_260_401))]

    /// The rule itself, in words: of all readings of that boat in that condition, the next one.
    #[test]
    fn every_advice_is_closed_by_the_next_reading_and_by_no_other(
        days in prop::collection::vec((0_u8..2, prop::collection::vec(0_u8..4, 0..6)), 0..8),
    ) {
        let day = |(k, (boat, kinds)): (usize, &(u8, Vec<u8>))| {
            let entries = kinds.iter().enumerate().map(|(k, &kind)| any_entry(k, kind)).collect();
            SessionRecord { boat: format!("b{boat}"), ..session(&format!("s{k}"), entries) }
        };
        let sessions: Vec<SessionRecord> = days.iter().enumerate().map(day).collect();
        let readings: Vec<_> = sessions
            .iter()
            .flat_map(|s| s.readings().map(move |(entry, reading)| (s, entry, reading)))
            .collect();
        let mut expected = Vec::new();
        for (k, (session, entry, reading)) in readings.iter().enumerate() {
            let next = readings.iter().skip(k + 1).find(|(other, _, next)| {
                other.boat == session.boat && next.condition == reading.condition
            });
            if let Some((later, next, _)) = next.filter(|_| reading.foretold.is_some()) {
                let (advice, closed) = ((&session.id, &entry.id), (&later.id, &next.id));
                expected.push(format!("{advice:?} by {closed:?}"));
            }
        }
        let got = closings(&sessions);
        let by = |c: &Closing| {
            let closed = (&c.reading.session, &c.reading.entry);
            format!("{:?} by {closed:?}", (&c.advice.session, &c.advice.entry))
        };
        let mut got: Vec<String> = got.iter().map(by).collect();
        got.sort();
        expected.sort();
        prop_assert_eq!(got, expected);
    }
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
    assert_eq!(of(sea), [NotComparable::Water], "at sea");
    let colder = ReadingRecord { water_density_kg_m3: POOL + 0.9, ..listing(0.2) };
    assert_eq!(of(colder), [], "five degrees colder");
    let flooded = ReadingRecord { fill: 0.5, ..listing(0.2) };
    assert_eq!(of(flooded), [NotComparable::Fill], "half flooded");
    let phone = AboardRecord {
        off_m: None,
        density_kg_m3: None,
        name: "phone".to_owned(),
        mass_kg: 0.2,
        at_m: [0.0, 0.0, 0.15],
        extra: serde_json::Map::default(),
    };
    let laden = ReadingRecord { aboard: vec![phone], ..listing(0.2) };
    assert_eq!(of(laden.clone()), [NotComparable::Aboard], "a phone, and nobody knows what it did");
    let alone = FiguresRecord { list_deg: Some(0.1), ..Default::default() };
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
    assert_eq!(closed(good.clone(), other).unlike, [NotComparable::Boat], "another boat");
    let entries = vec![reading_entry("a1", good), done_entry("a1"), reading_entry("a2", same)];
    let got = closings([&session("one", entries)]);
    assert_eq!(got[0].unlike, [NotComparable::OtherSteps], "something was done all the same");
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

fn found(mass: f64, untold: Vec<UnknownRecord>) -> FoundRecord {
    let estimate = Estimate::new;
    FoundRecord {
        mass_kg: estimate(mass, 0.02).into(),
        forward_m: estimate(0.004, 0.001).into(),
        to_port_m: estimate(-0.002, 0.0005).into(),
        untold,
        extra: serde_json::Map::default(),
    }
}

fn mark_reading(name: &str, above: f64) -> MarkReading {
    let (name, extra) = (name.to_owned(), serde_json::Map::default());
    MarkReading { name, at_m: [0.0; 3], above_m: above, extra }
}

fn values(trend: &Trend, quantity: Quantity) -> Vec<(String, f64, f64)> {
    let point = |row: &TrendRow| {
        let estimate = row.estimate(quantity)?;
        Some((row.place.session.clone(), estimate.value, estimate.spread))
    };
    trend.rows.iter().filter_map(point).collect()
}

#[test]
fn a_trend_has_the_last_reading_of_each_session_in_one_condition() {
    let marks = vec![mark_reading("bow", 0.004), mark_reading("stern", -0.007)];
    let first = ReadingRecord { marks, found: Some(found(4.1, Vec::new())), ..listing(3.0) };
    let untold = vec![UnknownRecord::Mass, UnknownRecord::Along];
    let second = ReadingRecord { good: true, found: Some(found(4.0, untold)), ..listing(0.5) };
    let one = session(
        "one",
        vec![
            reading_entry("a1", listing(9.0)),
            reading_entry("a2", first),
            reading_entry("u1", ReadingRecord { residual_kg: Some(0.012), ..under(1.0) }),
        ],
    );
    let dive = session("dive", vec![reading_entry("u1", under(0.7))]);
    let two = session("two", vec![reading_entry("a1", second)]);
    let other = SessionRecord { boat: "other".to_owned(), ..two.clone() };
    let mut afloat = Trend::new("boat", ConditionRecord::Afloat);
    let mut dived = Trend::new("boat", ConditionRecord::Under);
    for session in [&one, &dive, &other, &two] {
        afloat.add(session);
        dived.add(session);
    }
    let named = |all: &[(&str, f64, f64)]| -> Vec<(String, f64, f64)> {
        all.iter().map(|&(name, value, spread)| (name.to_owned(), value, spread)).collect()
    };
    let spread = ANGLE_SPREAD.to_degrees();
    assert_within(spread, 0.3, 1e-12, "the ± of an angle, degrees");
    let lists = values(&afloat, Quantity::List);
    assert_eq!(lists, named(&[("one", 3.0, lists[0].2), ("two", 0.5, lists[1].2)]), "lists");
    assert_within(lists[0].2, spread, 1e-12, "± of a list");
    let expected = named(&[("one", -0.007, 1e-3)]);
    assert_eq!(values(&afloat, Quantity::Waterline), expected, "the mark farthest from the water");
    assert_eq!(values(&afloat, Quantity::Mass), named(&[("one", 4.1, 0.02)]), "told once");
    assert_eq!(values(&afloat, Quantity::Forward), named(&[("one", 0.004, 0.001)]), "told once");
    let expected = named(&[("one", -0.002, 0.0005), ("two", -0.002, 0.0005)]);
    assert_eq!(values(&afloat, Quantity::ToPort), expected, "told twice");
    assert_eq!(values(&afloat, Quantity::Residual), [], "it floats");
    assert_eq!(values(&dived, Quantity::Residual), named(&[("one", 0.012, 2e-3)]), "under water");
    assert_eq!(values(&dived, Quantity::List).len(), 2, "two dives");
    let good: Vec<bool> = afloat.rows.iter().map(|row| row.good).collect();
    assert_eq!(good, [false, true], "the second day it lay as it should");
    let laden: Vec<bool> = afloat.rows.iter().map(|row| row.laden).collect();
    assert_eq!(laden, [false, false], "nothing lay aboard");
}

#[test]
fn a_trend_takes_the_figures_without_what_lay_aboard_where_they_are_known() {
    let phone = AboardRecord {
        off_m: None,
        density_kg_m3: None,
        name: "phone".to_owned(),
        mass_kg: 0.2,
        at_m: [0.0, 0.0, 0.15],
        extra: serde_json::Map::default(),
    };
    let laden = ReadingRecord { aboard: vec![phone], ..listing(0.8) };
    let alone = FiguresRecord { list_deg: Some(0.1), ..FiguresRecord::default() };
    let known = ReadingRecord { by_itself: Some(Box::new(alone)), ..laden.clone() };
    let mut trend = Trend::new("boat", ConditionRecord::Afloat);
    trend.add(&session("one", vec![reading_entry("a1", laden)]));
    trend.add(&session("two", vec![reading_entry("a1", known)]));
    let lists: Vec<f64> = values(&trend, Quantity::List).iter().map(|(_, list, _)| *list).collect();
    assert_eq!(lists, [0.8, 0.1], "as read, and without the phone");
    let laden: Vec<bool> = trend.rows.iter().map(|row| row.laden).collect();
    assert_eq!(laden, [true, false], "the first is that of the boat with the phone");
}

fn heron() -> BoatRecord {
    TEMPLATES[0].boat_record().expect("a good file")
}

fn part<'a>(boat: &'a mut BoatRecord, name: &str) -> &'a mut PartRecord {
    boat.parts.iter_mut().find(|p| p.name == name).expect("a part of that name")
}

fn lead(name: &str, mass: f64, x: f64) -> PartRecord {
    PartRecord {
        name: name.to_owned(),
        group: "Ballast".to_owned(),
        mass_kg: Some(mass),
        centre_m: Some([x, 0.0, 0.04]),
        status: StatusRecord::Temporary,
        ..PartRecord::default()
    }
}

/// The changes of a part that both boats have.
fn changes(found: &Difference<PartFigures>) -> (String, PartChanges) {
    let Difference::Changed { before, after } = found else { panic!("not changed: {found:?}") };
    (after.record.name.clone(), PartChanges::between(before, after))
}

#[test]
fn a_boat_compared_with_itself_is_the_same_and_weighs_what_it_weighs() {
    let boat = heron();
    let got = compare(&boat, &boat);
    assert!(got.is_same(), "{got:?}");
    assert_eq!(got.names, None, "its name");
    let [before, after] = &got.sums;
    assert_eq!(before, after, "its weights");
    let made = boat.boat().expect("a good boat");
    let mass: f64 = made.parts_aboard().map(|p| p.mass).sum();
    assert_close(after.tanks.mass_kg, 0.13, 1e-12, "its empty tank, kg");
    assert_close(after.aboard_kg(), mass + 0.13, 1e-12, "all that is aboard, kg");
    let groups: f64 = after.groups.iter().map(|(_, sum)| sum.mass_kg).sum();
    assert_close(groups, mass, 1e-12, "all headings, kg");
    let moment: f64 = made.parts_aboard().map(|p| p.mass * p.centre.x()).sum();
    let [x, ..] = after.fixed.centre_m().expect("it weighs something");
    assert_within(x, moment / mass, 1e-12, "its centre of mass along, metres");
    assert_eq!(after.unmade, [], "every part can be made");
}

#[test]
fn parts_that_came_went_moved_and_weigh_otherwise_are_named_with_their_figures() {
    let mut before = heron();
    before.parts.push(lead("deck lead", 0.05, 0.1));
    before.parts.push(lead("nose lead", 0.02, 0.5));
    before.parts.push(lead("tail lead", 0.03, -0.5));
    let mut after = before.clone();
    after.name = "Heron as it is".to_owned();
    after.parts.retain(|p| p.name != "nose lead");
    part(&mut after, "tail lead").name = "stern lead".to_owned();
    let trim = part(&mut after, "deck lead");
    trim.mass_kg = Some(0.08);
    trim.centre_m = Some([0.15, 0.01, 0.04]);
    trim.status = StatusRecord::Fixed;
    after.parts.push(lead("keel lead, new", 0.1, 0.0));
    let foam = part(&mut after, "bow foam");
    foam.solid = foam.solid.take().map(|s| s.placed([0.4, 0.0, 0.106]));
    let got = compare(&before, &after);
    assert!(!got.is_same(), "it is another boat");
    assert_eq!(got.names, Some(["Heron".to_owned(), "Heron as it is".to_owned()]), "names");
    let [moved, trimmed, renamed, Difference::Added(added), Difference::Gone(gone)] =
        got.parts.as_slice()
    else {
        panic!("five differences, in the order of the ledger: {:?}", got.parts);
    };
    let nothing = PartChanges::default;
    let (name, foam) = changes(moved);
    let way = foam.moved_m.expect("it moved");
    assert_eq!(name, "bow foam", "what moved");
    assert_within(way[0], -0.02, 1e-9, "20 mm aft");
    assert_eq!(foam, PartChanges { moved_m: Some(way), ..nothing() }, "it moved only");
    let (name, trimmed) = changes(trimmed);
    assert_eq!(name, "deck lead", "what was trimmed");
    assert_within(trimmed.heavier_kg.expect("heavier"), 0.03, 1e-12, "30 g heavier");
    let [forward, to_port, up] = trimmed.moved_m.expect("it moved");
    assert_within(forward, 0.05, 1e-12, "forward");
    assert_within(to_port, 0.01, 1e-12, "to port");
    assert_within(up, 0.0, 1e-12, "up");
    assert!(trimmed.restated && !trimmed.reshaped && !trimmed.remade, "and was fixed");
    let (name, renamed) = changes(renamed);
    assert_eq!((name.as_str(), renamed.renamed), ("stern lead", true), "another name");
    assert_eq!(renamed, PartChanges { renamed: true, ..nothing() }, "and nothing else");
    assert_eq!(added.record.name, "keel lead, new", "came");
    assert_within(added.made.as_ref().expect("a weight").mass_kg, 0.1, 0.0, "its mass");
    assert_eq!(gone.record.name, "nose lead", "went");
    let [was, is] = &got.sums;
    assert_within(was.temporary.mass_kg, 0.1, 1e-12, "strapped on before");
    assert_within(is.temporary.mass_kg, 0.13, 1e-12, "strapped on after");
    assert_within(is.fixed.mass_kg - was.fixed.mass_kg, 0.08, 1e-12, "fixed since");
    let ballast = is.group("Ballast").mass_kg - was.group("Ballast").mass_kg;
    assert_within(ballast, 0.1 + 0.03 - 0.02, 1e-12, "ballast");
    let back = compare(&after, &before);
    let added: Vec<&str> = back
        .parts
        .iter()
        .filter_map(|d| match d {
            Difference::Added(part) => Some(part.record.name.as_str()),
            _ => None,
        })
        .collect();
    assert_eq!(added, ["nose lead"], "the other way round");
}

#[test]
fn tanks_marks_places_and_the_rest_are_compared() {
    let before = heron();
    let mut after = before.clone();
    after.tanks[0].fill = 0.25;
    after.tanks[0].cavity = SolidRecord::Box {
        size_m: [0.1, 0.05, 0.04],
        centre_m: [0.0, 0.0, 0.05],
        extra: serde_json::Map::default(),
    };
    after.marks[0].at_m[2] += 0.003;
    after.places.clear();
    after.length_m = Some(1.5);
    let got = compare(&before, &after);
    assert_eq!(got.parts, [], "no part");
    let [Difference::Changed { before: was, after: is }] = got.tanks.as_slice() else {
        panic!("one tank: {:?}", got.tanks);
    };
    assert_within(is.record.fill - was.record.fill, 0.25, 1e-12, "a quarter full");
    let capacity = is.capacity_m3.as_ref().expect("a box");
    assert_within(*capacity, 0.1 * 0.05 * 0.04, 1e-12, "its capacity");
    assert!(was.capacity_m3.as_ref().is_ok_and(|v| *v > 0.0), "the capacity it had");
    let [Difference::Changed { before: was, after: is }] = got.marks.as_slice() else {
        panic!("one mark: {:?}", got.marks);
    };
    assert_within(is.at_m[2] - was.at_m[2], 0.003, 1e-12, "3 mm up");
    assert_eq!(got.places.len(), before.places.len(), "every place is gone");
    assert!(got.places.iter().all(|p| matches!(p, Difference::Gone(_))), "gone");
    assert!(got.lengths, "the length over all");
    assert!(!got.dive && got.quick.is_none(), "nothing else");
}

#[test]
fn a_part_that_cannot_be_made_is_compared_all_the_same_and_says_why() {
    let mut before = heron();
    before.parts.push(lead("shim", 0.01, 0.0));
    let mut after = before.clone();
    let shim = part(&mut after, "shim");
    shim.mass_kg = None;
    let got = compare(&before, &after);
    let [Difference::Changed { before: was, after: is }] = got.parts.as_slice() else {
        panic!("one part: {:?}", got.parts);
    };
    assert!(was.made.is_ok(), "it was a weight");
    assert!(matches!(is.made, Err(BoatRecordError::Part { .. })), "got {:?}", is.made);
    let changes = PartChanges::between(was, is);
    assert_eq!((changes.heavier_kg, changes.moved_m), (None, None), "nobody can say");
    let unmade: Vec<&str> = got.sums[1].unmade.iter().map(|(name, _)| name.as_str()).collect();
    assert_eq!(unmade, ["shim"], "it is in no sum");
    assert_within(got.sums[1].temporary.mass_kg, 0.0, 0.0, "nothing else is strapped on");
}

#[test]
fn a_quick_boat_is_compared_by_its_six_numbers() {
    let numbers = QuickRecord {
        length_m: 1.1,
        beam_m: 0.13,
        depth_m: 0.14,
        mass_kg: 6.2,
        waterline_m: 0.1,
        fullness: 0.75,
        water_density_kg_m3: POOL,
        tank_m3: None,
        bow_mark_m: None,
        stern_mark_m: None,
        names: LiteMap::new(),
        extra: serde_json::Map::default(),
    };
    let before = BoatRecord::quick("q", "Teal", numbers.clone());
    let heavier = QuickRecord { mass_kg: 6.4, ..numbers };
    let after = BoatRecord::quick("q", "Teal", heavier.clone());
    let got = compare(&before, &after);
    let Some(Difference::Changed { before: was, after: is }) = &got.quick else {
        panic!("the numbers differ: {:?}", got.quick);
    };
    assert_within(is.mass_kg - was.mass_kg, 0.2, 1e-12, "200 g");
    assert_within(got.sums[1].aboard_kg(), 6.4, 1e-9, "all of it");
    let wrong = BoatRecord::quick("q", "Teal", QuickRecord { beam_m: -1.0, ..heavier });
    let got = compare(&before, &wrong);
    assert_eq!(got.sums[1].unmade.len(), 1, "no such boat can be made, and that is said");
    let got = compare(&before, &heron());
    assert!(matches!(got.quick, Some(Difference::Gone(_))), "from six numbers to parts");
    assert_eq!(got.parts.len(), heron().parts.len(), "every part came");
}

#[test]
fn everything_that_says_what_a_boat_weighs_says_the_same() {
    for template in TEMPLATES {
        let record = template.boat_record().expect("a boat of ours");
        let boat = record.boat().expect("a good boat");
        let [_, sums] = compare(&record, &record).sums;
        let (dry, name) = (boat.dry_mass(), template.name);
        assert_close(sums.aboard_kg(), dry, 1e-12, &format!("{name}: by status and by its parts"));
        let empty = boat.tanks.len();
        let model = FloatModel::new(&boat, Fineness::WORK).expect("a good boat");
        let model = (0..empty).fold(model, |m, tank| m.with_fill(tank, 0.0).expect("its tank"));
        assert_close(model.mass(), dry, 1e-12, &format!("{name}: as it is calculated with"));
        let blown = model.flooded(0.0, POOL).expect("good water").mass() - dry;
        let left = |tank: usize| {
            let [least, _] = model.usable_range(tank).expect("its tank");
            least * model.capacity(tank) * POOL
        };
        let left: f64 = (0..empty).map(left).sum();
        assert_within(blown, left, 1e-12, &format!("{name}: blown, only water comes on top, kg"));
    }
}

/// A diary with one boat as it was twice, and its sessions, oldest first.
fn diary_with_states() -> (Diary, [String; 2]) {
    let mut diary = Diary::default();
    let then = heron();
    let mut now = then.clone();
    "Heron II".clone_into(&mut now.name);
    now.parts.push(lead("deck lead", 0.05, 0.1));
    let names = [&then, &now].map(|boat| {
        let (name, light) = state_of(boat);
        diary.states.insert(name.clone(), light);
        name
    });
    diary.boats.push(now);
    (diary, names)
}

#[test]
fn the_last_good_trim_is_the_newest_one_of_that_boat_whose_state_was_kept() {
    let good = |state: &str, record: ReadingRecord| ReadingRecord {
        good: true,
        state: state.to_owned(),
        ..record
    };
    let oldest = session("oldest", vec![reading_entry("a1", good("old", listing(0.0)))]);
    let middle = session(
        "middle",
        vec![
            reading_entry("a1", good("wanted", listing(0.0))),
            reading_entry("u1", good("", under(0.0))),
            reading_entry("a2", ReadingRecord { state: "bad".to_owned(), ..listing(4.0) }),
        ],
    );
    let other = SessionRecord { boat: "other".to_owned(), ..oldest.clone() };
    let newest = session("newest", vec![reading_entry("a1", listing(3.0))]);
    let found = last_good("boat", [&newest, &other, &middle, &oldest]).expect("there is one");
    assert_eq!((found.place.session.as_str(), found.state.as_str()), ("middle", "wanted"), "which");
    assert_eq!(found.condition, ConditionRecord::Afloat, "afloat");
    assert_eq!(last_good("boat", [&newest]), None, "it never lay well");
}

#[test]
fn the_boat_as_it_was_is_taken_over_under_its_present_name() {
    let (diary, [then, now]) = diary_with_states();
    let boat = &diary.boats[0];
    let taken = diary.taken_over(&then, boat).expect("it was kept");
    assert_eq!((&taken.boat.id, &taken.boat.name), (&boat.id, &boat.name), "it is the same boat");
    assert_eq!(taken.boat.parts, heron().parts, "with the parts it had");
    let [Difference::Gone(gone)] = taken.changes.parts.as_slice() else {
        panic!("one part goes: {:?}", taken.changes.parts);
    };
    assert_eq!(gone.record.name, "deck lead", "the lead that came since");
    let same = diary.taken_over(&now, boat).expect("it was kept");
    assert!(same.changes.is_same(), "it is as it is");
    let missing = diary.taken_over("state-0", boat);
    assert_eq!(missing, Err(TakeOverError::NotKept), "a state that is not here");
}

#[test]
fn a_boat_whose_shapes_are_not_here_is_not_taken_over() {
    let (mut diary, [then, _]) = diary_with_states();
    let mut without = diary.states[&then].clone();
    part(&mut without, "bow foam").solid = Some(SolidRecord::KeptMesh {
        name: "0123456789abcdef".to_owned(),
        at_m: [0.0; 3],
        extra: serde_json::Map::default(),
    });
    diary.states.insert("without".to_owned(), without.clone());
    let boat = diary.boats[0].clone();
    let got = diary.taken_over("without", &boat);
    assert_eq!(got, Err(TakeOverError::ShapesMissing(1)), "it would lose a part's shape");
    // It can be compared: that part makes nothing, and that is said.
    let got = compare(&boat, &without);
    let unmade: Vec<&str> = got.sums[1].unmade.iter().map(|(name, _)| name.as_str()).collect();
    assert_eq!(unmade, ["bow foam"], "the part without its shape");
}

#[test]
fn a_shape_that_is_only_named_in_a_state_is_the_same_shape() {
    // A ball of more than 500 triangles, which a state only names.
    let ball = Solid::Sphere { diameter: 0.05, centre: Position::ORIGIN };
    let mesh = ball.mesh(Fineness::WORK).expect("a ball");
    assert!(mesh.faces().len() > 500, "{} triangles", mesh.faces().len());
    let mut boat = heron();
    let solid = SolidRecord::from(&Solid::Mesh(mesh));
    let foam = part(&mut boat, "bow foam");
    foam.solid = Some(solid);
    let (name, light) = state_of(&boat);
    let named = |p: &PartRecord| matches!(p.solid, Some(SolidRecord::KeptMesh { .. }));
    assert!(light.parts.iter().any(named), "the state only names it");
    let got = compare(&light, &boat);
    assert!(got.is_same(), "one and the same: {:?}", got.parts);
    assert_eq!(got.sums[0].unmade.len(), 1, "the state alone cannot say what it weighs");
    assert_eq!(got.sums[1].unmade, [], "the boat can");
    // Through the file, where the boat itself has the mesh.
    let mut diary = Diary { boats: vec![boat.clone()], ..Diary::default() };
    diary.states.insert(name.clone(), light);
    let diary = read(&write(&diary)).expect("a good file");
    let taken = diary.taken_over(&name, &boat).expect("its shape is here");
    assert!(taken.changes.is_same(), "nothing changes: {:?}", taken.changes.parts);
}
