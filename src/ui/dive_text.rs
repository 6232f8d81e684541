//! The way down and up in words: what it does, and why.

use super::text::{
    THIN, all_of, degrees, fine_millimetres, grams, liquid, list, lower_first, number, residual,
    to_side, trim, upper_first,
};
use crate::state::Dived;
use crate::words::speech::speech;
use crate::words::{Word, t, word};
use trimwright::answer::LeansTold;
use trimwright::boat::Boat;
use trimwright::diary::LeanRecord;
use trimwright::dive::{LeanCause, LeanOrigin, LossCause, Way, WeightItem};
use trimwright::fit::{Estimate, Lean};
use trimwright::float::{Container, Event, Happening, Heading, SweepRow};
use trimwright::unit::GRAM;

/// Something said, with how it is to be taken.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct Remark {
    /// `ok`, `warn`, `bad` or nothing: the class in the style sheet.
    pub(crate) class: &'static str,
    /// The words, with their sign.
    pub(crate) words: String,
}

impl Remark {
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
pub(crate) fn headline(dived: &Dived) -> Remark {
    let Way { summary, sweep, .. } = &dived.way;
    if dived.way.lies_as_turned() {
        return Remark::new("warn", t!("dive.as_turned", at = share(summary.worst.gm.fill)));
    }
    let over = sweep.events.iter().find(|e| e.what == Happening::Capsizes);
    if let Some(event) = over {
        let words = if event.fill < 0.005 && dived.heading == Heading::Down {
            t!("dive.turns_over_at_once")
        } else {
            t!("dive.turns_over", at = share(event.fill))
        };
        return Remark::new("bad", words);
    }
    let worst = summary.worst;
    if worst.lean.value.abs() > trimwright::dive::LEANS {
        let at = share(worst.lean.fill);
        return Remark::new("bad", t!("dive.leans", angle = degrees(worst.lean.value), at = at));
    }
    if worst.gm.value <= 0.0 {
        return Remark::new("bad", t!("dive.no_stability", at = share(worst.gm.fill)));
    }
    let arrives = arrival(dived);
    if arrives.class == "bad" {
        let goes_down = dived.heading == Heading::Down;
        let key = if goes_down {
            word!("dive.does_not_go_under")
        } else {
            word!("dive.does_not_come_up")
        };
        return Remark::new("bad", t!(key));
    }
    // Upright is not all: under water it should hang level too.
    if dived.heading == Heading::Down && summary.end.trim.abs() > trimwright::dive::LEANS {
        let words = t!("dive.hangs_trimmed", full = full(dived), trim = trim(summary.end.trim));
        return Remark::new("warn", words);
    }
    if summary.is_good(dived.hand.aim.least.gm) {
        return Remark::new("ok", t!("dive.stays_upright"));
    }
    Remark::new("warn", t!("dive.tender", at = share(worst.gm.fill)))
}

/// What kind of lean it is, and what to beware of.
pub(crate) fn kind(dived: &Dived) -> Option<Remark> {
    if dived.way.lies_as_turned() {
        return Some(Remark::new("warn", t!("dive.as_turned_because")));
    }
    let Way { summary, causes, lean, .. } = &dived.way;
    let gm = fine_millimetres(causes.gm);
    let offset = to_side(causes.offset >= 0.0, &fine_millimetres(causes.offset.abs()));
    let words = match lean {
        Lean::Upright if summary.worst.gm.value > 0.0 => return None,
        Lean::Upright => t!("dive.loll_either_side"),
        Lean::Loll => t!("dive.loll"),
        Lean::ListOrLoll => t!("dive.list_or_loll", gm = gm),
        Lean::List => t!("dive.list", offset = offset, gm = gm),
    };
    Some(Remark::new("warn", words))
}

/// Whether it gets to the other end.
pub(crate) fn arrival(dived: &Dived) -> Remark {
    let residual = dived.way.summary.end.residual;
    let light = residual < -0.5 * GRAM;
    match (dived.heading, light) {
        (Heading::Down, true) => Remark::new(
            "bad",
            t!(
                "dive.still_floats",
                mass = grams(-residual),
                tank = liquid(-residual / dived.way.basin().density)
            ),
        ),
        (Heading::Down, false) => {
            let mass = grams(residual.abs());
            Remark::new("ok", t!("dive.goes_under", full = full(dived), mass = mass))
        }
        (Heading::Up, true) => Remark::new("ok", t!("dive.comes_up", mass = grams(-residual))),
        (Heading::Up, false) => {
            Remark::new("bad", t!("dive.still_heavy", mass = grams(residual.abs())))
        }
    }
}

/// "Full", and the air that stays over the vents: it leaves a surface.
fn full(dived: &Dived) -> String {
    let tanks = 0..dived.hand.boat.tanks.len();
    let fullest = tanks.filter_map(|k| dived.hand.model.usable_range(k));
    let air = fullest.map(|[_, most]| 1.0 - most).fold(0.0, f64::max);
    if air < 0.005 { t!("dive.full") } else { t!("dive.full_but", air = share(air)) }
}

/// The first cause, in one line; none for a boat that stays upright and stiff.
pub(crate) fn first_cause(dived: &Dived) -> Option<String> {
    let Way { summary, causes, loss, lean, .. } = &dived.way;
    let boat = &dived.hand.boat;
    if summary.is_good(dived.hand.aim.least.gm) || dived.way.lies_as_turned() {
        return None;
    }
    let of_list = matches!(lean, Lean::List | Lean::ListOrLoll) && summary.worst.gm.value > 0.0;
    if of_list && let Some(first) = causes.parts.first() {
        let cause = lower_first(&lean_cause(boat, dived, first));
        return Some(t!("dive.first_cause", cause = cause));
    }
    let first = loss.parts.first()?;
    let (_, taken) = first;
    if *taken <= 0.0 || loss.before <= 0.0 {
        return Some(t!("dive.first_cause_top_heavy", gm = fine_millimetres(loss.before)));
    }
    let cause = lower_first(&loss_cause(boat, dived, *first));
    Some(t!("dive.first_cause_of_gm", cause = cause, gm = fine_millimetres(*taken)))
}

pub(super) fn tank_name(boat: &Boat, k: usize) -> String {
    boat.tanks.get(k).map_or_else(|| t!("dive.a_tank"), |tank| tank.name.clone())
}

pub(super) fn part_name(boat: &Boat, k: usize) -> String {
    boat.parts.get(k).map_or_else(|| t!("dive.a_part"), |part| part.name.clone())
}

fn space_name(dived: &Dived, k: usize) -> String {
    dived.plan.spaces.get(k).map_or_else(|| t!("dive.the_hull"), |space| space.name.clone())
}

/// What takes metacentric height away, or (a loss below zero) gives it.
pub(crate) fn loss_cause(boat: &Boat, dived: &Dived, (cause, loss): (LossCause, f64)) -> String {
    let takes = loss > 0.0;
    let of = |takes_key: Word, gives_key: Word, name: String| {
        t!(if takes { takes_key } else { gives_key }, name = name)
    };
    match cause {
        LossCause::Waterplane => {
            t!(if takes {
                word!("dive.waterplane_shrinks")
            } else {
                word!("dive.waterplane_grows")
            })
        }
        LossCause::CentreOfBuoyancy => {
            t!(if takes { word!("dive.buoyancy_lower") } else { word!("dive.buoyancy_higher") })
        }
        LossCause::FreeSurface(Container::Tank(k)) => {
            t!("dive.free_surface", name = tank_name(boat, k))
        }
        LossCause::FreeSurface(Container::Space(k)) => {
            t!("dive.free_surface_trapped", name = space_name(dived, k))
        }
        LossCause::Weight(Container::Tank(k)) => {
            of(word!("dive.water_high"), word!("dive.water_low"), tank_name(boat, k))
        }
        LossCause::Weight(Container::Space(k)) => of(
            word!("dive.water_trapped_high"),
            word!("dive.water_trapped_low"),
            space_name(dived, k),
        ),
    }
}

fn item_name(boat: &Boat, dived: &Dived, item: WeightItem) -> String {
    match item {
        WeightItem::Part(k) => part_name(boat, k),
        WeightItem::Tank(k) => tank_name(boat, k),
        WeightItem::Space(k) => t!("dive.water_in", name = space_name(dived, k)),
        WeightItem::Unlisted => t!("dive.unlisted"),
    }
}

/// What leans the boat, and by how much it moves its centre of gravity.
pub(crate) fn lean_cause(boat: &Boat, dived: &Dived, cause: &LeanCause) -> String {
    let name = match cause.origin {
        LeanOrigin::TopHeavy => return t!("dive.top_heavy"),
        LeanOrigin::One(item) => item_name(boat, dived, item),
        LeanOrigin::Pair(WeightItem::Tank(a), WeightItem::Tank(b)) => {
            let fill = |k: usize| dived.way.worst_row().and_then(|r| r.fills.get(k).copied());
            let (full, less) = if fill(a) >= fill(b) { (a, b) } else { (b, a) };
            t!("dive.fuller", full = tank_name(boat, full), less = tank_name(boat, less))
        }
        LeanOrigin::Pair(one, other) => {
            let (one, other) = (item_name(boat, dived, one), item_name(boat, dived, other));
            t!("dive.against", one = one, other = other)
        }
    };
    let offset = fine_millimetres(cause.moment.abs() / dived.way.causes.mass);
    format!("{}: G {}", upper_first(&name), to_side(cause.moment >= 0.0, &offset))
}

/// What happens on the way, one line each.
pub(crate) fn event(event: &Event) -> String {
    let at = share(event.fill);
    match event.what {
        Happening::Capsizes => t!("dive.turns_over", at = at),
        Happening::Heels if event.to.heel().abs() < event.from.heel().abs() => {
            let [from, to] = [event.from.heel(), event.to.heel()].map(degrees);
            t!("dive.comes_upright", at = at, from = from, to = to)
        }
        Happening::Heels => {
            let [from, to] = [degrees(event.from.heel()), list(event.to.heel())];
            t!("dive.falls_over", at = at, from = from, to = to)
        }
        Happening::Trims => {
            let [from, to] = [event.from.trim(), event.to.trim()].map(trim);
            t!("dive.trims", at = at, from = from, to = to)
        }
    }
}

/// What the leans that were `seen` say of the boat.
pub(crate) fn told(told: &LeansTold, seen: &[LeanRecord]) -> String {
    let figure = |estimate: Estimate, [more, less]: [Word; 2]| {
        let unit = speech().length_unit();
        let spread = number(unit.of(estimate.spread), unit.fine);
        let much = format!("{} ±{THIN}{spread}", fine_millimetres(estimate.value.abs()));
        t!(if estimate.value >= 0.0 { more } else { less }, much = much)
    };
    // A figure that is smaller than its ± tells nothing.
    let tells = |estimate: Estimate| estimate.value.abs() > estimate.spread;
    let mut words = Vec::new();
    if tells(told.offset) {
        words.push(figure(
            told.offset,
            [word!("dive.farther_to_port"), word!("dive.farther_to_starboard")],
        ));
    }
    if tells(told.height) {
        words.push(figure(told.height, [word!("dive.lies_higher"), word!("dive.lies_lower")]));
    }
    let found = if words.is_empty() {
        t!("dive.fits_the_list")
    } else {
        t!("dive.lies_elsewhere", ways = all_of(&words))
    };
    let clash = told.clash.as_ref();
    match clash.and_then(|clash| seen.iter().position(|lean| lean == clash)) {
        Some(which) => format!("{found} {}", t!("dive.leans_clash", number = which + 1)),
        None => found,
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
        Self {
            list: if is_either_side(row) {
                t!("dive.either_side", angle = degrees(row.pose().heel()))
            } else {
                list(row.pose().heel())
            },
            kind: match lean {
                Lean::Upright => String::new(),
                Lean::List => t!("dive.kind_list"),
                Lean::ListOrLoll => t!("dive.kind_list_or_loll"),
                Lean::Loll => t!("dive.kind_loll"),
            },
            trim: trim(row.pose().trim()),
            gm: fine_millimetres(row.upright.across),
            buoyancy: residual(row.residual),
        }
    }
}

/// The whole in one sentence, for a screen reader.
pub(crate) fn picture(row: &SweepRow, lean: Lean) -> String {
    let now = Now::of(row, lean);
    let kind = if now.kind.is_empty() { String::new() } else { format!(" ({})", now.kind) };
    let lies = format!("{}{kind}, {}, GM {}, {}", now.list, now.trim, now.gm, now.buoyancy);
    t!("dive.at_fill", at = share(row.fill), lies = lies)
}
