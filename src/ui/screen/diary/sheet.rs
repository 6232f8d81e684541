//! A session on paper, for the workshop: only there when it is printed.

use super::entry::{clock_time, entry_lines};
use crate::device::clock::local_words;
use crate::state::{Desk, MadeParts};
use crate::ui::memo::memo;
use crate::ui::text;
use crate::words::t;
use leptos::prelude::*;
use leptos::task::spawn_local;
use trimwright::diary::{BoatRecord, EntryRecord, SessionRecord};
use trimwright::frame::{Body, Position};

/// The sheet of a session.
#[component]
pub(super) fn Sheet(
    /// The session.
    session: Memo<Option<SessionRecord>>,
    /// The name of its boat.
    boat: Memo<String>,
) -> impl IntoView {
    let desk = expect_context::<Desk>();
    let state = RwSignal::new(None::<BoatRecord>);
    // The boat as it was last read, else as it was at the start.
    let name = memo(move || session.with(|s| Some(s.as_ref()?.last_state().to_owned())));
    Effect::new(move |_| {
        if let Some(name) = name.get() {
            spawn_local(async move {
                // A state that is gone leaves its table out.
                let found = desk.state(&name).await;
                state.try_set(found);
            });
        }
    });
    let facts = move || {
        session.with(|s| {
            s.as_ref().map(|s| {
                let facts = [
                    (t!("sheet.date"), local_words(&s.started_at)),
                    (t!("sheet.place"), s.place.clone()),
                    (t!("sheet.water"), s.water.clone()),
                    (t!("sheet.weather"), s.weather.clone()),
                ];
                let facts = facts.into_iter();
                facts
                    .map(|(name, value)| view! { <div><dt>{name}</dt><dd>{value}</dd></div> })
                    .collect_view()
            })
        })
    };
    let entries = move || {
        session.with(|s| {
            s.as_ref().map(|s| {
                let row = |entry: &EntryRecord| {
                    let mut lines = entry_lines(entry).into_iter();
                    let first = lines.next();
                    let rest = lines.map(|line| view! { <br />{line} }).collect_view();
                    view! {
                        <tr>
                            <td>{clock_time(&entry.at)}</td>
                            <td><strong>{first}</strong>{rest}</td>
                        </tr>
                    }
                };
                s.entries.iter().map(row).collect_view()
            })
        })
    };
    view! {
        <section class="session-sheet" aria-hidden="true">
            <h1>{move || t!("sheet.title", boat = boat.get())}</h1>
            <dl>{facts}</dl>
            <h2>{t!("sheet.what_happened")}</h2>
            <table>
                <thead><tr><th>{t!("sheet.time")}</th><th>{t!("compare.what")}</th></tr></thead>
                <tbody>{entries}</tbody>
            </table>
            {move || state.get().and_then(|record| weights(&record))}
            <footer>
                <h2>{t!("sheet.next_time")}</h2>
                <p class="lines"></p>
                <p class="quiet">{t!("sheet.foot")}</p>
            </footer>
        </section>
    }
}

/// The weights aboard, from the boat's own datum: the parts, and the tanks with nothing in them.
fn weights(record: &BoatRecord) -> Option<impl IntoView + use<>> {
    let made = MadeParts::of(Some(record), None);
    let boat = if record.quick.is_some() { record.boat().ok()? } else { made.boat(record).ok()? };
    let datum = made.datum(record);
    let row = |(name, mass, at): (&String, f64, Position<Body>)| {
        view! {
            <tr>
                <td>{name.clone()}</td>
                <td class="number">{text::whole_grams(mass)}</td>
                <td>{text::along(at.x(), datum)}</td>
                <td>{text::across(at.y())}</td>
                <td class="number">{text::millimetres(at.z())}</td>
            </tr>
        }
    };
    let parts = boat.parts_aboard().map(|p| (&p.name, p.mass, p.centre));
    let tanks = boat.tanks.iter().map(|t| (&t.name, t.empty_mass(), t.empty_centre()));
    let tanks = tanks.filter(|(_, mass, _)| *mass != 0.0);
    let rows = parts.chain(tanks).map(row).collect_view();
    let all = if boat.tanks.is_empty() { "sheet.all" } else { "compare.aboard" };
    Some(view! {
        <h2>{t!("sheet.weights")}</h2>
        <table>
            <thead>
                <tr>
                    <th>{t!("sheet.part")}</th>
                    <th>{t!("sheet.mass")}</th>
                    <th>{t!("form.along")}</th>
                    <th>{t!("form.across")}</th>
                    <th>{t!("sheet.above_keel")}</th>
                </tr>
            </thead>
            <tbody>{rows}</tbody>
            <tfoot>
                <tr>
                    <td>{t!(all)}</td>
                    <td class="number">{text::whole_grams(boat.dry_mass())}</td>
                </tr>
            </tfoot>
        </table>
    })
}
