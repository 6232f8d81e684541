//! How much room the page has.

use crate::signal::{Memo, RwSignal};
use leptos::ev::resize;
use leptos::prelude::*;

/// Where the style sheets have two columns.
const TWO_COLUMNS: &str = "(min-width: 900px), (min-width: 700px) and (max-height: 599px)";

/// Whether the page has room for two columns, while the view is there.
pub(crate) fn two_columns() -> Memo<bool> {
    let resized = RwSignal::new(());
    let handle = window_event_listener(resize, move |_| resized.set(()));
    on_cleanup(move || handle.remove());
    Memo::new(move |_| {
        resized.track();
        window().match_media(TWO_COLUMNS).ok().flatten().is_some_and(|query| query.matches())
    })
}
