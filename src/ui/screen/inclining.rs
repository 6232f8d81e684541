//! Inclining: the lists that were read with a known weight here and there, over its moment.

use crate::signal::memo;
use crate::state::Desk;
use crate::ui::node::{Node, view};
use crate::ui::text::{self, degrees, number, on_scale};
use crate::ui::widget::{Chart, ChartMark, ChartSign, ChartView, Line, LineClass};
use crate::words::t;
use leptos::prelude::*;
use trimwright::answer::{Inclining, inclining};
use trimwright::unit::DEGREE;

/// Less than this is noise and must not fill the chart, degrees.
const LEAST_SPAN: f64 = 1.0;

/// What is left free beside the first and the last reading, of the way between them.
const BESIDE: f64 = 0.06;

/// The picture, where two readings or more tell of it.
#[component]
pub(super) fn InclineChart() -> Node {
    let desk = expect_context::<Desk>();
    let derived = desk.derived;
    let found = memo(move || {
        let boat = derived.boat.get();
        let hand = boat.as_ref()?.as_ref().ok()?;
        let evidence = derived.evidence.get();
        derived.kept.with(|kept| inclining(hand, kept, evidence.known()?))
    });
    let is_there = memo(move || found.with(Option::is_some));
    let chart = move || found.with(|f| f.as_ref().map(chart).unwrap_or_default());
    let rows = move || found.with(|f| f.as_ref().map(rows).unwrap_or_default());
    let shown = move || {
        is_there.get().then(|| {
            view! {
                <section data-testid="inclining">
                    <ChartView
                        title=t!("incline.title")
                        testid="incline-chart"
                        chart=move |()| chart()
                        tick=|angle| format!("{}°", number(angle, 1))
                        figure=|angle| degrees(angle * DEGREE)
                        rows=move |()| rows()
                    />
                </section>
            }
        })
    };
    crate::ui::node::IntoNode::into_node(shown)
}

/// A moment on the scale of the chart: in the units of mass and length.
fn on_moment_scale(moment: f64) -> f64 {
    on_scale(text::mass_on_scale(moment))
}

/// A moment, in words.
fn much(moment: f64) -> String {
    let much = on_moment_scale(moment).abs();
    let (digits, [mass, length]) =
        (usize::from(much < 10.0), [text::mass_sign(), text::length_sign()]);
    format!("{}{}{mass}·{length}", number(much, digits), text::THIN)
}

/// The same with its side.
fn moment_words(moment: f64) -> String {
    text::to_side(moment < 0.0, &much(moment))
}

/// The same with a sign for the side: as on the buttons of the list.
fn at_the_end(moment: f64) -> String {
    let much = much(moment);
    if moment < 0.0 { format!("◄ {much}") } else { format!("{much} ►") }
}

fn chart(found: &Inclining) -> Chart {
    let points = |all: &[[f64; 2]]| -> Vec<(f64, f64)> {
        all.iter().map(|[moment, list]| (on_moment_scale(*moment), list / DEGREE)).collect()
    };
    let line =
        Line { points: points(&found.line), class: LineClass::Now, name: t!("incline.foretold") };
    let seen: Vec<[f64; 2]> = found.points.iter().map(|p| [p.moment, p.list]).collect();
    let mark = |at| ChartMark { at, sign: ChartSign::Square, words: String::new() };
    let ends = [found.points.first(), found.points.last()].map(|p| p.map_or(0.0, |p| p.moment));
    let [from, to] = ends.map(on_moment_scale);
    // The signs at both ends need room beside them.
    let room = BESIDE * (to - from);
    let [from, to] = [from - room, to + room];
    let words = ends.map(|moment| (on_moment_scale(moment), at_the_end(moment))).to_vec();
    Chart {
        from,
        to,
        words,
        lines: vec![line],
        marks: points(&seen).into_iter().map(mark).collect(),
        least_span: LEAST_SPAN,
        summary: summary(found),
        ..Chart::default()
    }
}

/// What it says: how stiff the boat is, and whether the readings go with that.
fn summary(found: &Inclining) -> String {
    let (gm, spread) = (found.gm.value, text::fine_millimetres(found.gm.spread));
    let stiff = if gm < 0.0 {
        t!("incline.top_heavy", gm = text::fine_millimetres(gm), spread = spread)
    } else {
        t!("incline.gm", gm = text::fine_millimetres(gm), spread = spread)
    };
    let holds = match found.stray() {
        Some(stray) => t!("incline.stray", moment = moment_words(stray.moment)),
        None => t!("incline.holds"),
    };
    format!("{stiff} {holds}")
}

fn rows(found: &Inclining) -> Vec<Vec<String>> {
    let head = vec![t!("incline.moment"), t!("past.list")];
    let row = |moment: f64, list: f64| vec![moment_words(moment), text::list(list)];
    let points = found.points.iter().map(|point| row(point.moment, point.list));
    std::iter::once(head).chain(points).collect()
}
