//! What differs between two boats as they were, in words: a line for each thing.

use super::text::{across, along, fine_millimetres, grams, liquid, millimetres, to_side};
use crate::state::Datum;
use crate::words::{t, word};
use trimwright::diary::{
    Comparison, Difference, MarkRecord, PartChanges, PartFigures, PlaceRecord, QuickRecord,
    StatusRecord, TankFigures,
};
use trimwright::unit::MILLIMETRE;

/// A way below which nothing moved that anybody could see, metres.
const SEEN: f64 = 0.05 * MILLIMETRE;

/// The lines of one thing each, with their signs: "+" came, "−" went, "≠" was changed.
fn line<T>(
    difference: &Difference<T>,
    whole: impl Fn(&T) -> String,
    changed: impl Fn(&T, &T) -> String,
) -> String {
    match difference {
        Difference::Added(it) => format!("+ {}", whole(it)),
        Difference::Gone(it) => format!("− {}", whole(it)),
        Difference::Changed { before, after } => format!("≠ {}", changed(before, after)),
    }
}

/// What differs in the parts.
pub(crate) fn parts(comparison: &Comparison, datum: Datum) -> Vec<String> {
    let whole = |part: &PartFigures| part_words(part, datum);
    comparison.parts.iter().map(|d| line(d, whole, part_changed)).collect()
}

/// What differs in the tanks.
pub(crate) fn tanks(comparison: &Comparison) -> Vec<String> {
    comparison.tanks.iter().map(|d| line(d, tank_words, tank_changed)).collect()
}

/// What differs in the marks of the waterline.
pub(crate) fn marks(comparison: &Comparison, datum: Datum) -> Vec<String> {
    let whole = |mark: &MarkRecord| at(&mark.name, mark.at_m, datum);
    let changed =
        |was: &MarkRecord, is: &MarkRecord| moved(&name_of(&was.name, &is.name), was.at_m, is.at_m);
    comparison.marks.iter().map(|d| line(d, whole, changed)).collect()
}

/// What differs in the places for weight.
pub(crate) fn places(comparison: &Comparison) -> Vec<String> {
    let whole = |place: &PlaceRecord| {
        format!(
            "{}, {}",
            place.name,
            t!("compare.above_keel", length = millimetres(place.height_m))
        )
    };
    let changed = |was: &PlaceRecord, is: &PlaceRecord| {
        let up = [0.0, 0.0, is.height_m];
        moved(&name_of(&was.name, &is.name), [0.0, 0.0, was.height_m], up)
    };
    comparison.places.iter().map(|d| line(d, whole, changed)).collect()
}

/// What else differs in the description of the boat.
pub(crate) fn others(comparison: &Comparison) -> Vec<String> {
    let quick = comparison.quick.as_ref().map(|quick: &Difference<QuickRecord>| match quick {
        Difference::Added(_) => t!("compare.six_numbers_came"),
        Difference::Gone(_) => t!("compare.six_numbers_went"),
        Difference::Changed { .. } => t!("compare.six_numbers"),
    });
    let names = comparison
        .names
        .as_ref()
        .map(|[was, is]| t!("compare.renamed_boat", before = was, after = is));
    let lengths = comparison.lengths.then(|| t!("compare.lengths"));
    let dive = comparison.dive.then(|| t!("compare.dive"));
    names.into_iter().chain(quick).chain(lengths).chain(dive).collect()
}

fn part_words(part: &PartFigures, datum: Datum) -> String {
    let name = &part.record.name;
    match &part.made {
        Ok(made) => {
            let [x, y, _] = made.centre_m;
            format!("{name}, {}, {}, {}", grams(made.mass_kg), along(x, datum), across(y))
        }
        Err(_) => t!("compare.not_weighed", name = name),
    }
}

fn part_changed(before: &PartFigures, after: &PartFigures) -> String {
    let changes = PartChanges::between(before, after);
    let name = name_of(&before.record.name, &after.record.name);
    let heavier = changes.heavier_kg.map(|by| {
        t!(
            if by > 0.0 { word!("compare.heavier") } else { word!("compare.lighter") },
            mass = grams(by.abs())
        )
    });
    let restated = changes.restated.then(|| status(after.record.status));
    let remade = changes.remade.then(|| t!("compare.remade"));
    let retold = changes.retold.then(|| t!("compare.retold"));
    let reshaped = changes.reshaped.then(|| t!("compare.reshaped"));
    let regrouped = changes.regrouped.then(|| t!("compare.regrouped"));
    let moved = changes.moved_m.map(ways).unwrap_or_default();
    let all: Vec<String> = heavier
        .into_iter()
        .chain(moved)
        .chain(restated)
        .chain(reshaped)
        .chain(remade)
        .chain(retold)
        .chain(regrouped)
        .collect();
    if all.is_empty() { name } else { format!("{name}: {}", all.join(", ")) }
}

/// What has become of a part.
fn status(status: StatusRecord) -> String {
    t!(match status {
        StatusRecord::Planned => word!("compare.now_planned"),
        StatusRecord::Temporary => word!("compare.now_temporary"),
        StatusRecord::Fixed => word!("compare.now_fixed"),
        StatusRecord::TakenOut => word!("figures.taken_out"),
    })
}

/// How far something went, along, across and up; what nobody could see is left out.
fn ways([x, y, z]: [f64; 3]) -> Vec<String> {
    let far = |way: f64| way.abs() > SEEN;
    let written = |way: f64| fine_millimetres(way.abs());
    let along = far(x).then(|| {
        t!(if x > 0.0 { word!("said.forward") } else { word!("said.aft") }, length = written(x))
    });
    let across = far(y).then(|| to_side(y > 0.0, &written(y)));
    let up = far(z).then(|| {
        t!(if z > 0.0 { word!("compare.up") } else { word!("compare.down") }, length = written(z))
    });
    along.into_iter().chain(across).chain(up).collect()
}

fn tank_words(tank: &TankFigures) -> String {
    let name = &tank.record.name;
    match &tank.capacity_m3 {
        Ok(capacity) => t!("compare.tank", name = name, capacity = liquid(*capacity)),
        Err(_) => t!("compare.not_weighed", name = name),
    }
}

fn tank_changed(before: &TankFigures, after: &TankFigures) -> String {
    let name = name_of(&before.record.name, &after.record.name);
    match (&before.capacity_m3, &after.capacity_m3) {
        (Ok(was), Ok(is)) if liquid(*was) != liquid(*is) => {
            t!("compare.capacity", name = name, before = liquid(*was), after = liquid(*is))
        }
        _ => t!("compare.changed", name = name),
    }
}

/// Something at a place: "bow, 210 mm forward of midship, 42 mm up".
fn at(name: &str, [x, y, z]: [f64; 3], datum: Datum) -> String {
    let height = t!("compare.above_keel", length = millimetres(z));
    format!("{name}, {}, {}, {height}", along(x, datum), across(y))
}

fn moved(name: &str, from: [f64; 3], to: [f64; 3]) -> String {
    let [[x, y, z], [to_x, to_y, to_z]] = [from, to];
    let ways = ways([to_x - x, to_y - y, to_z - z]);
    if ways.is_empty() {
        t!("compare.changed", name = name)
    } else {
        format!("{name}: {}", ways.join(", "))
    }
}

/// A name, and the new one if it was renamed.
fn name_of(before: &str, after: &str) -> String {
    if before == after { before.to_owned() } else { format!("{before} → {after}") }
}
