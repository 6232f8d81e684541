//! The righting-lever curve: how hard the boat comes back from each angle of heel.

use crate::state::{BoatInHand, Session};
use crate::ui::memo::memo;
use crate::ui::text;
use leptos::prelude::*;
use std::fmt::Write as _;
use trimwright::float::{Basin, RightingLever, Tolerance, righting_lever};
use trimwright::unit::DEGREE;

/// Degrees between two points of the curve.
const STEP: f64 = 5.0;
/// Points from upright to half over.
const POINTS: u32 = 19;
/// The page of the chart.
const WIDTH: f64 = 360.0;
const HEIGHT: f64 = 130.0;
/// Room for the figures at the left and below.
const LEFT: f64 = 58.0;
const BELOW: f64 = 20.0;

/// The curve, with a table behind it.
#[component]
pub(crate) fn LeverCurve() -> impl IntoView {
    let session = expect_context::<Session>();
    let derived = session.derived;
    let levers = memo(move || {
        let density = derived.density.get();
        derived.boat.with(|b| match b {
            Some(Ok(hand)) => levers(hand, density),
            _ => Vec::new(),
        })
    });
    let chart = memo(move || levers.with(|l| Chart::of(l)));
    let rows = move || {
        let row = |l: &RightingLever| {
            view! {
                <div>
                    <dt>{format!("{:.0}°", l.heel / DEGREE)}</dt>
                    <dd>{text::fine_millimetres(l.lever)}</dd>
                </div>
            }
        };
        levers.with(|l| l.iter().skip(1).step_by(2).map(row).collect_view())
    };
    view! {
        <figure class="chart" hidden=move || levers.with(Vec::is_empty)>
            <figcaption class="legend">"Righting lever against heel"</figcaption>
            <svg
                viewBox=format!("0 0 {WIDTH} {HEIGHT}")
                role="img"
                aria-label=move || chart.with(|c| c.words.clone())
                data-testid="lever-curve"
            >
                <line
                    class="axis"
                    x1=LEFT
                    x2=WIDTH
                    y1=move || chart.with(|c| c.zero)
                    y2=move || chart.with(|c| c.zero)
                />
                <path class="curve" d=move || chart.with(|c| c.path.clone()) />
                <text x=LEFT - 6.0 y="14" class="end">
                    {move || chart.with(|c| c.most.clone())}
                </text>
                <text x=LEFT - 6.0 y=move || chart.with(|c| c.zero + 4.0) class="end">
                    "0"
                </text>
                <text x=LEFT y=HEIGHT - 4.0>
                    "upright"
                </text>
                <text x=WIDTH - 4.0 y=HEIGHT - 4.0 class="end">
                    "90° over"
                </text>
            </svg>
            <p class="note" data-testid="lever-words">
                {move || chart.with(|c| c.words.clone())}
            </p>
            <details class="more">
                <summary>"As a table"</summary>
                <dl class="facts">{rows}</dl>
            </details>
        </figure>
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
#[derive(Debug, Clone, PartialEq, Default)]
struct Chart {
    path: String,
    /// Page height of no lever.
    zero: f64,
    /// The largest lever, in figures.
    most: String,
    words: String,
}

impl Chart {
    fn of(levers: &[RightingLever]) -> Self {
        let most = levers.iter().map(|l| l.lever).fold(1e-4, f64::max);
        let least = levers.iter().map(|l| l.lever).fold(0.0, f64::min);
        let tall = HEIGHT - BELOW - 10.0;
        let page_y = |lever: f64| 10.0 + (most - lever) / (most - least) * tall;
        let wide = (WIDTH - LEFT) / f64::from(POINTS - 1);
        let mut path = String::new();
        for (k, lever) in levers.iter().enumerate() {
            let letter = if k == 0 { 'M' } else { 'L' };
            let (x, y) = (LEFT + k as f64 * wide, page_y(lever.lever));
            // Writing to a text cannot fail.
            let _written = write!(path, "{letter}{x:.1} {y:.1}");
        }
        Self { path, zero: page_y(0.0), most: text::fine_millimetres(most), words: words(levers) }
    }
}

/// The curve in a sentence: its greatest lever, and where it ends.
fn words(levers: &[RightingLever]) -> String {
    let Some(most) = levers.iter().max_by(|a, b| a.lever.total_cmp(&b.lever)) else {
        return String::new();
    };
    let greatest = format!(
        "Greatest lever {} at {:.0}°",
        text::fine_millimetres(most.lever),
        most.heel / DEGREE
    );
    let lost = levers.windows(2).find_map(|pair| match pair {
        [a, b] if a.lever > 0.0 && b.lever <= 0.0 => {
            Some(a.heel + (b.heel - a.heel) * a.lever / (a.lever - b.lever))
        }
        _ => None,
    });
    match lost {
        _ if most.lever <= 0.0 => "It does not come back from any heel.".to_owned(),
        Some(heel) => format!("{greatest}; it comes back from less than {:.0}°.", heel / DEGREE),
        None => format!("{greatest}; it comes back from 90° and perhaps more."),
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
        assert!(said.contains("at 30°") && said.contains("less than 75°"), "{said}");
        let topheavy = [lever(0.0, 0.0), lever(30.0, -1.0)];
        assert_eq!(words(&topheavy), "It does not come back from any heel.", "top-heavy");
    }
}
