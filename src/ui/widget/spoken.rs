//! What a screen reader says when the answer has changed: once, when typing pauses, and shortly.

use crate::signal::{Memo, RwSignal, StoredValue};
use crate::ui::node::{Node, view};
use leptos::leptos_dom::helpers::TimeoutHandle;
use leptos::prelude::*;
use std::time::Duration;

/// How long nothing changes before it is said.
const PAUSE: Duration = Duration::from_millis(1200);

/// Says words some time after they have changed; what stands there from the start is not said.
#[component]
pub(crate) fn Spoken(
    /// One short sentence.
    #[prop(into)]
    words: Memo<String>,
) -> Node {
    let said = said_later(words);
    view! { <p class="unseen" role="status" data-testid="spoken">{said}</p> }
}

/// The same for what must be heard at once, whatever is being said.
#[component]
pub(crate) fn SpokenAlarm(
    /// What has happened, and what to do.
    #[prop(into)]
    words: Memo<String>,
) -> Node {
    let said = said_later(words);
    view! { <p class="unseen" role="alert" data-testid="spoken-alarm">{said}</p> }
}

/// Words some time after they have changed: a figure that is half typed says nothing.
fn said_later(words: Memo<String>) -> RwSignal<String> {
    let said = RwSignal::new(String::new());
    let waiting = StoredValue::new(None::<TimeoutHandle>);
    let stop = move || {
        if let Some(handle) = waiting.try_update_value(Option::take).flatten() {
            handle.clear();
        }
    };
    Effect::new(move |before: Option<String>| {
        let now = words.get();
        if before.is_some_and(|before| before != now) {
            stop();
            let text = now.clone();
            let say = move || {
                let _gone = said.try_set(text);
            };
            waiting.set_value(set_timeout_with_handle(say, PAUSE).ok());
        }
        now
    });
    on_cleanup(stop);
    said
}
