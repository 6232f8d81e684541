//! The app: mounts the screens over what was kept.

#![allow(unreachable_pub, reason = "misfires on components that are pub(crate)")]

mod device;
mod signal;
mod state;
mod ui;
mod words;

use wasm_bindgen_futures::spawn_local;

fn main() {
    console_error_panic_hook::set_once();
    spawn_local(async {
        let loaded = state::load_kept().await;
        ui::show(loaded);
        device::theme::say_ready();
    });
}
