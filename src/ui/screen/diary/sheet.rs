//! A session on paper, for the workshop: only there when it is printed.

use super::entry::{clock_time, entry_lines};
use crate::device::clock::{local_words, next_turn};
use crate::signal::{Memo, RwSignal, memo};
use crate::state::{BoatInHand, Desk};
use crate::ui::node::{CollectNode, Node, view};
use crate::ui::screen::weights::weights;
use crate::ui::widget::{Drawing, Scene, drawn_of};
use crate::words::t;
use leptos::prelude::*;
use leptos::task::spawn_local;
use std::sync::Arc;
use trimwright::ballast::forecast;
use trimwright::diary::{BoatRecord, EntryRecord, SessionRecord};
use trimwright::float::Basin;
use trimwright::reading::Condition;

/// The sheet of a session.
#[component]
pub(super) fn Sheet(
    /// The session.
    session: Memo<Option<SessionRecord>>,
    /// The name of its boat.
    boat: Memo<String>,
) -> Node {
    let desk = expect_context::<Desk>();
    let state = RwSignal::new(None::<(BoatRecord, Arc<BoatInHand>)>);
    // The boat as it was last read, else as it was at the start.
    let name = memo(move || session.with(|s| Some(s.as_ref()?.last_state().to_owned())));
    Effect::new(move |_| {
        if let Some(name) = name.get() {
            spawn_local(async move {
                // A state that is gone, or no boat, leaves its drawing and its table out.
                let found = desk.state(&name).await;
                // The page is drawn first: boats with large meshes take their time.
                next_turn().await;
                let found = found.and_then(|record| {
                    let hand = BoatInHand::of(&record)?;
                    Some((record, hand))
                });
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
                    .collect_node()
            })
        })
    };
    let entries = move || {
        session.with(|s| {
            s.as_ref().map(|s| {
                let row = |entry: &EntryRecord| {
                    let mut lines = entry_lines(entry).into_iter();
                    let first = lines.next();
                    let rest = lines.map(|line| view! { <br />{line} }).collect_node();
                    view! {
                        <tr>
                            <td>{clock_time(&entry.at)}</td>
                            <td><strong>{first}</strong>{rest}</td>
                        </tr>
                    }
                };
                s.entries.iter().map(row).collect_node()
            })
        })
    };
    view! {
        <section class="paper" aria-hidden="true">
            <h1>{move || t!("sheet.title", boat = boat.get())}</h1>
            <dl>{facts}</dl>
            {move || state.get().map(|(_, hand)| drawing(desk, hand))}
            <h2>{t!("sheet.what_happened")}</h2>
            <table>
                <thead><tr><th>{t!("sheet.time")}</th><th>{t!("compare.what")}</th></tr></thead>
                <tbody>{entries}</tbody>
            </table>
            {move || {
                state
                    .with(|s| {
                        s.as_ref()
                            .map(|(record, hand)| {
                                let table = weights(record, hand);
                                view! {
                                    <h2>{t!("sheet.weights")}</h2>
                                    <table inner_html={move || table.clone()} />
                                }
                            })
                    })
            }}
            <footer>
                <h2>{t!("sheet.next_time")}</h2>
                <p class="lines"></p>
                <p class="lines"></p>
                <p class="lines"></p>
                <p class="quiet">{t!("sheet.foot")}</p>
            </footer>
        </section>
    }
}

/// The boat as it was described, afloat.
fn drawing(desk: Desk, hand: Arc<BoatInHand>) -> Option<Node> {
    let basin = Basin::deep(desk.derived.density.get_untracked());
    let lies = forecast(&hand.model, basin, Condition::Afloat, None, &hand.boat.marks).ok()?;
    Some(view! {
        <Drawing
            parts=Memo::fixed(drawn_of(&hand))
            hand=Memo::fixed(hand)
            scene=Memo::fixed(Scene::of(&lies))
            words=Memo::fixed(String::new())
        />
    })
}
