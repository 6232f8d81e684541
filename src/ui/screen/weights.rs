//! The table of all weights aboard, on paper: by group, with what each group weighs, and the tanks.

use crate::state::BoatInHand;
use crate::ui::markup::{Attr, Markup};
use crate::ui::row_text::tank_words;
use crate::ui::text;
use crate::words::{t, word};
use trimwright::diary::BoatRecord;
use trimwright::frame::{Body, Position};

/// A line: what it is, what it weighs, and where that is.
type WeightLine = (String, f64, Position<Body>);

/// The weights aboard, from the boat's own datum: the parts, and the tanks with nothing in them. As what is in a
/// table.
pub(crate) fn weights(record: &BoatRecord, hand: &BoatInHand) -> Markup {
    let boat = &hand.boat;
    let group = |line: usize| {
        let of = record.parts.get(line).filter(|_| !hand.is_quick);
        of.map_or(String::new(), |part| part.group.clone())
    };
    // Groups in the order in which they first appear, as in the list of the parts.
    let mut groups: Vec<(String, Vec<WeightLine>)> = Vec::new();
    for (line, part) in boat.parts.iter().enumerate().filter(|(_, p)| p.status.is_aboard()) {
        let (name, of) = ((part.name.clone(), part.mass, part.centre), group(line));
        match groups.iter_mut().find(|(group, _)| *group == of) {
            Some((_, lines)) => lines.push(name),
            None => groups.push((of, vec![name])),
        }
    }
    let tanks = boat.tanks.iter().enumerate().map(|(k, tank)| {
        let holds = record.tanks.get(k).map(|tank| format!(", {}", tank_words(tank)));
        let name = format!("{}{}", tank.name, holds.unwrap_or_default());
        (name, tank.empty_mass(), tank.empty_centre())
    });
    let tanks: Vec<WeightLine> = tanks.collect();
    let has_groups = groups.iter().any(|(group, _)| !group.is_empty());
    if !tanks.is_empty() && !hand.is_quick {
        groups.push((t!("sheet.tanks"), tanks));
    }
    let mut body = Markup::default();
    for (name, lines) in &groups {
        if has_groups || *name == t!("sheet.tanks") {
            let name = if name.is_empty() { t!("bench.no_group") } else { name.clone() };
            body += row("th", &[name, text::whole_grams(lines.iter().map(|l| l.1).sum())]);
        }
        body += lines.iter().map(cells(hand)).collect();
    }
    let from = t!("sheet.from", datum = text::datum_name(hand.datum.from));
    let [part, mass, across, height] = [
        word!("sheet.part"),
        word!("sheet.mass"),
        word!("sheet.across"),
        word!("sheet.above_keel"),
    ]
    .map(|key| t!(key));
    let all = t!(if boat.tanks.is_empty() { word!("sheet.all") } else { word!("compare.aboard") });
    [
        ("thead", row("th", &[part, mass, from, across, height])),
        ("tbody", body),
        ("tfoot", row("th", &[all, text::whole_grams(boat.dry_mass())])),
    ]
    .map(|(tag, rows)| Markup::element(tag, &[], &rows))
    .into_iter()
    .collect()
}

/// Makes the row of a line.
fn cells(hand: &BoatInHand) -> impl Fn(&WeightLine) -> Markup {
    let datum = hand.datum;
    move |(name, mass, at)| {
        let cells = [
            name.clone(),
            text::whole_grams(*mass),
            text::millimetres(at.x() - datum.x),
            text::millimetres(at.y()),
            text::millimetres(at.z()),
        ];
        row("td", &cells)
    }
}

/// A row of cells: the first is a name, the others are numbers.
fn row(tag: &'static str, cells: &[String]) -> Markup {
    let cell = |(k, words): (usize, &String)| {
        let class: Attr<'_> = ("class", if k == 0 { &"" } else { &"number" });
        Markup::element(tag, &[class], &Markup::words(words))
    };
    Markup::element("tr", &[], &cells.iter().enumerate().map(cell).collect())
}
