//! Cures in words: what is done, and what comes of it where the way is worst and at its ends.

use super::dive_text::{Line, part_name, seconds, tank_name};
use super::text::{across, degrees, fine_millimetres, grams, list, millimetres, trim, upper_first};
use crate::state::Tried;
use trimwright::dive::{Change, CureKind, End, Summary, Verdict, swing};
use trimwright::geometry::{Bounds, Fineness};
use trimwright::unit::{DEGREE, MILLIMETRE};

/// A lean that nobody sees, radians.
const HARDLY: f64 = 0.3 * DEGREE;

/// What a cure is.
pub(crate) fn cure(tried: &Tried) -> String {
    let after = &tried.after;
    let boat = &after.hand.boat;
    let by = |part: usize, words: String| format!("{} {words}", upper_first(part_name(boat, part)));
    let tank = |k: usize| upper_first(tank_name(boat, k));
    match &tried.cure.change {
        Change::PartTank { tank: k, bulkhead } => {
            let place = across(bulkhead.at);
            format!("Bulkhead lengthwise in {}, {place}", tank_name(boat, *k))
        }
        Change::ReshapeTank { tank: k, cavity } => {
            let size = cavity.mesh(Fineness::WORK).map(|m| Bounds::size(&m.bounds()));
            let size = size.map_or_else(
                |_| String::new(),
                |s| format!(": {} broad, {} long", millimetres(s.y), millimetres(s.x)),
            );
            format!("{} narrower{size}", tank(*k))
        }
        Change::MoveTank { tank: k, by: [_, _, up] } => {
            format!("{} {} lower", tank(*k), millimetres(-up))
        }
        Change::MovePart { part, by: [_, across, up] } => {
            let words = if across.abs() > up.abs() {
                let side = if *across > 0.0 { "port" } else { "starboard" };
                format!("{} to {side}", millimetres(across.abs()))
            } else {
                let way = if *up > 0.0 { "higher" } else { "lower" };
                format!("{} {way}", millimetres(up.abs()))
            };
            by(*part, words)
        }
        Change::Together => "All tanks at once".to_owned(),
        Change::Flood(_) => "Flood in half the time".to_owned(),
        Change::Blow(_) => "Blow in twice the time".to_owned(),
        Change::Drain(_) => "Drain holes twice as large".to_owned(),
        Change::Nothing => "Start still: no waves, motor off".to_owned(),
    }
}

/// What a cure does where the way is worst.
pub(crate) fn effect(tried: &Tried, before: &Summary) -> String {
    let after = &tried.after.way.summary;
    match tried.cure.kind {
        CureKind::QuietStart => {
            let swings = degrees(swing(before.worst.lean.value.abs()));
            format!("It leans as far, but does not swing to {swings} first")
        }
        CureKind::FloodFaster => format!(
            "It leans as far, for {} and not {}",
            seconds(after.leaning),
            seconds(before.leaning)
        ),
        _ if after.capsizes => "It turns over".to_owned(),
        _ if !after.leans() && after.worst.lean.value.abs() < HARDLY => {
            format!("Stays upright, GM at least {}", fine_millimetres(after.worst.gm.value))
        }
        _ => format!(
            "Leans {} at most, GM at least {}",
            degrees(after.worst.lean.value),
            fine_millimetres(after.worst.gm.value)
        ),
    }
}

/// What a cure does to the two ends.
pub(crate) fn ends(verdict: Verdict, before: &Summary, after: &Summary) -> Line {
    if !verdict.spoils {
        return Line::new("ok", "Afloat and under: no worse");
    }
    let changed = |name: &str, a: &End, b: &End| {
        let mut words = Vec::new();
        let differs = |x: f64, y: f64| (x - y).abs() > 0.25_f64.to_radians();
        if differs(a.heel, b.heel) {
            words.push(list(b.heel));
        }
        if differs(a.trim, b.trim) {
            words.push(trim(b.trim));
        }
        match (a.mark, b.mark) {
            (Some(x), Some(y)) if (x - y).abs() > MILLIMETRE => {
                words.push(format!("a mark off by {}", millimetres(y.abs())));
            }
            _ => {}
        }
        if a.residual >= 0.0 && b.residual < 0.0 {
            words.push(format!("{} too light", grams(-b.residual)));
        }
        (!words.is_empty()).then(|| format!("{name}: {}", words.join(", ")))
    };
    let words = [
        changed("at the start", &before.start, &after.start),
        changed("at the end", &before.end, &after.end),
    ];
    Line::new(
        "warn",
        format!("Worse {}", words.into_iter().flatten().collect::<Vec<_>>().join("; ")),
    )
}
