//! An empty phone: three ways to begin.

use crate::state::{Desk, Screen};
use leptos::prelude::*;

/// What is shown while there is no boat.
#[component]
pub(crate) fn Welcome() -> impl IntoView {
    let desk = expect_context::<Desk>();
    view! {
        <main class="screen welcome">
            <h1>"Trimwright"</h1>
            <p class="lead">
                "Read where the water lies and how far the boat leans. Get the weight to add, and where."
            </p>
            <button class="main" data-testid="start-demo" on:click=move |_| desk.start_demo()>
                "Show me with a demo boat"
            </button>
            <button class="main second" data-testid="start-quick" on:click=move |_| desk.open_quick_form()>
                "My own boat: six numbers"
            </button>
            <button
                class="main second"
                data-testid="start-bench"
                on:click=move |_| {
                    desk.screen.set(Screen::Boat);
                    desk.open_new_boat();
                }
            >
                "My own boat: part by part"
            </button>
            <p class="quiet">"Works without a network. Everything stays on this phone."</p>
        </main>
    }
}
