//! A boat in both its conditions, in words: what its tanks do under water, and what an advice that was
//! read in one condition does in the other.

use super::advice_text::{self, AdviceText};
use super::figures::percent;
use super::text::{THIN, degrees, fine_millimetres, lies, liquid, residual};
use crate::state::{Datum, WayAfter};
use crate::words::{t, word};
use trimwright::answer::Advised;
use trimwright::ballast::{BothConditions, ForBoth, Forecast, Verdict};
use trimwright::reading::Condition;
use trimwright::unit::{DEGREE, MILLIMETRE};

/// The advice in words, with what the tanks do. A boat of six numbers (`is_quick`) whose tank
/// nobody told is right under water when it is neutral; how it hangs is not told of it there.
pub(crate) fn advice(advised: &Advised, datum: Datum, is_quick: bool) -> AdviceText {
    let mut text = advice_text::advice(&advised.advice, datum);
    text.places.extend(for_both(advised));
    let under = advised.reading.condition == Condition::Under;
    let six_under = is_quick && under;
    if six_under && advised.fit.found.n_tanks() == 0 && advised.advice.verdict == Verdict::LeaveIt {
        let places = asks_angles(advised).into_iter().collect();
        return AdviceText {
            main: t!("both.neutral"),
            places,
            kind: "leave",
            ..AdviceText::default()
        };
    }
    if advised.advice.verdict == Verdict::LeaveIt && trims(advised, is_quick) {
        return neutral_at(&advised.after, is_quick);
    }
    text
}

/// Whether the tanks trim it under water: then it matters how it lies with them as they will be, and not as they
/// were when it was read.
fn trims(advised: &Advised, is_quick: bool) -> bool {
    let under = advised.reading.condition == Condition::Under;
    let is_told = is_quick || advised.fit.untold.is_empty();
    under && advised.after.fill.share.spread > 0.0 && is_told
}

/// How it lies after what is advised, in the condition in which it was read; and whether that is right, or what a
/// builder would leave. Six numbers do not tell how it hangs.
pub(crate) fn after(advised: &Advised, is_quick: bool) -> (bool, String) {
    let advice = &advised.advice;
    let acts = matches!(advice.verdict, Verdict::Do | Verdict::LeaveIt);
    if acts && !is_quick && trims(advised, is_quick) {
        return (advised.after.is_right_under(), under(&advised.after));
    }
    let is_left = advice.verdict == Verdict::LeaveIt;
    (is_left || holds(&advice.after), advice_text::after(advice))
}

/// The advice as lines for the diary.
pub(crate) fn lines(advised: &Advised, is_quick: bool, text: AdviceText) -> Vec<String> {
    let mut lines = text.lines();
    lines.push(after(advised, is_quick).1);
    lines.extend(advice_text::mass_left(&advised.advice));
    lines
}

/// True when the boat will lie as it should, within two millimetres and half a degree.
fn holds(after: &Forecast) -> bool {
    let near = after.worst_mark().is_none_or(|m| m.above.abs() < 2.0 * MILLIMETRE);
    near && after.pose.heel().abs() < 0.5 * DEGREE
}

/// That angles may be read too: six numbers do not ask for them.
fn asks_angles(advised: &Advised) -> Option<String> {
    let is_all_read = advised.fit.untold.is_empty();
    (!is_all_read).then(|| t!("reading.six_numbers_under"))
}

/// Why it is not what the reading alone would ask for.
fn for_both(advised: &Advised) -> Vec<String> {
    match &advised.for_both {
        Some(ForBoth::Steps(_)) => vec![t!("both.foam_because"), t!("both.look_for_water")],
        Some(ForBoth::TankTooSmall { steps, lacking }) if !steps.is_empty() => {
            vec![t!("both.tank_small_then", volume = liquid(*lacking))]
        }
        Some(ForBoth::TankTooSmall { .. }) | None => Vec::new(),
    }
}

/// Nothing is to be done: the tanks make it neutral. Whether it is right with them as they will be may be more than
/// the reading told, which was taken with other tanks: then it is read there.
fn neutral_at(after: &BothConditions, is_quick: bool) -> AdviceText {
    let share = after.fill.share;
    // Six numbers do not tell how it hangs.
    let [main, place] = if is_quick || after.under.is_level() {
        [word!("both.right"), word!("both.right_because")]
    } else {
        [word!("both.neutral_at"), word!("both.read_it_there")]
    };
    AdviceText {
        kind: "leave",
        main: t!(main, fill = percent(share.value)),
        spread: format!("±{THIN}{}", percent(share.spread.max(0.01))),
        places: vec![t!(place, fill = percent(share.value))],
    }
}

/// How the boat lies in the condition that was not read, and whether that is right. None for what the
/// reading does not tell, for a boat whose tanks are not known, and for one of six numbers, whose hull above
/// the water is a guess.
pub(crate) fn the_other(advised: &Advised, is_quick: bool) -> Option<(bool, String)> {
    let Advised { reading, fit, after, .. } = advised;
    if is_quick || !fit.untold.is_empty() || fit.found.n_tanks() == 0 {
        return None;
    }
    let (other, line) = match reading.condition {
        Condition::Under => (Condition::Afloat, t!("both.afloat", lies = lies(&after.afloat, &[]))),
        Condition::Afloat => (Condition::Under, under(&advised.after)),
    };
    let line = if advised.spoils_the_other { t!("both.spoils", line = line) } else { line };
    Some((after.is_right(other), line))
}

/// How a boat lies under water with its tanks as the aim has them.
pub(super) fn under(after: &BothConditions) -> String {
    let fill = after.fill;
    let share = percent(fill.share.value);
    // What it lacks is what it is light by.
    if fill.lacking == 0.0 {
        t!("both.under", fill = share, lies = lies(&after.under, &[]))
    } else {
        t!("both.under", fill = share, lies = residual(-fill.lacking))
    }
}

/// How it goes down after what is advised, and whether that is right.
pub(crate) fn on_the_way(way: &WayAfter) -> (bool, String) {
    let WayAfter { summary, least_gm, .. } = way;
    let (lean, gm) = (summary.worst.lean, summary.worst.gm);
    let line = if summary.capsizes {
        t!("both.way_over")
    } else if summary.leans_visibly() && gm.value > 0.0 {
        t!("both.way_leans", angle = degrees(lean.value.abs()), at = percent(lean.fill))
    } else {
        let least = fine_millimetres(gm.value);
        if summary.is_good(*least_gm) {
            t!("both.way_good", gm = least)
        } else {
            t!("both.way_tender", gm = least, at = percent(gm.fill))
        }
    };
    (summary.is_good(*least_gm), line)
}

/// That it is not stiff enough under water, if it is not.
pub(crate) fn bg(advised: &Advised) -> Option<String> {
    let after = &advised.after;
    let is_known = advised.fit.untold.is_empty() && after.bg.is_finite();
    (is_known && !after.has_bg()).then(|| {
        let [bg, least] = [after.bg, after.least_bg].map(fine_millimetres);
        t!("both.low_bg", bg = bg, least = least)
    })
}
