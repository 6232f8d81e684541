//! How one boat lay, session after session, as curves.

use crate::device::clock::{local_day_and_time, local_words};
use crate::signal::{Callback, Memo, RwSignal, StoredValue, memo};
use crate::state::{Desk, Past};
use crate::ui::node::{CollectNode, Node, view};
use crate::ui::text;
use crate::ui::widget::{Chart, ChartMark, ChartSign, ChartView, Line, LineClass};
use crate::words::{Word, t, word};
use leptos::prelude::*;
use leptos::task::spawn_local;
use std::sync::Arc;
use trimwright::diary::{ConditionRecord, Quantity, Trend, TrendPoint, TrendRow};
use trimwright::fit::Estimate;
use trimwright::unit::DEGREE;

/// How many sessions are drawn: on a phone a curve of more shows nothing more.
const DRAWN: usize = 200;

/// What a curve is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum TrendCurve {
    /// A quantity, with its ±.
    Value(Quantity),
    /// The ± of a quantity: how well the boat is known.
    Spread(Quantity),
}

/// The curves in their order: title, name for tests, what.
const CURVES: [(Word, &str, TrendCurve); 10] = [
    (word!("past.curve_list"), "trend-list", TrendCurve::Value(Quantity::List)),
    (word!("past.curve_trim"), "trend-trim", TrendCurve::Value(Quantity::Trim)),
    (word!("past.curve_waterline"), "trend-waterline", TrendCurve::Value(Quantity::Waterline)),
    (word!("past.curve_residual"), "trend-residual", TrendCurve::Value(Quantity::Residual)),
    (word!("past.curve_mass"), "trend-mass", TrendCurve::Value(Quantity::Mass)),
    (word!("past.curve_forward"), "trend-forward", TrendCurve::Value(Quantity::Forward)),
    (word!("past.curve_to_port"), "trend-to-port", TrendCurve::Value(Quantity::ToPort)),
    (word!("past.curve_mass_spread"), "trend-mass-spread", TrendCurve::Spread(Quantity::Mass)),
    (
        word!("past.curve_forward_spread"),
        "trend-forward-spread",
        TrendCurve::Spread(Quantity::Forward),
    ),
    (
        word!("past.curve_to_port_spread"),
        "trend-to-port-spread",
        TrendCurve::Spread(Quantity::ToPort),
    ),
];

/// The curves of a boat in one condition, and the session under the cursor.
#[component]
pub(super) fn Trends(
    /// What became of it.
    past: Arc<Past>,
    /// The condition.
    chosen: RwSignal<ConditionRecord>,
) -> Node {
    // Which session the cursor is on, counted from one as on the curves; the last one at first.
    let cursor = RwSignal::new(f64::INFINITY);
    let shown = StoredValue::new(past);
    view! {
        {move || {
            let past = shown.get_value();
            let n = past.trend(chosen.get()).rows.len();
            if n == 0 {
                return view! { <p class="quiet">{t!("past.none_read")}</p> };
            }
            cursor.set(n as f64);
            let left_out = n.saturating_sub(DRAWN);
            view! {
                <p class="quiet" hidden=left_out == 0>
                    {t!("past.last_ones", drawn = DRAWN, all = n)}
                </p>
                <p class="quiet">{t!("past.ticks")}</p>
                <Picked past=Arc::clone(&past) condition=chosen.get() cursor />
                {curves(&past, chosen.get(), cursor)}
            }
        }}
    }
}

/// The session under the cursor: when it was, how the boat lay, and the way to it.
#[component]
fn Picked(
    /// What became of the boat.
    past: Arc<Past>,
    /// In which condition.
    condition: ConditionRecord,
    /// The cursor.
    cursor: RwSignal<f64>,
) -> Node {
    let desk = expect_context::<Desk>();
    let row = memo(move || picked(past.trend(condition), cursor.get()).cloned());
    let words = move || row.with(|row| row.as_ref().map(row_words));
    let open = move |_| {
        let key = row.get_untracked().and_then(|row| desk.key_of_session(&row.place.session));
        if let Some(key) = key {
            spawn_local(desk.open_session(key));
        }
    };
    view! {
        <button class="row-main now-open" data-testid="trend-open" on:click=open>
            <strong>
                {move || row.with(|r| r.as_ref().map(|r| local_words(&r.place.at)))}
            </strong>
            <span data-testid="trend-row">{words}</span>
        </button>
    }
}

/// The row of the trend at a place of the cursor.
fn picked(trend: &Trend, at: f64) -> Option<&TrendRow> {
    let n = trend.rows.len();
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "whole, and between one and the number of rows"
    )]
    let k = at.round().clamp(1.0, n.max(1) as f64) as usize;
    trend.rows.get(k - 1)
}

/// How the boat lay at the end of a session, in one line.
fn row_words(row: &TrendRow) -> String {
    let figures = [Quantity::List, Quantity::Trim, Quantity::Waterline, Quantity::Residual];
    let said = figures.into_iter().filter_map(|quantity| {
        let value = row.estimate(quantity)?.value;
        Some(match quantity {
            Quantity::Waterline => t!("past.worst_mark", at = text::water_at(value)),
            _ => words(quantity, value),
        })
    });
    let good = row.good.then(|| "✓".to_owned());
    let laden = row.laden.then(|| t!("past.laden"));
    good.into_iter().chain(said).chain(laden).collect::<Vec<_>>().join(" · ")
}

/// A value in words, with its side.
fn words(quantity: Quantity, value: f64) -> String {
    match quantity {
        Quantity::List => text::list(value * DEGREE),
        Quantity::Trim => text::trim(value * DEGREE),
        Quantity::Waterline => text::water_at(value),
        Quantity::Residual => text::residual(value),
        Quantity::Mass => text::grams(value),
        Quantity::Forward if value < 0.0 => {
            t!("said.aft", length = text::fine_millimetres(-value))
        }
        Quantity::Forward => t!("said.forward", length = text::fine_millimetres(value)),
        Quantity::ToPort => text::to_side(value >= 0.0, &text::fine_millimetres(value.abs())),
    }
}

fn curves(past: &Arc<Past>, condition: ConditionRecord, cursor: RwSignal<f64>) -> Node {
    let pick = Callback::new(move |at: f64| cursor.set(at.round()));
    CURVES
        .iter()
        .map(|(title, testid, of)| {
            let for_chart = Arc::clone(past);
            let for_rows = Arc::clone(past);
            let chart = move |()| of.chart(for_chart.trend(condition));
            let rows = move |()| of.rows(for_rows.trend(condition));
            view! {
                <ChartView
                    title=t!(*title)
                    testid=*testid
                    chart=Callback::new(chart)
                    tick=of.figure()
                    figure=of.figure()
                    cursor=Memo::from(cursor)
                    pick
                    rows=Callback::new(rows)
                />
            }
        })
        .collect_node()
}

impl TrendCurve {
    fn quantity(self) -> Quantity {
        match self {
            Self::Value(quantity) | Self::Spread(quantity) => quantity,
        }
    }

    /// A value of its quantity on the scale of the chart.
    fn on_scale(self, value: f64) -> f64 {
        match self.quantity() {
            Quantity::List | Quantity::Trim => value,
            Quantity::Waterline | Quantity::Forward | Quantity::ToPort => text::on_scale(value),
            Quantity::Residual | Quantity::Mass => text::mass_on_scale(value),
        }
    }

    /// Writes a figure of the scale.
    fn figure(self) -> fn(f64) -> String {
        match self.quantity() {
            Quantity::List | Quantity::Trim => |angle| format!("{}°", text::number(angle, 1)),
            Quantity::Waterline => text::at_scale,
            Quantity::Forward | Quantity::ToPort => text::fine_at_scale,
            Quantity::Residual | Quantity::Mass => text::mass_at_scale,
        }
    }

    /// What is noise and must not fill the chart: twice what can be read.
    fn least_span(self) -> f64 {
        match self.quantity() {
            Quantity::List | Quantity::Trim => 1.0,
            Quantity::Waterline => self.on_scale(0.004),
            Quantity::Forward | Quantity::ToPort => self.on_scale(0.001),
            Quantity::Residual | Quantity::Mass => self.on_scale(0.01),
        }
    }

    /// The height of a point over that of `first`, and how far its ± goes up and down. A scale has
    /// nothing always on it, where a boat's mass would be a straight line: it is drawn against the
    /// first one.
    fn height(self, estimate: Estimate, first: Estimate) -> (f64, f64) {
        let value = match self {
            Self::Value(Quantity::Mass) => estimate.value - first.value,
            Self::Value(_) => estimate.value,
            Self::Spread(_) => return (self.on_scale(estimate.spread), 0.0),
        };
        (self.on_scale(value), self.on_scale(estimate.spread))
    }

    /// The sessions that are drawn, by their place from the first, with what was read in them.
    fn drawn(self, trend: &Trend) -> Vec<(f64, Option<TrendPoint<'_>>)> {
        let first = trend.rows.len().saturating_sub(DRAWN);
        let rows = trend.rows.iter().enumerate().skip(first);
        let quantity = self.quantity();
        rows.map(|(k, row)| {
            let estimate = row.estimate(quantity);
            let point = estimate.map(|estimate| TrendPoint { row, estimate });
            ((k + 1) as f64, point)
        })
        .collect()
    }

    fn chart(self, trend: &Trend) -> Chart {
        let drawn = self.drawn(trend);
        let read: Vec<_> = drawn.iter().filter_map(|(at, p)| Some((*at, (*p)?))).collect();
        let (Some((from, _)), Some((to, _))) = (drawn.first(), drawn.last()) else {
            return Chart::default();
        };
        let (Some((_, first)), Some((_, last))) = (read.first(), read.last()) else {
            return Chart::default();
        };
        // A session in which it was not read is passed over.
        let line = |height: &dyn Fn(Estimate) -> f64| -> Vec<(f64, f64)> {
            read.iter().map(|(at, point)| (*at, height(point.estimate))).collect()
        };
        let base = first.estimate;
        let mut lines = vec![Line {
            points: line(&|e| self.height(e, base).0),
            class: LineClass::Now,
            name: t!("past.as_found"),
        }];
        if let Self::Value(_) = self {
            for (sign, name) in [(1.0, "±"), (-1.0, "")] {
                let at_edge = |e| {
                    let (height, spread) = self.height(e, base);
                    height + sign * spread
                };
                let points = line(&at_edge);
                lines.push(Line { points, class: LineClass::Before, name: name.to_owned() });
            }
        }
        let good = read.iter().filter(|(_, point)| point.row.good);
        let marks = good.map(|(at, point)| ChartMark {
            at: (*at, self.height(point.estimate, base).0),
            sign: ChartSign::Tick,
            words: String::new(),
        });
        let date = |point: &TrendPoint<'_>| local_day_and_time(&point.row.place.at).0;
        Chart {
            from: *from,
            to: to.max(from + 1.0),
            words: vec![(*from, date(first)), (*to, date(last))],
            marks: if matches!(self, Self::Value(_)) { marks.collect() } else { Vec::new() },
            bands: Vec::new(),
            least_span: self.least_span(),
            summary: self.summary(first.estimate, last.estimate, read.len()),
            lines,
        }
    }

    /// The curve in a sentence.
    fn summary(self, first: Estimate, last: Estimate, n: usize) -> String {
        let said = |estimate: Estimate| match self {
            Self::Value(quantity) => words(quantity, estimate.value),
            Self::Spread(_) => {
                let spread = self.figure()(self.on_scale(estimate.spread));
                format!("±{}{spread}", text::THIN)
            }
        };
        if n == 1 {
            return t!("past.summary_one", only = text::upper_first(&said(last)));
        }
        t!("past.summary", first = said(first), last = said(last), count = n)
    }

    fn rows(self, trend: &Trend) -> Vec<Vec<String>> {
        let heads = match self {
            Self::Value(_) => vec![t!("past.when"), t!("past.value"), "±".to_owned()],
            Self::Spread(_) => vec![t!("past.when"), "±".to_owned()],
        };
        let row = |point: TrendPoint<'_>| {
            let when = local_words(&point.row.place.at);
            let spread = self.figure()(self.on_scale(point.estimate.spread));
            match self {
                Self::Value(quantity) => vec![when, words(quantity, point.estimate.value), spread],
                Self::Spread(_) => vec![when, spread],
            }
        };
        let read = self.drawn(trend).into_iter().filter_map(|(_, point)| point);
        std::iter::once(heads).chain(read.map(row)).collect()
    }
}
