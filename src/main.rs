//! The app: mounts the screens.
use leptos::prelude::*;

fn main() {
    console_error_panic_hook::set_once();
    mount_to_body(|| view! { <p>"Trimwright"</p> });
}
