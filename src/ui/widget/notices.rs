//! What must be seen on every screen: a new version, a store that fails, records that could not be read.

use crate::device::storage::StorageProblem;
use crate::device::update::AppUpdate;
use crate::signal::RwSignal;
use crate::state::{Desk, Keeping};
use crate::ui::node::{Node, view};
use crate::words::t;
use leptos::prelude::*;
use leptos::task::spawn_local;

/// Notices above the screen.
#[component]
pub(crate) fn Notices(
    /// What is known of the app's own version.
    update: AppUpdate,
) -> Node {
    let desk = expect_context::<Desk>();
    let storage = move || {
        let why = desk.keeping.with(|k| match k {
            Keeping::Failed(why) => Some(why.clone()),
            Keeping::Kept | Keeping::Writing => None,
        })?;
        Some(match why {
            StorageProblem::Full => t!("keeping.full"),
            StorageProblem::Closed => t!("keeping.closed"),
            StorageProblem::Refused(name) => t!("keeping.refused", name = name),
        })
    };
    // Said here, for on this screen there may be no other place for it.
    let said = RwSignal::new(String::new());
    let export = move |_| {
        spawn_local(async move { said.set(desk.save_export().await) });
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
                                {t!("keeping.new_version")}
                                <button
                                    data-testid="update-apply"
                                    on:click=move |_| {
                                        spawn_local(async move {
                                            desk.until_written().await;
                                            update.apply();
                                        });
                                    }
                                >
                                    {t!("keeping.use_it")}
                                </button>
                            </p>
                        }
                    })
            }}
            {move || {
                storage()
                    .map(|words| {
                        view! {
                            <p class="notice bad" data-testid="not-kept">
                                "✕ "
                                {words}
                                " "
                                {move || said.get()}
                                <button data-testid="not-kept-export" on:click=export>
                                    {t!("files.export")}
                                </button>
                                <button data-testid="not-kept-again" on:click=move |_| desk.keep()>
                                    {t!("keeping.again")}
                                </button>
                            </p>
                        }
                    })
            }}
            {move || {
                desk.unloaded
                    .with(Option::is_some)
                    .then(|| {
                        view! {
                            <p class="notice bad" data-testid="not-loaded">
                                {t!("keeping.not_loaded")}
                                <button
                                    data-testid="load-again"
                                    on:click=move |_| spawn_local(desk.load_again())
                                >
                                    {t!("keeping.load_again")}
                                </button>
                            </p>
                        }
                    })
            }}
            {move || {
                let n = desk.apart.with(Vec::len);
                (n > 0)
                    .then(|| {
                        view! {
                            <p class="notice bad">
                                {t!("keeping.apart", count = n)}
                            </p>
                        }
                    })
            }}
        </div>
    }
}
