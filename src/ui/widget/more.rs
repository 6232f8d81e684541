//! What is one tap away on every working screen: the words explained, and the cautions.

use crate::ui::node::{CollectNode, Node, view};
use crate::words::t;
use leptos::prelude::*;

/// Words of the trade, and what they mean: their keys.
const WORDS: [(&str, &str); 14] = [
    ("word.list", "word.list_is"),
    ("word.loll", "word.loll_is"),
    ("word.trim", "word.trim_is"),
    ("word.waterplane", "word.waterplane_is"),
    ("word.mark", "word.mark_is"),
    ("word.gm", "word.gm_is"),
    ("word.free_surface", "word.free_surface_is"),
    ("word.water_trapped", "word.water_trapped_is"),
    ("word.lean", "word.lean_is"),
    ("word.draught", "word.draught_is"),
    ("word.g", "word.g_is"),
    ("word.reserve", "word.reserve_is"),
    ("word.weight_under", "word.weight_under_is"),
    ("word.spread", "word.spread_is"),
];

/// Cautions for work at the bench and at the water: their keys.
const CAUTIONS: [&str; 6] =
    ["care.lead", "care.lithium", "care.mains", "care.water", "care.lifting", "care.cutting"];

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
