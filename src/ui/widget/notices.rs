//! What must be seen on every screen: a new version, a store that fails, a text set aside.

use crate::device::file;
use crate::device::storage::StorageProblem;
use crate::device::update::AppUpdate;
use crate::state::Desk;
use leptos::prelude::*;

/// Notices above the screen.
#[component]
pub(crate) fn Notices(
    /// What is known of the app's own version.
    update: AppUpdate,
) -> impl IntoView {
    let desk = expect_context::<Desk>();
    let storage = move || {
        desk.storage_problem.get().map(|problem| match problem {
            StorageProblem::Full => {
                "The phone's store for this page is full: nothing more is kept. Export on the Diary screen, then remove old readings."
            }
            StorageProblem::Closed => {
                "This browser keeps nothing for this page (a private window?). Export on the Diary screen before you close it."
            }
        })
    };
    let save_aside = move |_| {
        if let Some(apart) = desk.kept_apart.get_untracked() {
            // Failing to offer a file leaves the notice, and the text, where they are.
            let _offered = file::save_as("trimwright-set-aside.txt", "text/plain", &apart.text);
        }
    };
    view! {
        <div class="notices" role="status">
            {move || {
                update
                    .waiting
                    .get()
                    .then(|| {
                        view! {
                            <p class="notice">
                                "A new version is ready."
                                <button
                                    data-testid="update-apply"
                                    on:click=move |_| update.apply()
                                >
                                    "Use it now"
                                </button>
                            </p>
                        }
                    })
            }}
            {move || storage().map(|words| view! { <p class="notice bad">"✕ " {words}</p> })}
            {move || {
                desk
                    .kept_apart
                    .get()
                    .map(|apart| {
                        view! {
                            <p class="notice bad">
                                "✕ What was kept here could not be read ("
                                {apart.why}
                                "). It is set aside untouched."
                                <button on:click=save_aside>"Save it as a file"</button>
                            </p>
                        }
                    })
            }}
        </div>
    }
}
