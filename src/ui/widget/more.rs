//! What is one tap away on every working screen: the words explained, and the cautions.

use leptos::prelude::*;

/// Words of the trade, in plain ones.
const WORDS: [(&str, &str); 14] = [
    ("List", "A steady lean to one side because weight is off the centre line."),
    (
        "Loll",
        "A steady lean because the boat is top-heavy. It will lean to either side. Lower weight; never shift it sideways.",
    ),
    ("Trim", "How far the bow or the stern is down."),
    (
        "Waterplane",
        "The slice of the boat at the water surface. The larger it is, the less a weight sinks the boat.",
    ),
    ("Mark", "A point on the hull where the water should be."),
    (
        "GM",
        "How stiff the boat is: how far the point about which the boat swings (the metacentre) lies above the centre of gravity. More is stiffer, less than zero falls over.",
    ),
    (
        "Free surface",
        "Water in a half-full tank runs to the low side and takes stability away. A bulkhead lengthwise leaves a quarter of that.",
    ),
    (
        "Water trapped",
        "Water in a flooded hull that has not run out yet when the boat comes up: weight, high up.",
    ),
    ("Lean", "List or loll: the boat lies over to one side."),
    ("Draught", "How deep the keel line lies under the surface."),
    ("G", "The centre of gravity: where all the weight acts."),
    ("Reserve of buoyancy", "What could still be put aboard before the boat goes under."),
    (
        "Weight under water",
        "Held just under: heavy is what a spring scale shows; light is what must be put on until it sinks.",
    ),
    (
        "±",
        "How far the figure may be off, one standard deviation: two times in three it is nearer.",
    ),
];

/// Cautions for work at the bench and at the water.
const CAUTIONS: [&str; 6] = [
    "Lead: keep dust and fumes off, wash your hands before you eat, keep it from children. Melting and sanding need protection: follow local rules.",
    "Lithium batteries: never charge, or use again, a pack that got wet, swollen or pierced. Charge away from the water, watched, as the maker says. Open a sealed hull before charging.",
    "Mains: nothing that hangs on it beside a pool. Local wiring rules apply.",
    "Water: do not go in after a boat, and do not work alone at deep or cold water. Use a line or a pole.",
    "Lifting: let a flooded boat drain first.",
    "Cutting metal, adhesives: protect eyes and hands, fresh air, the maker's instructions.",
];

/// The words explained, and the cautions; both folded away.
#[component]
pub(crate) fn More() -> impl IntoView {
    let words = WORDS
        .into_iter()
        .map(|(word, meaning)| view! { <div><dt>{word}</dt><dd>{meaning}</dd></div> })
        .collect_view();
    let cautions = CAUTIONS.into_iter().map(|line| view! { <li>{line}</li> }).collect_view();
    view! {
        <details class="more">
            <summary>"What the words mean"</summary>
            <dl>{words}</dl>
        </details>
        <details class="more" data-testid="cautions">
            <summary>"! Lead, batteries, mains, water: take care"</summary>
            <ul>{cautions}</ul>
        </details>
    }
}
