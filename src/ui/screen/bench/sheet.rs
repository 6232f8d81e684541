//! The boat on one page of paper: its drawing, which is the one on the screen, its weights and its figures. Only
//! there when it is printed.

use crate::device::clock::{local_words, now_iso};
use crate::state::{BoatInHand, Desk};
use crate::ui::figures::{self, Fact, FactSource};
use crate::ui::markup::Markup;
use crate::ui::node::{Node, view};
use crate::ui::screen::weights::weights;
use crate::ui::text;
use crate::words::{t, word};
use leptos::prelude::*;
use trimwright::boat::Mark;

/// The sheet of the boat in hand.
#[component]
pub(super) fn BenchSheet() -> Node {
    let derived = expect_context::<Desk>().derived;
    let markup = move || {
        let boat = derived.boat.get();
        let hand = boat.as_ref().and_then(|b| b.as_ref().ok());
        let density = derived.density.get();
        let water = derived.water.get().map_or_else(|_| String::new(), |(_, words)| words);
        derived.record.with(|record| {
            derived.outlook.with(|outlook| match (hand, outlook, record) {
                (Some(hand), Some(outlook), Some(record)) => {
                    sheet(&FactSource { hand, outlook, record, density }, &water)
                }
                _ => Markup::default(),
            })
        })
    };
    view! { <section class="paper" data-testid="bench-sheet" inner_html=markup /> }
}

fn sheet(of: &FactSource<'_>, water: &str) -> Markup {
    // It stands under the boat's name and the drawing, which are the screen's.
    let head = format!("{} · {} · {water}", t!("sheet.bench"), local_words(&now_iso()));
    let marks: Vec<Fact> = of.hand.boat.marks.iter().map(|mark| placed(of.hand, mark)).collect();
    let figures = [
        (word!("bench.afloat"), [figures::afloat(of), figures::heights(of)].concat()),
        (word!("bench.under_water"), figures::under(of)),
        (word!("bench.the_tank"), figures::tank(of)),
        (word!("bench.marks"), marks),
    ];
    let figures = figures.iter().filter(|(_, facts)| !facts.is_empty()).map(|(title, facts)| {
        let mut block = Markup::element("h2", &[], &Markup::words(&t!(*title)));
        block += Markup::element("dl", &[], &facts.iter().map(line).collect());
        block
    });
    let both = [
        Markup::element("table", &[], &weights(of.record, of.hand)),
        Markup::element("div", &[], &figures.collect()),
    ];
    let mut sheet = Markup::element("p", &[("class", &"head")], &Markup::words(&head));
    sheet += Markup::element("div", &[("class", &"both")], &both.into_iter().collect());
    sheet += Markup::element("p", &[("class", &"quiet")], &Markup::words(&t!("sheet.foot")));
    sheet
}

fn line((name, value): &Fact) -> Markup {
    let pair = [("dt", name), ("dd", value)];
    let pair = pair.map(|(tag, words)| Markup::element(tag, &[], &Markup::words(words)));
    Markup::element("div", &[], &pair.into_iter().collect())
}

/// Where a mark is.
fn placed(hand: &BoatInHand, mark: &Mark) -> Fact {
    let (along, height) = (text::along(mark.at.x(), hand.datum), text::millimetres(mark.at.z()));
    let place = if mark.at.y() == 0.0 {
        t!("bench.mark_at", along = along, height = height)
    } else {
        let across = text::across(mark.at.y());
        t!("bench.mark_aside", along = along, across = across, height = height)
    };
    (mark.name.clone(), place)
}
