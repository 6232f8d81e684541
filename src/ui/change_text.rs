//! What changed since the boat was read before, in words: how much, where, what it may be, what to do.

use super::advice_text::figure_read;
use super::figures::percent;
use super::text::{
    THIN, across, along, degrees, fine_millimetres, liquid, upper_first, whole_grams,
};
use crate::state::Datum;
use crate::words::{t, word};
use trimwright::answer::{Advised, Change, Suspect, SuspectKind};
use trimwright::fit::{Estimate, MassChange};
use trimwright::reading::Seen;

/// As many of what it may be are said.
const SAID: usize = 3;

/// The alarm in its parts, loudest first.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct ChangeText {
    /// What has happened, in a few words.
    pub(crate) main: String,
    /// Its ±.
    pub(crate) spread: String,
    /// Where; or what it is if it was not misread.
    pub(crate) place: Option<String>,
    /// What it may be, the likeliest first, each with how probable it is.
    pub(crate) suspects: Vec<[String; 2]>,
    /// That is still being looked for.
    pub(crate) is_looked_for: bool,
    /// What to do, a sentence or two each.
    pub(crate) to_do: Vec<String>,
    /// The figure that was most likely misread, by its place in the reading.
    pub(crate) figure: Option<usize>,
}

impl ChangeText {
    /// The alarm in one line.
    pub(crate) fn line(&self) -> String {
        let main = format!("{} {}", self.main, self.spread).trim().to_owned();
        let lines = std::iter::once(main).chain(self.place.clone());
        lines.collect::<Vec<_>>().join(", ")
    }

    /// What is said aloud.
    pub(crate) fn spoken(&self) -> String {
        let suspect = self.suspects.first().map(|[what, _]| what.clone());
        let all = std::iter::once(self.line()).chain(suspect).chain(self.to_do.first().cloned());
        all.collect::<Vec<_>>().join(". ")
    }
}

/// The alarm, if there is one; what it may be, once that is known.
pub(crate) fn change(
    advised: &Advised,
    suspects: Option<&[Suspect]>,
    datum: Datum,
) -> Option<ChangeText> {
    let change = advised.changed.as_ref()?;
    let [main, spread, place] = headline(change, datum);
    let mut text = ChangeText { main, spread, ..ChangeText::default() };
    text.place = (!place.is_empty()).then_some(place);
    let figure = |s: &Suspect| match s.what {
        SuspectKind::Misread(figure) => Some(figure),
        _ => None,
    };
    text.is_looked_for = suspects.is_none();
    let suspects = suspects.unwrap_or_default();
    text.figure = suspects.iter().find_map(figure);
    let first = suspects.first().and_then(figure);
    if let Some(figure) = first {
        let otherwise = t!("changed.or", what = text.line());
        text.main =
            t!("changed.misread", figure = upper_first(&figure_read(&advised.reading, figure)));
        (text.spread, text.place) = (String::new(), Some(otherwise));
        text.to_do.push(t!("changed.read_again"));
    }
    let said: Vec<&Suspect> = suspects.iter().take(SAID).collect();
    let words = |s: &&Suspect| [upper_first(&suspect(s, advised)), percent(s.probability)];
    text.suspects = said.iter().map(words).collect();
    text.to_do.push(t!("changed.open_it"));
    let is_water =
        |s: &&Suspect| matches!(s.what, SuspectKind::WaterInside(_) | SuspectKind::PutOn);
    if said.iter().any(is_water) {
        text.to_do.push(t!("changed.cells"));
    }
    Some(text)
}

fn plus_minus(much: &str) -> String {
    format!("±{THIN}{much}")
}

/// What has happened, its ±, and where.
fn headline(change: &Change, datum: Datum) -> [String; 3] {
    let nothing = String::new;
    let Some(MassChange { mass, at, .. }) = &change.found else {
        return [t!("changed.differs"), nothing(), nothing()];
    };
    let Some([x, y]) = at else { return [t!("changed.moved"), nothing(), nothing()] };
    let key = if mass.value > 0.0 { word!("changed.heavier") } else { word!("changed.lighter") };
    let spread = |of: &Estimate| plus_minus(&super::text::millimetres(of.spread));
    let place = t!(
        "changed.place",
        along = format!("{} {}", along(x.value, datum), spread(x)),
        across = format!("{} {}", across(y.value), spread(y))
    );
    let main = t!(key, mass = whole_grams(mass.value.abs()));
    [main, plus_minus(&whole_grams(mass.spread)), place]
}

/// One thing that it may be.
fn suspect(suspect: &Suspect, advised: &Advised) -> String {
    let amount = suspect.amount.value.abs();
    let volume = || liquid(amount / advised.reading.water_density);
    match &suspect.what {
        SuspectKind::WaterInside(name) => {
            t!("changed.water_inside", name = name, much = volume())
        }
        SuspectKind::TankHoldsLess(name) => t!("changed.tank_less", name = name, much = volume()),
        SuspectKind::TankHoldsMore(name) => t!("changed.tank_more", name = name, much = volume()),
        SuspectKind::AirInside(name) => t!("changed.air_inside", name = name, much = volume()),
        SuspectKind::DrainsBadly(name) => t!("changed.drains", name = name, much = volume()),
        SuspectKind::LeftAshore(name) => t!("changed.ashore", name = name),
        SuspectKind::PutOn => t!("changed.put_on", much = whole_grams(amount)),
        SuspectKind::Gone => t!("changed.gone", much = whole_grams(amount)),
        SuspectKind::Moved => t!("changed.moved"),
        SuspectKind::Misread(figure) => {
            let seen = advised.reading.observations.get(*figure).map(|o| &o.seen);
            let much = match seen {
                Some(Seen::WaterAtMark { .. }) => fine_millimetres(amount),
                Some(Seen::List(_) | Seen::Trim(_)) => degrees(amount),
                Some(Seen::Residual(_)) | None => whole_grams(amount),
            };
            t!("changed.slip", figure = figure_read(&advised.reading, *figure), much = much)
        }
    }
}
