//! The app: mounts the screens over what was kept.

#![allow(unreachable_pub, reason = "misfires on components that are pub(crate)")]

mod device;
mod state;
mod ui;

use leptos::prelude::*;
use state::Session;

fn main() {
    console_error_panic_hook::set_once();
    let (diary, kept_apart, problem) = state::load();
    mount_to_body(move || {
        let session = Session::new(diary.clone(), kept_apart.clone(), problem.clone());
        view! { <ui::App session /> }
    });
    device::theme::say_ready();
}
