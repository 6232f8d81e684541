//! The time of day, from the browser, and turns taken with the screen.

use std::cell::Cell;
use std::pin::Pin;
use std::rc::Rc;

/// Now, ISO 8601 in UTC.
pub(crate) fn now_iso() -> String {
    js_sys::Date::new_0().to_iso_string().into()
}

/// Milliseconds since 1970: the stuff that identities are made of.
pub(crate) fn now_ms() -> f64 {
    js_sys::Date::now()
}

/// Milliseconds since 1970 of an ISO time; not a number for a text that is none.
pub(crate) fn ms_of(iso: &str) -> f64 {
    js_sys::Date::new(&iso.into()).get_time()
}

/// Gives the screen its turn: goes on when the browser has drawn and taken what was tapped.
pub(crate) async fn next_turn() {
    let turn = js_sys::Promise::new(&mut |go, _| {
        // If the timer is refused the wait would never end: go on at once then.
        if leptos::prelude::window().set_timeout_with_callback(&go).is_err() {
            let _went_on = go.call0(&wasm_bindgen::JsValue::NULL);
        }
    });
    let _done = wasm_bindgen_futures::JsFuture::from(turn).await;
}

/// The longest that is calculated before the screen has its turn, milliseconds: less than a frame.
const TURN: f64 = 12.0;

/// Long work that gives the screen its turn every few milliseconds.
#[derive(Debug, Clone)]
pub(crate) struct Turns {
    /// When it last went on, milliseconds since 1970.
    since: Rc<Cell<f64>>,
}

impl Turns {
    /// Work that begins now.
    pub(crate) fn begin() -> Self {
        Self { since: Rc::new(Cell::new(now_ms())) }
    }

    /// The screen's turn, if it is due: what the core's long work asks for.
    pub(crate) fn due(&self) -> Option<Pin<Box<dyn Future<Output = ()>>>> {
        let since = Rc::clone(&self.since);
        (now_ms() - since.get() > TURN).then(|| {
            Box::pin(async move {
                next_turn().await;
                since.set(now_ms());
            }) as Pin<Box<dyn Future<Output = ()>>>
        })
    }

    /// Gives the screen its turn if it is due.
    pub(crate) async fn rest(&self) {
        if let Some(turn) = self.due() {
            turn.await;
        }
    }
}

/// An ISO time as people of this place write it, to the minute.
pub(crate) fn local_words(iso: &str) -> String {
    let date = js_sys::Date::new(&iso.into());
    if date.get_time().is_nan() {
        return iso.to_owned();
    }
    let pad = |n: u32| format!("{n:02}");
    format!(
        "{}-{}-{} {}:{}",
        date.get_full_year(),
        pad(date.get_month() + 1),
        pad(date.get_date()),
        pad(date.get_hours()),
        pad(date.get_minutes())
    )
}

/// The day and the time of day of an ISO time, as [`local_words`] writes them; for a text that is no time
/// all of it, and nothing.
pub(crate) fn local_day_and_time(iso: &str) -> (String, String) {
    let words = local_words(iso);
    let halves = words.split_once(' ').map(|(day, time)| (day.to_owned(), time.to_owned()));
    halves.unwrap_or((words, String::new()))
}

/// A whole number below `below`, by chance.
pub(crate) fn chance(below: u32) -> u32 {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "at least zero and below a whole number of 32 bits"
    )]
    {
        (js_sys::Math::random() * f64::from(below)) as u32
    }
}
