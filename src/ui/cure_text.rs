//! Cures in words: what is done, and what comes of it where the way is worst and at its ends.

use super::dive_text::{Remark, part_name, seconds, tank_name};
use super::text::{
    across, degrees, fine_millimetres, grams, list, millimetres, to_side, trim, upper_first,
};
use crate::state::Tried;
use crate::words::{Word, t, word};
use trimwright::dive::{Change, CureEffect, CureKind, Summary, WayEnd, swing};
use trimwright::geometry::{Bounds, Fineness};
use trimwright::unit::{DEGREE, MILLIMETRE};

/// A lean that nobody sees, radians.
const HARDLY: f64 = 0.3 * DEGREE;

/// What a cure is.
pub(crate) fn cure(tried: &Tried) -> String {
    let after = &tried.after;
    let boat = &after.hand.boat;
    let tank = |k: usize| upper_first(&tank_name(boat, k));
    match &tried.cure.change {
        Change::PartTank { tank: k, bulkhead } => {
            let place = across(bulkhead.at);
            t!("cure.bulkhead", tank = tank_name(boat, *k), place = place)
        }
        Change::ReshapeTank { tank: k, cavity } => {
            let size = cavity.mesh(Fineness::WORK).map(|m| Bounds::size(&m.bounds()));
            let words = t!("cure.narrower", tank = tank(*k));
            size.map_or_else(
                |_| words.clone(),
                |s| {
                    let [broad, long] = [s.y, s.x].map(millimetres);
                    t!("cure.narrower_to", narrower = words, broad = broad, long = long)
                },
            )
        }
        Change::MoveTank { tank: k, by: [_, _, up] } => {
            t!("cure.lower", what = tank(*k), length = millimetres(-up))
        }
        Change::MovePart { part, by: [_, across, up] } => {
            let name = upper_first(&part_name(boat, *part));
            if across.abs() > up.abs() {
                return format!("{name} {}", to_side(*across > 0.0, &millimetres(across.abs())));
            }
            let key = if *up > 0.0 { word!("cure.higher") } else { word!("cure.lower") };
            t!(key, what = name, length = millimetres(up.abs()))
        }
        Change::Together => t!("cure.together"),
        Change::Flood(_) => t!("cure.flood"),
        Change::Blow(_) => t!("cure.blow"),
        Change::Drain(_) => t!("cure.drain"),
        Change::Nothing => t!("cure.start_still"),
    }
}

/// What a cure does where the way is worst.
pub(crate) fn effect(tried: &Tried, before: &Summary) -> String {
    let after = &tried.after.way.summary;
    match tried.cure.kind {
        CureKind::QuietStart => {
            let swings = degrees(swing(before.worst.lean.value.abs()));
            t!("cure.no_swing", angle = swings)
        }
        CureKind::FloodFaster => {
            let [now, before] = [after.leaning, before.leaning].map(seconds);
            t!("cure.shorter", now = now, before = before)
        }
        _ if after.capsizes => t!("cure.turns_over"),
        _ if !after.leans_visibly() && after.worst.lean.value.abs() < HARDLY => {
            t!("cure.stays_upright", gm = fine_millimetres(after.worst.gm.value))
        }
        _ => t!(
            "cure.leans_at_most",
            lean = degrees(after.worst.lean.value),
            gm = fine_millimetres(after.worst.gm.value)
        ),
    }
}

/// What a cure does to the two ends.
pub(crate) fn ends(effect: CureEffect, before: &Summary, after: &Summary) -> Remark {
    if !effect.spoils {
        return Remark::new("ok", t!("cure.no_worse"));
    }
    let changed = |key: Word, a: &WayEnd, b: &WayEnd| {
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
                words.push(t!("cure.mark_off", length = millimetres(y.abs())));
            }
            _ => {}
        }
        if a.residual >= 0.0 && b.residual < 0.0 {
            words.push(t!("cure.too_light", mass = grams(-b.residual)));
        }
        (!words.is_empty()).then(|| t!(key, changes = words.join(", ")))
    };
    let words = [
        changed(word!("cure.at_the_start"), &before.start, &after.start),
        changed(word!("cure.at_the_end"), &before.end, &after.end),
    ];
    let all = words.into_iter().flatten().collect::<Vec<_>>().join("; ");
    Remark::new("warn", t!("cure.worse", ends = all))
}
