//! The frame around the screens: the places to go, notices, the look, the way of speaking.

use super::screen::{BoatScreen, ChecksScreen, DiaryScreen, DiveScreen, PoolScreen};
use super::widget::Notices;
use crate::device::history::show_title;
use crate::device::language::show_language;
use crate::device::motion::{next_field, to_top};
use crate::device::theme::show_look;
use crate::device::update::AppUpdate;
use crate::signal::memo;
use crate::state::{Derived, Desk, Loaded, Screen};
use crate::ui::node::{IntoNode, Node, view};
use crate::ui::title::page_title;
use crate::words::speech::speak;
use crate::words::t;
use leptos::prelude::*;
use trimwright::diary::{Hand, Settings};

/// The whole app.
#[component]
pub(crate) fn App(
    /// What was kept.
    loaded: Loaded,
) -> Node {
    let desk = Desk::new(loaded);
    provide_context(desk);
    desk.keep_changes();
    desk.want_words();
    desk.mind_the_store();
    desk.mind_the_time();
    desk.keep_way_back();
    let look = memo(move || desk.diary.with(|d| look(&d.settings)));
    Effect::new(move |_| look.with(|look| show_look(look.each_ref().map(String::as_str))));
    let update = AppUpdate::start();
    let Derived { language, units, .. } = desk.derived;
    Effect::new(move |_| show_language(language.get().code()));
    let title = memo(move || {
        language.track();
        page_title(desk)
    });
    Effect::new(move |_| title.with(|title| show_title(title)));
    // Words about figures are made once, where they stand: with another way of speaking the whole view
    // is made anew.
    let screens = move || {
        language.track();
        speak(units.get());
        view! { <Screens update /> }
    };
    screens.into_node()
}

/// Theme, hand and size of text, by the names that the style sheets know; nothing for what is usual.
fn look(settings: &Settings) -> [String; 3] {
    let hand = if settings.hand == Hand::Left { "left" } else { "" };
    let text = if settings.large_text { "large" } else { "" };
    [settings.theme.as_str(), hand, text].map(str::to_owned)
}

/// The screens, and the ways to them.
#[component]
fn Screens(
    /// What is known of the app's own version.
    update: AppUpdate,
) -> Node {
    let desk = expect_context::<Desk>();
    let screen = desk.screen;
    view! {
        <div class="app" on:keydown=next_field>
            <Notices update />
            {move || {
                let here = screen.get();
                // A notice belongs to the screen where it arose; what it tells can still be taken back.
                on_cleanup(move || {
                    if screen.try_get_untracked() != Some(here) {
                        let _gone = desk.message.try_set(None);
                    }
                });
                match here {
                    Screen::Pool => view! { <PoolScreen /> },
                    Screen::Boat => view! { <BoatScreen /> },
                    Screen::Dive => view! { <DiveScreen /> },
                    Screen::Checks => view! { <ChecksScreen /> },
                    Screen::Diary => view! { <DiaryScreen update /> },
                }
            }}
            <nav class="places" aria-label=t!("place.all")>
                <Go to=Screen::Pool name=t!("place.pool") testid="go-pool" />
                <Go to=Screen::Boat name=t!("place.boat") testid="go-boat" />
                <Go to=Screen::Dive name=t!("place.dive") testid="go-dive" />
                <Go to=Screen::Checks name=t!("place.checks") testid="go-checks" />
                <Go to=Screen::Diary name=t!("place.diary") testid="go-diary" />
            </nav>
        </div>
    }
}

/// One of the places to go.
#[component]
fn Go(
    /// Where it leads.
    to: Screen,
    /// What it is called.
    name: String,
    /// Its name for tests.
    testid: &'static str,
) -> Node {
    let desk = expect_context::<Desk>();
    let here = move || desk.screen.get() == to;
    view! {
        <button
            class="place"
            data-testid=testid
            aria-current=move || here().then_some("page")
            on:click=move |_| {
                desk.go(to);
                to_top();
            }
        >
            {name}
        </button>
    }
}
