//! The way down and up in words: what it does, and why.

use super::text::{
    THIN, degrees, fine_millimetres, grams, liquid, list, lower_first, number, trim, upper_first,
};
use crate::state::{Dived, speech};
use trimwright::boat::Boat;
use trimwright::dive::{End, LeanCause, LossCause, Way, Who, Whose};
use trimwright::fit::{Estimate, Lean, WayFit};
use trimwright::float::{Event, Happening, Heading, Holder, SweepRow};
use trimwright::unit::GRAM;

/// Something said, with how it is to be taken.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct Line {
    /// `ok`, `warn`, `bad` or nothing: the class in the style sheet.
    pub(crate) class: &'static str,
    /// The words, with their sign.
    pub(crate) words: String,
}

impl Line {
    pub(super) fn new(class: &'static str, words: impl AsRef<str>) -> Self {
        let sign = match class {
            "ok" => "✓ ",
            "warn" => "! ",
            "bad" => "✕ ",
            _ => "",
        };
        Self { class, words: format!("{sign}{}", words.as_ref()) }
    }
}

/// "36 %".
pub(crate) fn share(fill: f64) -> String {
    format!("{}{THIN}%", number(fill * 100.0, 0))
}

/// Seconds, whole; tenths below ten.
pub(crate) fn seconds(time: f64) -> String {
    format!("{}{THIN}s", number(time, usize::from(time < 9.95)))
}

/// The way in a few words: what it comes to where it is worst.
pub(crate) fn headline(dived: &Dived) -> Line {
    let Way { summary, sweep, .. } = &dived.way;
    let beam = dived.hand.model.bounds().size().y;
    let over = sweep.events.iter().find(|e| e.what == Happening::Capsizes);
    if let Some(event) = over {
        let at = if event.fill < 0.005 && dived.heading == Heading::Down {
            "at once".to_owned()
        } else {
            format!("at {}", share(event.fill))
        };
        return Line::new("bad", format!("Turns over {at}"));
    }
    let worst = summary.worst;
    if worst.lean.value.abs() > trimwright::dive::LEANS {
        let at = share(worst.lean.fill);
        return Line::new("bad", format!("Leans {} at {at}", degrees(worst.lean.value)));
    }
    if worst.gm.value <= 0.0 {
        return Line::new("bad", format!("No stability at {}", share(worst.gm.fill)));
    }
    let arrives = arrival(dived);
    if arrives.class == "bad" {
        let word = if dived.heading == Heading::Down { "go under" } else { "come up" };
        return Line::new("bad", format!("Does not {word}"));
    }
    if summary.is_good(beam) {
        return Line::new("ok", "Stays upright");
    }
    Line::new("warn", format!("Tender at {}", share(worst.gm.fill)))
}

/// What kind of lean it is, and what to beware of.
pub(crate) fn kind(dived: &Dived) -> Option<Line> {
    let Way { summary, causes, lean, .. } = &dived.way;
    let gm = fine_millimetres(causes.gm);
    let offset = fine_millimetres(causes.offset.abs());
    let side = if causes.offset >= 0.0 { "port" } else { "starboard" };
    let words = match lean {
        Lean::Upright if summary.worst.gm.value > 0.0 => return None,
        Lean::Upright => "It may fall to either side there: loll.".to_owned(),
        Lean::Loll => "Loll: top-heavy there. Weight moved sideways makes it worse.".to_owned(),
        Lean::ListOrLoll => {
            format!("List or loll: GM is only {gm} there. Do not shift weight sideways first.")
        }
        Lean::List => {
            format!("List: G lies {offset} to {side}, and GM is {gm} there.")
        }
    };
    Some(Line::new("warn", words))
}

/// Whether it gets to the other end.
pub(crate) fn arrival(dived: &Dived) -> Line {
    let End { residual, .. } = dived.way.summary.end;
    let light = residual < -0.5 * GRAM;
    match (dived.heading, light) {
        (Heading::Down, true) => Line::new(
            "bad",
            format!(
                "Full, it still floats: {} too light to go under. Add that, or {} of tank.",
                grams(-residual),
                liquid(-residual / dived.way.basin().density)
            ),
        ),
        (Heading::Down, false) => {
            let words = format!("it is {} heavy: it goes under.", grams(residual.abs()));
            Line::new("ok", format!("{}, {words}", full(dived)))
        }
        (Heading::Up, true) => {
            Line::new("ok", format!("Blown, it floats with {} to spare.", grams(-residual)))
        }
        (Heading::Up, false) => Line::new(
            "bad",
            format!("Blown, it is still {} heavy: it does not come up.", grams(residual.abs())),
        ),
    }
}

/// "Full", and the air that stays over the vents: it leaves a surface.
fn full(dived: &Dived) -> String {
    let tanks = 0..dived.hand.boat.tanks.len();
    let fullest = tanks.filter_map(|k| dived.hand.model.usable_range(k));
    let air = fullest.map(|[_, most]| 1.0 - most).fold(0.0, f64::max);
    if air < 0.005 { "Full".to_owned() } else { format!("Full (air left: {})", share(air)) }
}

/// The first cause, in one line; none for a boat that stays upright and stiff.
pub(crate) fn first_cause(dived: &Dived) -> Option<String> {
    let Way { summary, causes, loss, lean, .. } = &dived.way;
    let boat = &dived.hand.boat;
    let beam = dived.hand.model.bounds().size().y;
    if summary.is_good(beam) {
        return None;
    }
    let of_list = matches!(lean, Lean::List | Lean::ListOrLoll) && summary.worst.gm.value > 0.0;
    if of_list && let Some(first) = causes.parts.first() {
        return Some(format!("First cause: {}", lower_first(&lean_cause(boat, dived, first))));
    }
    let first = loss.parts.first()?;
    let (_, taken) = first;
    if *taken <= 0.0 || loss.before <= 0.0 {
        return Some(format!(
            "First cause: top-heavy from the start, GM {}",
            fine_millimetres(loss.before)
        ));
    }
    Some(format!(
        "First cause: {}, {} of GM",
        lower_first(&loss_cause(boat, dived, *first)),
        fine_millimetres(*taken)
    ))
}

pub(super) fn tank_name(boat: &Boat, k: usize) -> &str {
    boat.tanks.get(k).map_or("a tank", |t| &t.name)
}

pub(super) fn part_name(boat: &Boat, k: usize) -> &str {
    boat.parts.get(k).map_or("a part", |p| &p.name)
}

fn space_name(dived: &Dived, k: usize) -> &str {
    dived.plan.spaces.get(k).map_or("the hull", |s| &s.name)
}

/// What takes metacentric height away, or (a loss below zero) gives it.
pub(crate) fn loss_cause(boat: &Boat, dived: &Dived, (cause, loss): (LossCause, f64)) -> String {
    let takes = loss > 0.0;
    let high = if takes { "high" } else { "low" };
    match cause {
        LossCause::Waterplane => {
            format!("The waterplane {}", if takes { "shrinks" } else { "grows" })
        }
        LossCause::CentreOfBuoyancy => {
            format!("Buoyancy acts {}", if takes { "lower" } else { "higher" })
        }
        LossCause::FreeSurface(Holder::Tank(k)) => {
            format!("Free surface in {}", tank_name(boat, k))
        }
        LossCause::FreeSurface(Holder::Space(k)) => {
            format!("Free surface trapped in {}", space_name(dived, k))
        }
        LossCause::Weight(Holder::Tank(k)) => format!("Water {high} in {}", tank_name(boat, k)),
        LossCause::Weight(Holder::Space(k)) => {
            format!("Water trapped {high} in {}", space_name(dived, k))
        }
    }
}

fn who_name(boat: &Boat, dived: &Dived, who: Who) -> String {
    match who {
        Who::Part(k) => part_name(boat, k).to_owned(),
        Who::Tank(k) => tank_name(boat, k).to_owned(),
        Who::Space(k) => format!("water in {}", space_name(dived, k)),
        Who::Unlisted => "weight that is not in the list".to_owned(),
    }
}

/// What leans the boat, and by how much it moves its centre of gravity.
pub(crate) fn lean_cause(boat: &Boat, dived: &Dived, cause: &LeanCause) -> String {
    let side = if cause.moment >= 0.0 { "port" } else { "starboard" };
    let name = match cause.whose {
        Whose::TopHeavy => return "Top-heavy: GM below zero".to_owned(),
        Whose::One(who) => who_name(boat, dived, who),
        Whose::Pair(Who::Tank(a), Who::Tank(b)) => {
            let fill = |k: usize| dived.way.worst_row().and_then(|r| r.fills.get(k).copied());
            let (full, less) = if fill(a) >= fill(b) { (a, b) } else { (b, a) };
            format!("{} fuller than {}", tank_name(boat, full), tank_name(boat, less))
        }
        Whose::Pair(one, other) => {
            let (one, other) = (who_name(boat, dived, one), who_name(boat, dived, other));
            format!("{one} against {other}")
        }
    };
    let offset = fine_millimetres(cause.moment.abs() / dived.way.causes.mass);
    format!("{}: G {offset} to {side}", upper_first(&name))
}

/// What happens on the way, one line each.
pub(crate) fn event(event: &Event) -> String {
    let at = share(event.fill);
    match event.what {
        Happening::Capsizes => format!("Turns over at {at}"),
        Happening::Heels if event.to.heel().abs() < event.from.heel().abs() => {
            format!(
                "Comes upright suddenly at {at}: from {} to {}",
                degrees(event.from.heel()),
                degrees(event.to.heel())
            )
        }
        Happening::Heels => {
            format!(
                "Falls over suddenly at {at}: from {} to {}",
                degrees(event.from.heel()),
                list(event.to.heel())
            )
        }
        Happening::Trims => {
            format!(
                "Trims suddenly at {at}: from {} to {}",
                trim(event.from.trim()),
                trim(event.to.trim())
            )
        }
    }
}

/// What the leans that were seen say of the boat.
pub(crate) fn fitted(fit: &WayFit) -> String {
    let figure = |estimate: Estimate, ways: [&str; 2]| {
        let way = if estimate.value >= 0.0 { ways[0] } else { ways[1] };
        let unit = speech().length_unit();
        let spread = number(unit.of(estimate.spread), unit.fine);
        format!("{} ±{THIN}{spread} {way}", fine_millimetres(estimate.value.abs()))
    };
    let mut words = Vec::new();
    if fit.tells_offset() {
        words.push(figure(fit.offset, ["farther to port", "farther to starboard"]));
    }
    if fit.tells_height() {
        words.push(figure(fit.height, ["higher", "lower"]));
    }
    let found = if words.is_empty() {
        "That fits the boat as listed, within what can be seen".to_owned()
    } else {
        format!("So G lies {} than in the list; all figures count with it", words.join(" and "))
    };
    match &fit.contradiction {
        Some(c) => {
            format!("{found}. ! The leans do not fit together: number {} least.", c.worst + 1)
        }
        None => format!("{found}."),
    }
}

/// How the boat lies in one row, for the figures under the drawing.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Now {
    /// "11.7° to starboard".
    pub(crate) list: String,
    /// "loll", "list" or nothing.
    pub(crate) kind: String,
    /// "0.7° bow down".
    pub(crate) trim: String,
    /// "−5.3 mm".
    pub(crate) gm: String,
    /// "1.32 kg light".
    pub(crate) buoyancy: String,
}

/// A boat that lolls with nothing off centre may as well lie on the other side.
pub(crate) fn is_either_side(row: &SweepRow) -> bool {
    row.loll.is_some() && row.offset.abs() < 2e-6
}

impl Now {
    /// Of a row.
    pub(crate) fn of(row: &SweepRow, lean: Lean) -> Self {
        let residual = row.residual;
        let way = if residual > 0.0 { "heavy" } else { "light" };
        Self {
            list: if is_either_side(row) {
                format!("{} either side", degrees(row.pose().heel()))
            } else {
                list(row.pose().heel())
            },
            kind: match lean {
                Lean::Upright => "",
                Lean::List => "list",
                Lean::ListOrLoll => "list or loll",
                Lean::Loll => "loll",
            }
            .to_owned(),
            trim: trim(row.pose().trim()),
            gm: fine_millimetres(row.upright.across),
            buoyancy: if residual.abs() < 0.5 * GRAM {
                "neutral".to_owned()
            } else {
                format!("{} {way}", grams(residual.abs()))
            },
        }
    }
}

/// The whole in one sentence, for a screen reader.
pub(crate) fn picture(row: &SweepRow, lean: Lean) -> String {
    let now = Now::of(row, lean);
    let kind = if now.kind.is_empty() { String::new() } else { format!(" ({})", now.kind) };
    format!(
        "At {}: {}{kind}, {}, GM {}, {}",
        share(row.fill),
        now.list,
        now.trim,
        now.gm,
        now.buoyancy
    )
}
