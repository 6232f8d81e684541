//! The time of day, from the browser.

/// Now, ISO 8601 in UTC.
pub(crate) fn now_iso() -> String {
    js_sys::Date::new_0().to_iso_string().into()
}

/// Milliseconds since 1970: the stuff that identities are made of.
pub(crate) fn now_ms() -> f64 {
    js_sys::Date::now()
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
