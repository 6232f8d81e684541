//! What could not be read: shown, to be saved as a file, and removed only by hand.

use crate::device::file;
use crate::state::{Apart, Desk};
use crate::ui::node::{CollectNode, Node, view};
use crate::words::{self, t};
use leptos::prelude::*;

/// Everything that could not be read.
#[component]
pub(super) fn SetApart() -> Node {
    let desk = expect_context::<Desk>();
    view! {
        {move || {
            let all = desk.apart.get();
            (!all.is_empty())
                .then(|| {
                    view! {
                        <section class="apart" data-testid="apart">
                            <h2>{t!("apart.title")}</h2>
                            <p class="quiet">
                                {t!("apart.untouched")}
                            </p>
                            <ul class="rows">
                                {all
                                    .into_iter()
                                    .map(|apart| view! { <li><OneApart apart /></li> })
                                    .collect_node()}
                            </ul>
                        </section>
                    }
                })
        }}
    }
}

/// One text that could not be read. Of a row's height, since sessions in the list are among them.
#[component]
pub(super) fn OneApart(
    /// The text, where it is, and why.
    apart: Apart,
) -> Node {
    let desk = expect_context::<Desk>();
    let (what, why) = (apart.key.words.join(" "), words::diary::unread(&apart.why));
    let text = apart.text.clone();
    let save = move |_| {
        // Failing to offer a file leaves the text where it is.
        let _offered = file::save_text("trimwright-set-apart.txt", &text);
    };
    view! {
        <div class="apart-row">
            <p title=why.clone()>"✕ " {what} ": " {why.clone()}</p>
            <div>
                <button class="quiet-button" data-testid="apart-save" on:click=save>
                    {t!("apart.save")}
                </button>
                <button
                    class="quiet-button"
                    data-testid="apart-remove"
                    on:click=move |_| desk.remove_apart(apart.clone())
                >
                    {t!("diary.remove")}
                </button>
            </div>
        </div>
    }
}
