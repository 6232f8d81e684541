//! What is seen: screens, the widgets they share, and results put into words.

mod app;
mod cure_text;
mod difference_text;
mod dive_text;
mod figures;
mod memo;
mod screen;
pub(crate) mod text;
mod widget;

pub(crate) use app::App;
