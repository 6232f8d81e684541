//! An empty phone: three ways to begin.

use crate::state::{Screen, Session};
use leptos::prelude::*;

/// What is shown while there is no boat.
#[component]
pub(crate) fn Welcome() -> impl IntoView {
    let session = expect_context::<Session>();
    view! {
        <main class="screen welcome">
            <h1>"Trimwright"</h1>
            <p class="lead">
                "Read where the water lies and how far the boat leans. Get the weight to add, and where."
            </p>
            <button class="main" data-testid="start-demo" on:click=move |_| session.start_demo()>
                "Show me with a demo boat"
            </button>
            <button class="main second" data-testid="start-quick" on:click=move |_| session.open_quick_form()>
                "My own boat: six numbers"
            </button>
            <button
                class="main second"
                data-testid="start-bench"
                on:click=move |_| {
                    session.screen.set(Screen::Boat);
                    session.open_new_boat();
                }
            >
                "My own boat: part by part"
            </button>
            <p class="quiet">"Works without a network. Everything stays on this phone."</p>
        </main>
    }
}
