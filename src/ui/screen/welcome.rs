//! An empty phone: three ways to begin, and a file from another one.

use super::import::ImportFile;
use crate::state::{Desk, Screen};
use crate::ui::node::{Node, view};
use crate::words::t;
use leptos::prelude::*;

/// What is shown while there is no boat.
#[component]
pub(crate) fn Welcome() -> Node {
    let desk = expect_context::<Desk>();
    view! {
        <main class="screen welcome">
            <h1>"Trimwright"</h1>
            <p class="lead">
                {t!("welcome.lead")}
            </p>
            <button class="main" data-testid="start-demo" on:click=move |_| desk.start_demo()>
                {t!("welcome.demo")}
            </button>
            <button class="main second" data-testid="start-quick" on:click=move |_| desk.open_quick_form()>
                {t!("welcome.six_numbers")}
            </button>
            <button
                class="main second"
                data-testid="start-bench"
                on:click=move |_| {
                    desk.go(Screen::Boat);
                    desk.open_new_boat();
                }
            >
                {t!("welcome.part_by_part")}
            </button>
            <ImportFile />
            <p class="message" role="status" data-testid="welcome-message">
                {move || desk.message.get().unwrap_or_default()}
            </p>
            <p class="quiet">{t!("welcome.offline")}</p>
        </main>
    }
}
