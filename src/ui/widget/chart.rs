//! A chart: lines, signs and shaded parts over one way across, with a cursor and a table behind it.

use super::plot::{cursor as cursor_style, keys, picture, table};
use super::scale::HEIGHT;
use crate::signal::{Callback, Memo, RwSignal, StoredValue, memo};
use crate::ui::markup::Markup;
use crate::ui::node::{Node, view};
use crate::words::t;
use leptos::prelude::*;
use wasm_bindgen::JsCast;
use web_sys::{Element, Event, PointerEvent};

/// Movement beyond this, pixels, is no longer a tap.
const TAP: f64 = 4.0;

/// What a line is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum LineClass {
    /// The boat as it is: drawn through.
    Now,
    /// As it was: dotted.
    Before,
    /// As it would be: dashed.
    Tried,
}

impl LineClass {
    pub(super) fn class(self) -> &'static str {
        match self {
            Self::Now => "now",
            Self::Before => "before",
            Self::Tried => "tried",
        }
    }
}

/// A line of a chart.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Line {
    /// Places across, in ascending order, and heights. Where the height is not a number the line is
    /// broken.
    pub(crate) points: Vec<(f64, f64)>,
    /// What it is of.
    pub(crate) class: LineClass,
    /// What it is called; shown when there is more than one. Nothing for one that goes with another.
    pub(crate) name: String,
}

/// A sign on the chart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum ChartSign {
    /// A ring: the worst point.
    Ring,
    /// A cross: something happens here.
    Cross,
    /// A square: what was seen.
    Square,
    /// A tick: as it should be.
    Tick,
}

/// A place on the chart with a word on it.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct ChartMark {
    /// Where, in the chart's units.
    pub(crate) at: (f64, f64),
    /// Its sign.
    pub(crate) sign: ChartSign,
    /// The words beside it, if any; more than thirty letters do not fit on a narrow phone.
    pub(crate) words: String,
}

/// A shaded part of the way across.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Band {
    /// Where it begins and ends.
    pub(crate) from: f64,
    pub(crate) to: f64,
    /// What it means.
    pub(crate) words: String,
}

/// What a chart shows, in the units in which its figures are written.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Chart {
    /// Where the way across begins and ends.
    pub(crate) from: f64,
    pub(crate) to: f64,
    /// Words below it, each at its place.
    pub(crate) words: Vec<(f64, String)>,
    /// The lines; the first is the one that is read. Without any nothing is shown.
    pub(crate) lines: Vec<Line>,
    /// Signs with words.
    pub(crate) marks: Vec<ChartMark>,
    /// Shaded parts.
    pub(crate) bands: Vec<Band>,
    /// The least difference from bottom to top: less than this is noise and must not fill the chart.
    pub(crate) least_span: f64,
    /// All of it in a sentence: below the chart, and for a screen reader in its place.
    pub(crate) summary: String,
}

/// The chart. Plain SVG, because a plotting crate would cost more than all of this screen.
///
/// What changes with the chart is one memo of markup; what moves with the cursor is one style and
/// one figure.
#[component]
#[expect(clippy::needless_pass_by_value, reason = "components own their props")]
pub(crate) fn ChartView(
    /// What it is of; also the caption of the table.
    #[prop(into)]
    title: String,
    /// Its name for tests.
    testid: &'static str,
    /// What it shows; asked again whenever a signal in it changes.
    #[prop(into)]
    chart: Callback<(), Chart>,
    /// Writes a height at the side, with its unit; eight letters have room.
    tick: fn(f64) -> String,
    /// Writes the height under the cursor, large.
    figure: fn(f64) -> String,
    /// Where the cursor is across; without it there is none.
    #[prop(optional, into)]
    cursor: Option<Memo<f64>>,
    /// Called with the place across that was tapped or dragged to.
    #[prop(optional, into)]
    pick: Option<Callback<f64>>,
    /// The table behind it, its heads first; asked only while it is open. Of many rows 21 are shown.
    #[prop(into)]
    rows: Callback<(), Vec<Vec<String>>>,
) -> Node {
    let picture = memo(move || picture(chart.run(()), tick));
    let is_open = RwSignal::new(false);
    let cursor = cursor.map(|at| {
        let words = memo(move || {
            let at = at.get();
            picture.with(|p| p.chart.value_at(at)).map(figure).unwrap_or_default()
        });
        let style = move || {
            let (at, letters) = (at.get(), words.with(|w| w.chars().count()));
            picture.with(|p| cursor_style(p, at, letters))
        };
        view! {
            <div class="cursor" aria-hidden="true" prop:style=style>
                <i></i>
                <b data-testid=format!("{testid}-figure")>{words}</b>
            </div>
        }
    });
    let held = StoredValue::new(None::<Hold>);
    let point = move |ev: PointerEvent| {
        let Some((pick, share)) = pick.zip(share_of(&ev, held)) else { return };
        pick.run(picture.with_untracked(|p| p.chart.at_share(share)));
    };
    let toggled = move |ev: Event| {
        let details = ev.target().and_then(|t| t.dyn_into::<Element>().ok());
        is_open.set(details.is_some_and(|d| d.has_attribute("open")));
    };
    let caption = title.clone();
    let table =
        move || if is_open.get() { table(&caption, &rows.run(())) } else { Markup::default() };
    let summary = move || picture.with(|p| p.chart.summary.clone());
    let has_keys = move || picture.with(|p| p.chart.lines.len() > 1);
    let is_empty = move || picture.with(|p| p.chart.lines.is_empty());
    view! {
        <figure class="chart" hidden=is_empty>
            <figcaption class="legend">{title.clone()}</figcaption>
            <div class="sheet">
                <div
                    class="field-of"
                    class:picked-on=pick.is_some()
                    data-testid=testid
                    on:pointerdown=point
                    on:pointermove=point
                    on:pointerup=point
                    on:pointercancel=point
                >
                    <svg
                        role="img"
                        height=HEIGHT + 21.0
                        inner_html={move || picture.with(|p| p.markup.clone())}
                        aria-label=summary
                    />
                    {cursor}
                </div>
            </div>
            <p
                class="keys"
                hidden=move || !has_keys()
                inner_html={move || picture.with(|p| keys(&p.chart))}
            />
            <p class="note" aria-hidden="true" data-testid=format!("{testid}-words")>
                {summary}
            </p>
            <details class="more" data-testid=format!("{testid}-table") on:toggle=toggled>
                <summary aria-label=t!("widget.title_as_table", title = title)>{t!("widget.as_table")}</summary>
                <table inner_html=table />
            </details>
        </figure>
    }
}

/// A finger or the mouse on the chart: where it came down, and whether it has begun to drag.
#[derive(Debug, Clone, Copy)]
struct Hold {
    at: [f64; 2],
    drags: bool,
}

/// The share of the way across that a pointer asks for, if it does: by a tap, or by a drag across. A
/// finger that goes up or down moves the page.
fn share_of(ev: &PointerEvent, held: StoredValue<Option<Hold>>) -> Option<f64> {
    let field: Element = ev.current_target()?.dyn_into().ok()?;
    let at = [f64::from(ev.client_x()), f64::from(ev.client_y())];
    let kind = ev.type_();
    if kind == "pointerdown" {
        held.set_value(ev.is_primary().then_some(Hold { at, drags: false }));
        return None;
    }
    let hold = held.get_value()?;
    let [along, over] = [at[0] - hold.at[0], at[1] - hold.at[1]].map(f64::abs);
    if kind == "pointermove" {
        if !hold.drags && (along < TAP || along < over) {
            return None;
        }
        // So that the finger may leave the field. One that is gone cannot be held.
        let _held = field.set_pointer_capture(ev.pointer_id());
        held.set_value(Some(Hold { drags: true, ..hold }));
    } else {
        held.set_value(None);
        if kind == "pointercancel" || !(hold.drags || along.max(over) < 2.0 * TAP) {
            return None;
        }
    }
    let shown = field.get_bounding_client_rect();
    Some((at[0] - shown.left()) / shown.width().max(1.0))
}
