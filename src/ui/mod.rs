//! What is seen: screens, the widgets they share, and results put into words.

mod advice_text;
mod app;
mod ballast_text;
mod both_text;
mod change_text;
mod cure_text;
mod difference_text;
mod dive_text;
mod figures;
mod id;
mod markup;
mod node;
mod plan_text;
mod readout;
mod row_text;
mod screen;
pub(crate) mod text;
mod title;
mod widget;

use crate::state::Loaded;
use app::App;
use node::view;

/// Shows the app over what was kept.
pub(crate) fn show(loaded: Loaded) {
    node::show(move || view! { <App loaded /> });
}
