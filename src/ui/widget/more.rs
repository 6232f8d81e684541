//! What is one tap away on every working screen: the words explained, and the cautions.

use crate::ui::node::{CollectNode, Node, view};
use crate::words::{Word, t, word};
use leptos::prelude::*;

/// Words of the trade, and what they mean: their keys.
const WORDS: [(Word, Word); 14] = [
    (word!("word.list"), word!("word.list_is")),
    (word!("word.loll"), word!("word.loll_is")),
    (word!("word.trim"), word!("word.trim_is")),
    (word!("word.waterplane"), word!("word.waterplane_is")),
    (word!("word.mark"), word!("word.mark_is")),
    (word!("word.gm"), word!("word.gm_is")),
    (word!("word.free_surface"), word!("word.free_surface_is")),
    (word!("word.water_trapped"), word!("word.water_trapped_is")),
    (word!("word.lean"), word!("word.lean_is")),
    (word!("word.draught"), word!("word.draught_is")),
    (word!("word.g"), word!("word.g_is")),
    (word!("word.reserve"), word!("word.reserve_is")),
    (word!("word.weight_under"), word!("word.weight_under_is")),
    (word!("word.spread"), word!("word.spread_is")),
];

/// Cautions for work at the bench and at the water: their keys.
const CAUTIONS: [Word; 6] = [
    word!("care.lead"),
    word!("care.lithium"),
    word!("care.mains"),
    word!("care.water"),
    word!("care.lifting"),
    word!("care.cutting"),
];

/// The words explained, and the cautions; both folded away.
#[component]
pub(crate) fn More() -> Node {
    let words = WORDS
        .into_iter()
        .map(|(word, meaning)| view! { <div><dt>{t!(word)}</dt><dd>{t!(meaning)}</dd></div> })
        .collect_node();
    let cautions = CAUTIONS.into_iter().map(|line| view! { <li>{t!(line)}</li> }).collect_node();
    view! {
        <details class="more">
            <summary>{t!("more.what_words_mean")}</summary>
            <dl>{words}</dl>
        </details>
        <details class="more" data-testid="cautions">
            <summary>{t!("more.take_care")}</summary>
            <ul>{cautions}</ul>
        </details>
    }
}
