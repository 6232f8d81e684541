//! Whether a part displaces: what its form says of it, and how it is told otherwise.

use super::field::{FormChoice, of_form};
use crate::signal::memo;
use crate::state::Desk;
use crate::ui::node::{CollectNode, Node, view};
use crate::ui::row_text;
use crate::words::{Word, t, word};
use leptos::prelude::*;
use trimwright::boat::{Displacer, SharedVolume};

/// What can be told of whether it displaces.
const TOLD: [(&str, Word); 3] = [
    ("by-shape", word!("inside.by_shape")),
    ("yes", word!("inside.yes")),
    ("no", word!("inside.no")),
];

/// Whether it displaces, where that is not plain, and the way to tell it otherwise.
#[component]
pub(crate) fn Displaces() -> Node {
    let desk = expect_context::<Desk>();
    let line = of_form(desk, |f| f.of.line());
    let hand = move || desk.derived.boat.get().and_then(Result::ok);
    let words = memo(move || {
        let (hand, line) = (hand()?, line.get()?);
        row_text::displaces_words(&hand.boat, hand.model.nesting(), line)
    });
    let twice = memo(move || {
        let Some((hand, line)) = hand().zip(line.get()) else { return Vec::new() };
        let of = |twice: &&SharedVolume| twice.of.contains(&Displacer::Part(line));
        let twice = hand.model.nesting().twice().iter().filter(of);
        twice.map(|twice| row_text::twice_words(&hand.boat, twice)).collect::<Vec<_>>()
    });
    let told = of_form(desk, |f| f.texts.has("displaces"));
    let plain = move || words.with(Option::is_none) && twice.with(Vec::is_empty) && !told.get();
    let warning = |words: String| {
        view! { <p class="after warn" data-testid="form-twice">"! " {words}</p> }
    };
    view! {
        <div class="field" hidden=plain>
            <p class="note" data-testid="form-displaces-words">
                {words}
            </p>
            {move || twice.get().into_iter().map(warning).collect_node()}
            <p class="legend">{t!("inside.displaces")}</p>
            <FormChoice key="displaces" label=t!("inside.displaces") options=&TOLD />
        </div>
    }
}
