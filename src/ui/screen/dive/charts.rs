//! The way as curves against the fill: GM, list, trim, draught, each with a table behind it.

use crate::signal::{Callback, memo};
use crate::state::{Desk, Dived};
use crate::ui::dive_text::share;
use crate::ui::node::{Node, view};
use crate::ui::text::{
    at_scale, degrees, fine_at_scale, fine_millimetres, list, millimetres, number, on_scale, trim,
    upper_first,
};
use crate::ui::widget::{Band, Chart, ChartMark, ChartSign, ChartView, Line, LineClass};
use crate::words::{t, word};
use leptos::prelude::*;
use std::sync::Arc;
use trimwright::boat::Mark;
use trimwright::dive::WayFigure;
use trimwright::float::{Heading, SweepRow};
use trimwright::unit::DEGREE;

/// An angle that can be written, radians.
const SEEN: f64 = 0.05 * DEGREE;
/// Rows of a table: every twentieth of the way, and both ends.
const TABLE_ROWS: u32 = 21;

/// What a chart is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum ChartQuantity {
    Gm,
    List,
    Trim,
    Draught,
}

/// The four curves.
#[component]
pub(super) fn Charts() -> Node {
    let desk = expect_context::<Desk>();
    let dive = desk.dive;
    let fill = super::now::whole_per_cent(desk);
    let cursor = memo(move || fill.get() * 100.0);
    let pick = Callback::new(move |at: f64| dive.fill.set((at / 100.0).clamp(0.0, 1.0)));
    let view = move |of: ChartQuantity, title: String, testid: &'static str| {
        let chart = Callback::new(move |()| {
            let now = dive.dived.get();
            let tried = dive.trying.get().map(|t| Arc::clone(&t.after));
            now.map_or_else(Chart::default, |now| chart(of, &now, tried.as_deref()))
        });
        let rows = move |()| dive.shown().map_or_else(Vec::new, |d| rows(of, &d));
        view! {
            <ChartView
                title
                testid
                chart
                tick=of.tick()
                figure=of.figure()
                cursor
                pick
                rows=Callback::new(rows)
            />
        }
    };
    view! {
        <section aria-label=t!("dive.curves")>
            {view(ChartQuantity::List, t!("dive.curve_lean"), "chart-list")}
            {view(ChartQuantity::Gm, t!("dive.curve_gm"), "chart-gm")}
            {view(ChartQuantity::Trim, t!("past.curve_trim"), "chart-trim")}
            {view(ChartQuantity::Draught, t!("dive.curve_draught"), "chart-draught")}
        </section>
    }
}

impl ChartQuantity {
    /// The figure of a row, in the chart's unit.
    fn value(self, row: &SweepRow) -> f64 {
        match self {
            Self::Gm => on_scale(row.upright.across),
            Self::List => row.pose().heel() / DEGREE,
            Self::Trim => row.pose().trim() / DEGREE,
            // Under water there is no draught: the line ends.
            Self::Draught if row.outcome.afloat().is_none() => f64::NAN,
            Self::Draught => on_scale(row.pose().water_height_at(0.0, 0.0)),
        }
    }

    fn tick(self) -> fn(f64) -> String {
        match self {
            Self::Gm | Self::Draught => at_scale,
            Self::List | Self::Trim => |angle| format!("{}°", number(angle, 0)),
        }
    }

    fn figure(self) -> fn(f64) -> String {
        match self {
            Self::Gm => fine_at_scale,
            Self::Draught => at_scale,
            // The side is where the line goes.
            Self::List | Self::Trim => |angle| degrees(angle * DEGREE),
        }
    }

    /// What is noise and must not fill the chart.
    fn least_span(self) -> f64 {
        match self {
            Self::Gm => on_scale(0.004),
            Self::Draught => on_scale(0.01),
            // Degrees.
            Self::List | Self::Trim => 3.0,
        }
    }

    fn worst(self, dived: &Dived) -> Option<WayFigure> {
        let worst = dived.way.summary.worst;
        match self {
            Self::Gm => Some(worst.gm),
            Self::List => Some(worst.lean).filter(|p| p.value.abs() > SEEN),
            Self::Trim => Some(worst.trim).filter(|p| p.value.abs() > SEEN),
            Self::Draught => None,
        }
    }

    /// The curve in a sentence: its two ends, and its worst point if it has one.
    fn summary(self, dived: &Dived) -> String {
        let rows = &dived.way.sweep.rows;
        let say = |row: Option<&SweepRow>| match row.map(|row| (self, self.value(row))) {
            Some((_, value)) if value.is_nan() => t!("dive.under"),
            Some((Self::List, value)) => list(value * DEGREE),
            Some((Self::Trim, value)) => trim(value * DEGREE),
            Some((_, value)) => self.figure()(value),
            None => String::new(),
        };
        let worst = self.worst(dived).map(|point| format!(", {}", self.worst_words(point)));
        let (first, last) = (say(rows.first()), say(rows.last()));
        let ends = if first == last {
            t!("dive.both_ends", ends = upper_first(&first))
        } else {
            t!("dive.from_to", first = first, last = last)
        };
        format!("{ends}{}.", worst.unwrap_or_default())
    }

    fn worst_words(self, point: WayFigure) -> String {
        let at = share(point.fill);
        match self {
            Self::Gm => t!("dive.least", value = fine_millimetres(point.value), at = at),
            Self::List | Self::Trim => t!("dive.most", value = degrees(point.value), at = at),
            Self::Draught => String::new(),
        }
    }
}

/// A way's line, from blown to full whichever way it goes.
fn line(of: ChartQuantity, dived: &Dived, class: LineClass, name: String) -> Line {
    let mut points: Vec<(f64, f64)> =
        dived.way.sweep.rows.iter().map(|row| (row.fill * 100.0, of.value(row))).collect();
    if dived.heading == Heading::Up {
        points.reverse();
    }
    Line { points, class, name }
}

fn chart(of: ChartQuantity, now: &Dived, tried: Option<&Dived>) -> Chart {
    let shown = tried.unwrap_or(now);
    let mut lines = vec![line(of, shown, LineClass::Now, t!("dive.now"))];
    if let Some(tried) = tried {
        lines = vec![
            line(of, tried, LineClass::Tried, t!("dive.line_tried")),
            line(of, now, LineClass::Before, t!("dive.as_it_is")),
        ];
    }
    let rows = &shown.way.sweep.rows;
    let mut marks = Vec::new();
    let summary = of.summary(shown);
    if let Some(point) = of.worst(shown) {
        let words = of.worst_words(point);
        let at = rows.get(point.row).map(|row| (row.fill * 100.0, of.value(row)));
        marks.extend(at.map(|at| ChartMark { at, sign: ChartSign::Ring, words }));
    }
    if of == ChartQuantity::List {
        let cross = |e: &trimwright::float::Event| ChartMark {
            at: (e.fill * 100.0, e.to.heel() / DEGREE),
            sign: ChartSign::Cross,
            words: t!("dive.sudden"),
        };
        marks.extend(shown.way.sweep.events.iter().map(cross));
        let seen = |s: &trimwright::diary::LeanRecord| ChartMark {
            at: (s.fill * 100.0, s.list_deg),
            sign: ChartSign::Square,
            words: t!("dive.mark_seen"),
        };
        let going_up = shown.heading == Heading::Up;
        marks.extend(shown.seen.iter().filter(|s| s.going_up == going_up).map(seen));
    }
    Chart {
        from: 0.0,
        to: 100.0,
        words: vec![
            (0.0, t!("dive.blown")),
            (25.0, share(0.25)),
            (50.0, share(0.5)),
            (75.0, share(0.75)),
            (100.0, t!("dive.full_word")),
        ],
        lines,
        marks,
        bands: unstable(rows),
        least_span: of.least_span(),
        summary,
    }
}

/// Where the boat has no stability upright.
fn unstable(rows: &[SweepRow]) -> Vec<Band> {
    let mut bands: Vec<Band> = Vec::new();
    let mut before = false;
    for row in rows {
        let (at, now) = (row.fill * 100.0, row.loll.is_some());
        match bands.last_mut() {
            Some(band) if now && before => {
                band.from = band.from.min(at);
                band.to = band.to.max(at);
            }
            _ if now => bands.push(Band { from: at, to: at, words: t!("dive.kind_loll") }),
            _ => {}
        }
        before = now;
    }
    bands
}

/// The table: the fill and the figure, for the draught each mark besides.
fn rows(of: ChartQuantity, dived: &Dived) -> Vec<Vec<String>> {
    let marks: &[Mark] = if of == ChartQuantity::Draught { &dived.hand.boat.marks } else { &[] };
    let mut head = vec![t!("dive.fill")];
    head.push(t!(match of {
        ChartQuantity::Gm => word!("dive.gm_upright"),
        ChartQuantity::List => word!("dive.lean"),
        ChartQuantity::Trim => word!("past.trim"),
        ChartQuantity::Draught => word!("dive.draught"),
    }));
    if of == ChartQuantity::Gm {
        head.push(t!("dive.gm_along"));
    }
    head.extend(marks.iter().map(|m| t!("dive.above_mark", mark = m.name)));
    let row = |row: &SweepRow| {
        let afloat = row.outcome.afloat().is_some();
        let value = of.value(row);
        let mut cells = vec![
            share(row.fill),
            match of {
                _ if value.is_nan() => t!("dive.under"),
                ChartQuantity::List => list(row.pose().heel()),
                ChartQuantity::Trim => trim(row.pose().trim()),
                ChartQuantity::Gm | ChartQuantity::Draught => of.figure()(value),
            },
        ];
        if of == ChartQuantity::Gm {
            cells.push(millimetres(row.upright.along));
        }
        cells.extend(marks.iter().map(|m| {
            let above = row.pose().water_height_at(m.at.x(), m.at.y()) - m.at.z();
            if afloat { millimetres(above) } else { t!("dive.under") }
        }));
        cells
    };
    let at = |k: u32| dived.way.sweep.row_nearest(f64::from(k) / f64::from(TABLE_ROWS - 1));
    std::iter::once(head).chain((0..TABLE_ROWS).filter_map(at).map(row)).collect()
}
