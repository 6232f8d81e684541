//! A session on paper, for the workshop: only there when it is printed.

use super::entry::{clock_time, entry_lines};
use crate::device::clock::local_words;
use crate::state::{Desk, MadeParts};
use crate::ui::memo::memo;
use crate::ui::text;
use leptos::prelude::*;
use leptos::task::spawn_local;
use trimwright::boat::Part;
use trimwright::diary::{BoatRecord, EntryRecord, SessionRecord};

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
    let name = memo(move || {
        session.with(|s| {
            let s = s.as_ref()?;
            let last = s.readings().next_back().map(|(_, r)| r.state.clone());
            last.filter(|name| !name.is_empty()).or_else(|| Some(s.state.clone()))
        })
    });
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
                    ("Date", local_words(&s.started_at)),
                    ("Place", s.place.clone()),
                    ("Water", s.water.clone()),
                    ("Weather", s.weather.clone()),
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
            <h1>{move || boat.get()} " · session sheet"</h1>
            <dl>{facts}</dl>
            <h2>"What happened"</h2>
            <table>
                <thead><tr><th>"Time"</th><th>"What"</th></tr></thead>
                <tbody>{entries}</tbody>
            </table>
            {move || state.get().and_then(|record| weights(&record))}
            <h2>"For next time"</h2>
            <p class="lines"></p>
            <p class="quiet">
                "Trimwright. Figures after ± are one standard deviation. Lead, lithium cells, mains and open water: local rules and the makers' instructions come first."
            </p>
        </section>
    }
}

/// The weights aboard, from the boat's own datum.
fn weights(record: &BoatRecord) -> Option<impl IntoView + use<>> {
    let made = MadeParts::of(Some(record), None);
    let boat = if record.quick.is_some() { record.boat().ok()? } else { made.boat(record).ok()? };
    let datum = made.datum(record);
    let row = |part: &Part| {
        let at = part.centre;
        view! {
            <tr>
                <td>{part.name.clone()}</td>
                <td class="number">{text::whole_grams(part.mass)}</td>
                <td>{text::along(at.x(), datum)}</td>
                <td>{text::across(at.y())}</td>
                <td class="number">{text::millimetres(at.z())}</td>
            </tr>
        }
    };
    let rows = boat.parts_aboard().map(row).collect_view();
    let all: f64 = boat.parts_aboard().map(|p| p.mass).sum();
    Some(view! {
        <h2>"Weights aboard"</h2>
        <table>
            <thead>
                <tr>
                    <th>"Part"</th>
                    <th>"Mass"</th>
                    <th>"Along"</th>
                    <th>"Across"</th>
                    <th>"Above the keel"</th>
                </tr>
            </thead>
            <tbody>{rows}</tbody>
            <tfoot>
                <tr>
                    <td>"All"</td>
                    <td class="number">{text::whole_grams(all)}</td>
                </tr>
            </tfoot>
        </table>
    })
}
