//! How the app looks, speaks and measures.

use super::Head;
use crate::device::motion::focus_named;
use crate::signal::{Memo, RwSignal, memo};
use crate::state::Desk;
use crate::ui::node::{Node, view};
use crate::ui::text;
use crate::ui::widget::{Choice, Chosen, NumberField};
use crate::words::speech::speech;
use crate::words::{self, Language, Word, t, word};
use leptos::prelude::*;
use trimwright::diary::{DecimalMark, Hand, LengthUnit, MassUnit, Settings};
use trimwright::reading::PHONE_MASS;
use trimwright::unit::{GRAM, read_number_within};

/// One thing to choose: the key of its name, its name for tests, its value.
type SettingChoice<T> = (Word, &'static str, T);

const LENGTHS: [SettingChoice<LengthUnit>; 2] = [
    (word!("settings.millimetres"), "length-mm", LengthUnit::Millimetre),
    (word!("settings.inches"), "length-in", LengthUnit::Inch),
];
const MASSES: [SettingChoice<MassUnit>; 2] = [
    (word!("settings.grams"), "mass-g", MassUnit::Gram),
    (word!("settings.ounces"), "mass-oz", MassUnit::Ounce),
];
const DECIMALS: [SettingChoice<DecimalMark>; 3] = [
    (word!("settings.decimal_of_language"), "decimal-language", DecimalMark::OfLanguage),
    (word!("settings.decimal_point"), "decimal-point", DecimalMark::Point),
    (word!("settings.decimal_comma"), "decimal-comma", DecimalMark::Comma),
];
const HANDS: [SettingChoice<Hand>; 2] = [
    (word!("settings.left"), "hand-left", Hand::Left),
    (word!("settings.right"), "hand-right", Hand::Right),
];
const TEXTS: [SettingChoice<bool>; 2] = [
    (word!("settings.text_usual"), "text-usual", false),
    (word!("settings.text_large"), "text-large", true),
];
/// A language is named in itself: who looks for it can read that.
const LANGUAGES: [SettingChoice<Option<Language>>; 3] = [
    (word!("settings.as_phone"), "language-phone", None),
    (word!("settings.english"), "language-en", Some(Language::English)),
    (word!("settings.german"), "language-de", Some(Language::German)),
];
/// Themes by what they are for.
const THEMES: [SettingChoice<&str>; 4] = [
    (word!("settings.as_phone"), "theme-phone", ""),
    (word!("settings.paper"), "theme-paper", "paper"),
    (word!("settings.night"), "theme-night", "night"),
    (word!("settings.sun"), "theme-sun", "sun"),
];

/// The page of settings.
#[component]
pub(super) fn SettingsPage() -> Node {
    view! {
        <main class="screen diary settings">
            <Head title=Memo::fixed(t!("settings.title")) />
            {ways(word!("settings.language"), &LANGUAGES, language, speak)}
            {ways(word!("settings.lengths"), &LENGTHS, |s| s.length, |s, length| s.length = length)}
            {ways(word!("settings.masses"), &MASSES, |s| s.mass, |s, mass| s.mass = mass)}
            {ways(word!("settings.decimals"), &DECIMALS, |s| s.decimal, |s, mark| s.decimal = mark)}
            {ways(word!("settings.hand"), &HANDS, |s| s.hand, |s, hand| s.hand = hand)}
            {ways(word!("settings.text"), &TEXTS, |s| s.large_text, |s, large| s.large_text = large)}
            <PhoneMass />
            {ways(word!("settings.colours"), &THEMES, theme, |s, theme| theme.clone_into(&mut s.theme))}
        </main>
    }
}

/// The heaviest that is taken for a phone, kg: a slip beyond it.
const HEAVIEST: f64 = 2.0;

/// What the phone weighs, for readings with the phone aboard. Empty: what phones usually do.
#[component]
fn PhoneMass() -> Node {
    let desk = expect_context::<Desk>();
    let unit = speech().mass_unit();
    let weighed = desk.diary.with_untracked(|d| d.settings.phone_kg);
    let typed = RwSignal::new(weighed.map_or_else(String::new, |mass| speech().typed(unit, mass)));
    let read = move |text: &str| match text.trim() {
        "" => Ok(None),
        text => read_number_within(text, unit.least(GRAM), unit.limit(HEAVIEST)).map(Some),
    };
    let change = move |text: String| {
        if let Ok(mass) = read(&text) {
            desk.choose(|settings| settings.phone_kg = mass.map(|mass| unit.si(mass)));
        }
        typed.set(text);
    };
    let problem =
        memo(move || typed.with(|text| read(text).err().map(|e| words::number::number(&e))));
    view! {
        <section>
            <NumberField
                label=t!("settings.phone_mass", usual = text::whole_grams(PHONE_MASS))
                testid="phone-mass"
                unit=unit.sign
                value=typed
                change
                problem
            />
        </section>
    }
}

fn theme(settings: &Settings) -> &'static str {
    THEMES.iter().find(|(.., theme)| *theme == settings.theme).map_or("", |(.., theme)| theme)
}

fn language(settings: &Settings) -> Option<Language> {
    Language::of_code(&settings.language)
}

fn speak(settings: &mut Settings, language: Option<Language>) {
    language.map_or("", Language::code).clone_into(&mut settings.language);
}

/// A row of buttons for one setting.
fn ways<T: Copy + PartialEq + Send + Sync + 'static>(
    key: Word,
    ways: &'static [SettingChoice<T>],
    read: fn(&Settings) -> T,
    write: fn(&mut Settings, T),
) -> Node {
    let desk = expect_context::<Desk>();
    let label = t!(key);
    let options = ways
        .iter()
        .map(|(name, testid, _)| Chosen { name: t!(*name), testid: (*testid).to_owned() })
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
                {label.clone()}
            </p>
            <Choice label options now choose />
        </section>
    }
}
