//! The righting-lever curve: how hard the boat comes back from each angle of heel.

use crate::signal::{RwSignal, memo};
use crate::state::{BoatInHand, Desk};
use crate::ui::node::{Node, view};
use crate::ui::text::{self, on_scale};
use crate::ui::widget::{Chart, ChartView, Line, LineClass};
use crate::words::t;
use leptos::prelude::*;
use trimwright::float::{Basin, RightingLever, Tolerance, righting_lever};
use trimwright::unit::DEGREE;

/// Degrees between two points of the curve.
const STEP: f64 = 5.0;
/// Points from upright to half over.
const POINTS: u32 = 19;
/// Below this the curve is flat, metres. The figures at its side are coarse.
const LEAST_SPAN: f64 = 0.004;

/// The curve, with a table behind it.
#[component]
pub(crate) fn LeverCurve() -> Node {
    let desk = expect_context::<Desk>();
    let derived = desk.derived;
    let levers = memo(move || {
        let density = derived.density.get();
        derived.boat.with(|b| match b {
            Some(Ok(hand)) => levers(hand, density),
            _ => Vec::new(),
        })
    });
    let chart = move |()| levers.with(|l| chart(l));
    let heel = RwSignal::new(45.0);
    let rows = move |()| levers.with(|l| rows(l));
    view! {
        <ChartView
            title=t!("lever.title")
            testid="lever-curve"
            chart
            tick=text::at_scale
            figure=text::fine_at_scale
            cursor=heel
            pick=move |at: f64| heel.set(at)
            rows
        />
    }
}

fn levers(hand: &BoatInHand, density: f64) -> Vec<RightingLever> {
    let Ok(blown) = hand.model.flooded(0.0, density) else { return Vec::new() };
    let at = |k: u32| {
        let heel = f64::from(k) * STEP * DEGREE;
        righting_lever(&blown, Basin::deep(density), heel, &Tolerance::FINE).ok()
    };
    (0..POINTS).filter_map(at).collect()
}

/// The curve as it is drawn.
fn chart(levers: &[RightingLever]) -> Chart {
    let points = levers.iter().map(|l| (l.heel / DEGREE, on_scale(l.lever))).collect();
    let line = Line { points, class: LineClass::Now, name: String::new() };
    Chart {
        from: 0.0,
        to: STEP * f64::from(POINTS - 1),
        words: vec![
            (0.0, t!("lever.upright")),
            (30.0, "30°".to_owned()),
            (60.0, "60°".to_owned()),
            (90.0, t!("lever.over")),
        ],
        lines: if levers.is_empty() { Vec::new() } else { vec![line] },
        least_span: on_scale(LEAST_SPAN),
        summary: words(levers),
        ..Chart::default()
    }
}

/// The table: every other point.
fn rows(levers: &[RightingLever]) -> Vec<Vec<String>> {
    let head = vec![t!("lever.heel"), t!("lever.lever")];
    let row = |l: &RightingLever| {
        vec![format!("{:.0}°", l.heel / DEGREE), text::fine_millimetres(l.lever)]
    };
    std::iter::once(head).chain(levers.iter().step_by(2).map(row)).collect()
}

/// The curve in a sentence: its greatest lever, and where it ends.
fn words(levers: &[RightingLever]) -> String {
    let Some(most) = levers.iter().max_by(|a, b| a.lever.total_cmp(&b.lever)) else {
        return String::new();
    };
    let lost = levers.windows(2).find_map(|pair| match pair {
        [a, b] if a.lever > 0.0 && b.lever <= 0.0 => {
            Some(a.heel + (b.heel - a.heel) * a.lever / (a.lever - b.lever))
        }
        _ => None,
    });
    let degrees = |heel: f64| format!("{:.0}", heel / DEGREE);
    let (greatest, at) = (text::fine_millimetres(most.lever), degrees(most.heel));
    match lost {
        _ if most.lever <= 0.0 => t!("lever.never"),
        Some(heel) => t!("lever.until", lever = greatest, at = at, heel = degrees(heel)),
        None => t!("lever.all", lever = greatest, at = at),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_sentence_names_where_stability_ends() {
        let lever = |degrees: f64, mm: f64| RightingLever {
            heel: degrees * DEGREE,
            lever: mm * 1e-3,
            trim: 0.0,
        };
        let curve = [lever(0.0, 0.0), lever(30.0, 6.0), lever(60.0, 2.0), lever(90.0, -2.0)];
        let said = words(&curve);
        assert!(said.contains("at 30°") && said.contains("below 75°"), "{said}");
        let topheavy = [lever(0.0, 0.0), lever(30.0, -1.0)];
        assert_eq!(words(&topheavy), "It never rights itself.", "top-heavy");
    }
}
