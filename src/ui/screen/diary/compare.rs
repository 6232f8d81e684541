//! Two sessions side by side: as read, the ballast, the parts, the marks.

use super::Head;
use crate::device::clock::{local_words, next_turn};
use crate::device::storage::Key;
use crate::signal::{Memo, RwSignal};
use crate::state::{Desk, TwoSessions};
use crate::ui::difference_text as differs;
use crate::ui::node::{CollectNode, Node, view};
use crate::ui::text;
use crate::words::t;
use leptos::prelude::*;
use leptos::task::spawn_local;
use trimwright::diary::{
    Comparison, ConditionRecord, MassSum, MassSums, ReadingRecord, SessionRecord,
};
use trimwright::unit::{DEGREE, GRAM};

/// How far the comparison is.
#[derive(Debug, Clone, PartialEq)]
enum CompareProgress {
    /// It goes on.
    Comparing,
    /// One of the two cannot be read.
    NotThere,
    /// This differs.
    Compared(Box<TwoSessions>),
}

/// The page of a comparison.
#[component]
pub(super) fn ComparePage(
    /// The session that began first.
    earlier: Key,
    /// The other one.
    later: Key,
) -> Node {
    let desk = expect_context::<Desk>();
    let work = RwSignal::new(CompareProgress::Comparing);
    spawn_local(async move {
        // The page is drawn first: boats with large meshes take their time.
        next_turn().await;
        let found = desk.compare_sessions([earlier, later]).await;
        let found =
            found.map_or(CompareProgress::NotThere, |two| CompareProgress::Compared(Box::new(two)));
        work.try_set(found);
    });
    view! {
        <main class="screen diary compare">
            <Head title=Memo::fixed(t!("compare.title")) />
            {move || match work.get() {
                CompareProgress::Comparing => view! { <p role="status">{t!("compare.comparing")}</p> },
                CompareProgress::NotThere => {
                    view! { <p class="problem">{t!("compare.not_there")}</p> }
                }
                CompareProgress::Compared(two) => view! { <Compared two=*two /> },
            }}
        </main>
    }
}

/// What differs.
#[component]
fn Compared(
    /// The two.
    two: TwoSessions,
) -> Node {
    let boats = match &two.comparison {
        Some(comparison) => {
            view! { <Boats comparison=comparison.clone() datum=two.datum /> }
        }
        None => view! { <p class="quiet">{t!("compare.state_not_kept")}</p> },
    };
    view! {
        {facts(&two.sessions)}
        {readings(&two.sessions)}
        {boats}
    }
}

/// When, where, in what water and weather.
fn facts([before, after]: &[SessionRecord; 2]) -> Node {
    let lines = [
        (t!("sheet.place"), &before.place, &after.place),
        (t!("sheet.water"), &before.water, &after.water),
        (t!("sheet.weather"), &before.weather, &after.weather),
    ];
    let began = [before, after].map(|s| local_words(&s.started_at));
    let rows = lines
        .into_iter()
        .filter(|(_, was, is)| !(was.is_empty() && is.is_empty()))
        .map(|(name, was, is)| row(name, was.clone(), is.clone()))
        .collect_node();
    let [was, is] = began;
    view! {
        <table class="side-by-side" data-testid="compare-facts">
            <thead>
                <tr>
                    <th><span class="unseen">{t!("compare.what")}</span></th>
                    <th>{was}</th>
                    <th>{is}</th>
                </tr>
            </thead>
            <tbody>{rows}</tbody>
        </table>
    }
}

fn row(name: String, was: String, is: String) -> Node {
    let same = was == is;
    view! {
        <tr class:same=same>
            <th scope="row">{name}</th>
            <td>{was}</td>
            <td>{is}</td>
        </tr>
    }
}

/// The last reading of each, in each condition that one of them has.
fn readings(sessions: &[SessionRecord; 2]) -> Node {
    let of = |condition: ConditionRecord, title: String| {
        let last = sessions.each_ref().map(|session| {
            let mut newest_first = session.readings().rev();
            newest_first.find(|(_, r)| r.condition == condition).map(|(_, r)| r)
        });
        let rows = reading_rows(last);
        (!rows.is_empty()).then(|| {
            let rows: Vec<_> =
                rows.into_iter().map(|(name, [was, is])| row(name, was, is)).collect();
            view! {
                <h2>{title}</h2>
                <table class="side-by-side" data-testid="compare-read">
                    <tbody>{rows}</tbody>
                </table>
            }
        })
    };
    let afloat = of(ConditionRecord::Afloat, t!("compare.afloat"));
    let under = of(ConditionRecord::Under, t!("compare.under"));
    view! {
        {afloat}
        {under}
    }
}

/// What was read in two sessions: name and the two figures; nothing where one was not read.
fn reading_rows(last: [Option<&ReadingRecord>; 2]) -> Vec<(String, [String; 2])> {
    let mut names: Vec<&str> = Vec::new();
    for mark in last.into_iter().flatten().flat_map(|r| &r.marks) {
        if !names.contains(&mark.name.as_str()) {
            names.push(&mark.name);
        }
    }
    let both = |read: &dyn Fn(&ReadingRecord) -> Option<String>| {
        last.map(|reading| reading.and_then(read).unwrap_or_else(|| "–".to_owned()))
    };
    let marks = names.into_iter().map(|name| {
        let at = |r: &ReadingRecord| {
            let mark = r.marks.iter().find(|m| m.name == name)?;
            Some(text::read_at(mark.above_m))
        };
        (t!("compare.mark", name = name), both(&at))
    });
    let list = |r: &ReadingRecord| r.list_deg.map(|d| text::list(d * DEGREE));
    let trim = |r: &ReadingRecord| r.trim_deg.map(|d| text::trim(d * DEGREE));
    let residual = |r: &ReadingRecord| r.residual_kg.map(text::residual);
    let rest = [
        (t!("past.list"), both(&list)),
        (t!("past.trim"), both(&trim)),
        (t!("past.residual"), both(&residual)),
    ];
    let read = |(_, words): &(String, [String; 2])| words.iter().any(|w| w != "–");
    marks.chain(rest).filter(read).collect()
}

/// The boats as they were.
#[component]
fn Boats(
    /// What differs.
    comparison: Comparison,
    /// Where lengths are measured from.
    datum: crate::state::Datum,
) -> Node {
    let lists = [
        (t!("bench.parts"), "compare-parts", differs::parts(&comparison, datum)),
        (t!("bench.tanks"), "compare-tanks", differs::tanks(&comparison)),
        (t!("bench.marks"), "compare-marks", differs::marks(&comparison, datum)),
        (t!("compare.places"), "compare-places", differs::places(&comparison)),
        (t!("compare.others"), "compare-others", differs::others(&comparison)),
    ];
    let same = comparison.is_same() && comparison.names.is_none();
    let lists = lists
        .into_iter()
        .filter(|(.., lines)| !lines.is_empty())
        .map(|(title, testid, lines)| {
            let lines = lines.into_iter().map(|line| view! { <li>{line}</li> }).collect_node();
            view! {
                <h2>{title}</h2>
                <ul class="differences" data-testid=testid>
                    {lines}
                </ul>
            }
        })
        .collect_node();
    view! {
        {ballast(&comparison.sums)}
        <p class="lead" data-testid="compare-same" hidden=!same>
            {t!("compare.same_boat")}
        </p>
        {lists}
    }
}

/// What the two weigh: by status, the tanks, and in all.
fn ballast([was, is]: &[MassSums; 2]) -> Node {
    let lines = [
        (t!("bench_part.fixed"), was.fixed, is.fixed),
        (t!("bench_part.temporary"), was.temporary, is.temporary),
        (t!("bench_part.planned"), was.planned, is.planned),
        (t!("bench_part.taken_out"), was.taken_out, is.taken_out),
        (t!("sheet.tanks"), was.tanks, is.tanks),
    ];
    let rows = lines
        .into_iter()
        .filter(|(_, was, is)| was.parts > 0 || is.parts > 0)
        .map(|(name, was, is)| weights(name, [was, is].map(|sum: MassSum| sum.mass_kg)))
        .collect_node();
    view! {
        <h2>{t!("compare.ballast")}</h2>
        <table class="side-by-side" data-testid="compare-ballast">
            <tbody>{rows}</tbody>
            <tfoot>
                {weights(t!("compare.aboard"), [was.aboard_kg(), is.aboard_kg()])}
            </tfoot>
        </table>
    }
}

/// Two masses and how much more the later one is.
fn weights(name: String, [was, is]: [f64; 2]) -> Node {
    let by = is - was;
    let more = (by.abs() >= 0.05 * GRAM).then(|| {
        let sign = if by > 0.0 { "+" } else { "−" };
        format!(" ({sign}{}{})", text::THIN, text::grams(by.abs()))
    });
    row(name, text::grams(was), format!("{}{}", text::grams(is), more.unwrap_or_default()))
}
