//! The way down and up in words: what it does, why, and what would cure it.

use super::text::{THIN, across, degrees, fine_millimetres, grams, list, millimetres, trim};
use crate::state::{Dived, Tried};
use trimwright::boat::Boat;
use trimwright::dive::{
    Change, CureKind, End, LeanCause, LossCause, Summary, Verdict, Way, Who, Whose, swing,
};
use trimwright::fit::Lean;
use trimwright::float::{Event, Happening, Heading, Holder, SweepRow};
use trimwright::geometry::{Bounds, Fineness};
use trimwright::unit::{GRAM, MILLIMETRE, write_number};

/// Something said, with how it is to be taken.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct Line {
    /// `ok`, `warn`, `bad` or nothing: the class in the style sheet.
    pub(crate) class: &'static str,
    /// The words, with their sign.
    pub(crate) words: String,
}

impl Line {
    fn new(class: &'static str, words: impl AsRef<str>) -> Self {
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
    format!("{}{THIN}%", write_number(fill * 100.0, 0))
}

/// Seconds, whole; tenths below ten.
pub(crate) fn seconds(time: f64) -> String {
    format!("{}{THIN}s", write_number(time, usize::from(time < 9.95)))
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
            format!("Full, it still floats: {} too light to go under.", grams(-residual)),
        ),
        (Heading::Down, false) => {
            Line::new("ok", format!("Full, it is {} heavy: it goes under.", grams(residual.abs())))
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
        return Some(format!("First cause: {}", lower(&lean_cause(boat, dived, first))));
    }
    let (cause, taken) = loss.parts.first()?;
    if *taken <= 0.0 || loss.before <= 0.0 {
        return Some(format!(
            "First cause: top-heavy from the start, GM {}",
            fine_millimetres(loss.before)
        ));
    }
    Some(format!(
        "First cause: {}, {} of GM",
        lower(&loss_cause(boat, dived, *cause)),
        fine_millimetres(*taken)
    ))
}

fn lower(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |c| c.to_lowercase().chain(letters).collect())
}

fn tank_name(boat: &Boat, k: usize) -> &str {
    boat.tanks.get(k).map_or("a tank", |t| &t.name)
}

fn part_name(boat: &Boat, k: usize) -> &str {
    boat.parts.get(k).map_or("a part", |p| &p.name)
}

fn space_name(dived: &Dived, k: usize) -> &str {
    dived.plan.spaces.get(k).map_or("the hull", |s| &s.name)
}

/// What takes metacentric height away.
pub(crate) fn loss_cause(boat: &Boat, dived: &Dived, cause: LossCause) -> String {
    match cause {
        LossCause::Waterplane => "The waterplane shrinks".to_owned(),
        LossCause::CentreOfBuoyancy => "Buoyancy acts lower".to_owned(),
        LossCause::FreeSurface(Holder::Tank(k)) => {
            format!("Free surface in {}", tank_name(boat, k))
        }
        LossCause::FreeSurface(Holder::Space(k)) => {
            format!("Free surface trapped in {}", space_name(dived, k))
        }
        LossCause::Weight(Holder::Tank(k)) => format!("Water high in {}", tank_name(boat, k)),
        LossCause::Weight(Holder::Space(k)) => {
            format!("Water trapped high in {}", space_name(dived, k))
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

/// What leans the boat.
pub(crate) fn lean_cause(boat: &Boat, dived: &Dived, cause: &LeanCause) -> String {
    let side = if cause.moment >= 0.0 { "port" } else { "starboard" };
    let moment = format!("{}{THIN}g·mm", write_number(cause.moment.abs() / GRAM / MILLIMETRE, 0));
    let name = match cause.whose {
        Whose::TopHeavy => return "Top-heavy: GM below zero".to_owned(),
        Whose::One(who) => who_name(boat, dived, who),
        Whose::Pair(one, other) => {
            let (one, other) = (who_name(boat, dived, one), who_name(boat, dived, other));
            format!("{one} against {other}")
        }
    };
    format!("{}, {moment} to {side}", super::text::upper_first(&name))
}

/// What a cure is.
pub(crate) fn cure(tried: &Tried) -> String {
    let after = &tried.after;
    let boat = &after.hand.boat;
    let by = |part: usize, words: String| {
        format!("{} {words}", super::text::upper_first(part_name(boat, part)))
    };
    let tank = |k: usize| super::text::upper_first(tank_name(boat, k));
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
        Change::Flood(_) => "Flood in half the time".to_owned(),
        Change::Blow(_) => "Blow in twice the time".to_owned(),
        Change::Drain(_) => "Drain holes twice as large".to_owned(),
        Change::Nothing => "Start without waves or way".to_owned(),
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
        _ => format!(
            "Leans {} at most, GM at least {}",
            degrees(after.worst.lean.value),
            fine_millimetres(after.worst.gm.value)
        ),
    }
}

/// What a cure does to the two ends.
pub(crate) fn ends(verdict: &Verdict, before: &Summary, after: &Summary) -> Line {
    if !verdict.spoils {
        return Line::new("ok", "Both ends stay as they are");
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
        format!("Spoils the trim {}", words.into_iter().flatten().collect::<Vec<_>>().join("; ")),
    )
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

/// How the boat lies in one row, for the figures under the drawing.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Now {
    /// "11.7° to starboard".
    pub(crate) list: String,
    /// "loll", "list" or nothing.
    pub(crate) kind: &'static str,
    /// "0.7° bow down".
    pub(crate) trim: String,
    /// "−5.3 mm".
    pub(crate) gm: String,
    /// "1.32 kg light".
    pub(crate) buoyancy: String,
}

impl Now {
    /// Of a row.
    pub(crate) fn of(row: &SweepRow, lean: Lean) -> Self {
        let residual = row.residual;
        let way = if residual > 0.0 { "heavy" } else { "light" };
        Self {
            list: list(row.pose().heel()),
            kind: match lean {
                Lean::Upright => "",
                Lean::List => "list",
                Lean::ListOrLoll => "list or loll",
                Lean::Loll => "loll",
            },
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
