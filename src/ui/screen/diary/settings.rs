//! How the app looks, speaks and measures.

use super::Head;
use crate::device::motion::focus_named;
use crate::state::Desk;
use crate::ui::memo::memo;
use crate::ui::widget::{Choice, Chosen};
use leptos::prelude::*;
use trimwright::diary::{DecimalMark, Hand, LengthUnit, MassUnit, Settings};

/// One thing to choose: its name, its name for tests, its value.
type Way<T> = (&'static str, &'static str, T);

const LENGTHS: [Way<LengthUnit>; 2] = [
    ("Millimetres", "length-mm", LengthUnit::Millimetre),
    ("Inches", "length-in", LengthUnit::Inch),
];
const MASSES: [Way<MassUnit>; 2] =
    [("Grams", "mass-g", MassUnit::Gram), ("Ounces", "mass-oz", MassUnit::Ounce)];
const DECIMALS: [Way<DecimalMark>; 3] = [
    ("As the language", "decimal-language", DecimalMark::OfLanguage),
    ("1.5", "decimal-point", DecimalMark::Point),
    ("1,5", "decimal-comma", DecimalMark::Comma),
];
const HANDS: [Way<Hand>; 2] =
    [("Left", "hand-left", Hand::Left), ("Right", "hand-right", Hand::Right)];
const TEXTS: [Way<bool>; 2] = [("Usual", "text-usual", false), ("Large", "text-large", true)];
/// Themes by what they are for.
const THEMES: [Way<&str>; 4] = [
    ("As the phone", "theme-phone", ""),
    ("Paper", "theme-paper", "paper"),
    ("Night", "theme-night", "night"),
    ("Sun", "theme-sun", "sun"),
];

/// The page of settings.
#[component]
pub(super) fn SettingsPage() -> impl IntoView {
    view! {
        <main class="screen diary settings">
            <Head title=Signal::stored("Settings".to_owned()) />
            {ways("Lengths", &LENGTHS, |s| s.length, |s, length| s.length = length)}
            {ways("Masses", &MASSES, |s| s.mass, |s, mass| s.mass = mass)}
            {ways("Decimals", &DECIMALS, |s| s.decimal, |s, mark| s.decimal = mark)}
            {ways("Hand that holds the phone", &HANDS, |s| s.hand, |s, hand| s.hand = hand)}
            {ways("Text", &TEXTS, |s| s.large_text, |s, large| s.large_text = large)}
            {ways("Colours", &THEMES, theme, |s, theme| theme.clone_into(&mut s.theme))}
        </main>
    }
}

fn theme(settings: &Settings) -> &'static str {
    THEMES.iter().find(|(.., theme)| *theme == settings.theme).map_or("", |(.., theme)| theme)
}

/// A row of buttons for one setting.
fn ways<T: Copy + PartialEq + Send + Sync + 'static>(
    label: &'static str,
    ways: &'static [Way<T>],
    read: fn(&Settings) -> T,
    write: fn(&mut Settings, T),
) -> impl IntoView {
    let desk = expect_context::<Desk>();
    let options = ways
        .iter()
        .map(|(name, testid, _)| Chosen { name: (*name).to_owned(), testid: (*testid).to_owned() })
        .collect();
    let now = memo(move || {
        let chosen = desk.diary.with(|d| read(&d.settings));
        ways.iter().position(|(.., way)| *way == chosen)
    });
    let choose = move |k: usize| {
        if let Some((_, testid, way)) = ways.get(k) {
            desk.choose(|settings| write(settings, *way));
            // The view may have been made anew: what was tapped keeps the focus.
            request_animation_frame(|| focus_named(testid));
        }
    };
    view! {
        <section>
            <p class="legend" aria-hidden="true">
                {label}
            </p>
            <Choice label options now choose />
        </section>
    }
}
