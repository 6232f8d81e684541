//! A chart as it is drawn: where lines, signs and words fall, as markup.
//!
//! Across, everything is a share of the width, so that letters and strokes keep their size on every
//! screen; up and down it is in pixels. Words are placed as on the narrowest phone: on a wider one
//! they lie farther apart.

use super::chart::{Chart, ChartMark, ChartSign, Line};
use super::placing::{Area, overlap};
use super::scale::{HEIGHT, Scale, is_some_height, value_at};
use crate::ui::markup::{Attr, Markup};
use std::fmt::Write as _;

/// How wide the field is on the narrowest phone, pixels: 320, less margins and figures.
const NARROW: f64 = 230.0;
/// How wide a letter of 12 pixels is at most, on average.
const LETTER: f64 = 6.9;
/// How high its line is above and below the foot of the letters.
const ABOVE: f64 = 10.0;
const UNDER: f64 = 3.0;
/// The cursor's figure: how wide a letter of it is, how high its line, how far from the dot.
const LARGE_LETTER: f64 = 11.5;
const LARGE: f64 = 28.0;
const BESIDE: f64 = 12.0;
/// Where words lie beside a sign: see [`ChartPage::words`].
const SIDES: [(f64, f64); 12] = [
    (0.0, 17.0),
    (0.0, -10.0),
    (10.0, 4.0),
    (-10.0, 4.0),
    (10.0, 17.0),
    (-10.0, 17.0),
    (10.0, -10.0),
    (-10.0, -10.0),
    (0.0, -26.0),
    (0.0, 33.0),
    (0.0, -42.0),
    (0.0, 49.0),
];
/// Words farther up or down than this from their sign are led to.
const FAR: f64 = 20.0;
/// How wide the lines' own page is, in units of its own.
const ACROSS: f64 = 1000.0;
/// Rows of a table at most.
const MOST_ROWS: usize = 21;

impl Chart {
    /// The share of the way across, 0 to 1.
    pub(super) fn share(&self, x: f64) -> f64 {
        let share = (x - self.from) / (self.to - self.from);
        if share.is_finite() { share.clamp(0.0, 1.0) } else { 0.0 }
    }

    /// The place at a share of the way across.
    pub(super) fn at_share(&self, share: f64) -> f64 {
        self.from + share.clamp(0.0, 1.0) * (self.to - self.from)
    }

    /// Height of the first line there; none where it is broken.
    pub(super) fn value_at(&self, x: f64) -> Option<f64> {
        value_at(&self.lines.first()?.points, x)
    }

    /// The scale on which all of it has room.
    pub(super) fn scale(&self) -> Scale {
        let of_lines = self.lines.iter().flat_map(|line| line.points.iter().map(|p| p.1));
        let of_marks = self.marks.iter().map(|mark| mark.at.1);
        Scale::of(of_lines.chain(of_marks), self.least_span)
    }
}

/// A chart on its page, of which its markup is made.
struct ChartPage<'a> {
    chart: &'a Chart,
    scale: Scale,
    /// Where there are signs and words already.
    taken: Vec<Area>,
    markup: Markup,
}

impl ChartPage<'_> {
    /// Words beside a place, on that one of these sides where they are in nobody's way, the first of
    /// them best: how far to the right they begin (to the left, they end; 0: in the middle), and how
    /// far down their foot is.
    fn words(&mut self, (share, y): (f64, f64), sides: &[(f64, f64)], words: &str) {
        let wide = words.chars().count() as f64 * LETTER;
        let mut best = (f64::INFINITY, [0.0; 4], "middle", (0.0, 0.0));
        for &(right, down) in sides {
            let (anchor, left) = if right > 0.0 {
                ("start", share * NARROW + right)
            } else if right < 0.0 {
                ("end", share * NARROW + right - wide)
            } else {
                anchor(share, wide)
            };
            let foot = y + down;
            let area = [left, foot - ABOVE, left + wide, foot + UNDER];
            let out =
                left < -0.5 || area[2] > NARROW + 0.5 || area[1] < -0.5 || area[3] > HEIGHT + 0.5;
            let hit = self.taken.iter().filter(|t| overlap(t, &area)).count();
            let cost = if out { 100.0 } else { 0.0 }
                + 20.0 * hit as f64
                + crossed(self.chart, self.scale, area)
                + 0.1 * (right.abs() + down.abs());
            if cost < best.0 {
                best = (cost, area, anchor, (right, foot));
            }
        }
        let (_, area, anchor, (right, foot)) = best;
        self.taken.push(area);
        if y > 0.0 && (foot - y).abs() > FAR {
            // Far from their sign: a thin line leads there.
            let [from, to] = if foot < y { [y - 8.0, area[3]] } else { [y + 8.0, area[1]] };
            self.markup += line("leader", [share, share], [from, to]);
        }
        self.markup += text(&format!("word {anchor}"), &percent(share), right, foot, words);
    }
}

/// A share of the width, as an attribute has it.
fn percent(share: f64) -> String {
    format!("{:.2}%", 100.0 * share)
}

/// A straight line: its ends across, shares of the width, and its ends down.
fn line(class: &str, x: [f64; 2], y: [f64; 2]) -> Markup {
    let [x1, x2] = x.map(percent);
    let [y1, y2] = y.map(|y| format!("{y:.1}"));
    let ends: [Attr<'_>; 4] = [("x1", &x1), ("x2", &x2), ("y1", &y1), ("y2", &y2)];
    Markup::empty("line", &[&[("class", &class as _)], &ends[..]].concat())
}

/// Words with their foot at a place, and so far to the right of it.
fn text(class: &str, x: &str, right: f64, foot: f64, words: &str) -> Markup {
    let y = format!("{foot:.1}");
    let at: [Attr<'_>; 4] = [("class", &class), ("x", &x), ("dx", &right), ("y", &y)];
    Markup::element("text", &at, &Markup::words(words))
}

/// A chart as it is drawn: with its scale, what lies in the field as markup, and where.
#[derive(Debug, PartialEq)]
pub(super) struct DrawnChart {
    pub(super) chart: Chart,
    pub(super) markup: Markup,
    scale: Scale,
    taken: Vec<Area>,
}

/// The cursor's style at a place across: where its line and its dot are, and on which side of the
/// dot its figure, of so many letters, is in nobody's way.
pub(super) fn cursor(picture: &DrawnChart, x: f64, letters: usize) -> String {
    let chart = &picture.chart;
    let share = chart.share(x);
    let (height, scale) = (chart.value_at(x), picture.scale);
    let (x, y) = (share * NARROW, height.map_or(0.0, |h| scale.page(h)));
    let wide = letters as f64 * LARGE_LETTER + BESIDE;
    let slid = format!("{:.1}%", -100.0 * share);
    // To the right, to the left, or as far to the right as there is room; above, below, or at the
    // field's edge.
    let sides = [
        (x + BESIDE, "12px"),
        (x - wide, "calc(-100% - 12px)"),
        (x - share * (wide - BESIDE), &slid),
    ];
    let overs = [(-LARGE - 4.0, 0.0), (4.0, 1.8), (-y, 6.0), (HEIGHT - LARGE - y, 7.0)];
    let mut best = (f64::INFINITY, "", 0.0);
    for ((left, beside), worse) in sides.into_iter().zip([0.0, 0.9, 20.0]) {
        for (over, less) in overs {
            let area = [left, y + over, left + wide - BESIDE, y + over + LARGE];
            let out =
                left < -1.0 || area[2] > NARROW + 1.0 || area[1] < -6.0 || area[3] > HEIGHT + 6.0;
            let hit = picture.taken.iter().filter(|t| overlap(t, &area)).count();
            let cost = if out { 100.0 } else { 0.0 }
                + 9.0 * hit as f64
                + crossed(chart, scale, area)
                + worse
                + less;
            if cost < best.0 {
                best = (cost, beside, over);
            }
        }
    }
    let dot = u8::from(height.is_some());
    format!(
        "--x:{:.2}%;--y:{y:.1}px;--dot:{dot};--beside:{};--over:{:.0}px",
        100.0 * share,
        best.1,
        best.2
    )
}

/// How much of an area the lines run through.
fn crossed(chart: &Chart, scale: Scale, [left, top, right, bottom]: Area) -> f64 {
    let mut crossed = 0.0;
    for line in &chart.lines {
        for k in 0..=8_u8 {
            let x = left + (right - left) * f64::from(k) / 8.0;
            let height = value_at(&line.points, chart.at_share(x / NARROW));
            if height.is_some_and(|h| (top..bottom).contains(&scale.page(h))) {
                crossed += 1.0;
            }
        }
    }
    crossed
}

/// On which side of its place a text begins so that it stays in the field, and how far to the right
/// its left end is.
fn anchor(share: f64, wide: f64) -> (&'static str, f64) {
    let x = share * NARROW;
    if x < wide / 2.0 {
        ("start", x)
    } else if x + wide / 2.0 > NARROW {
        ("end", x - wide)
    } else {
        ("middle", x - wide / 2.0)
    }
}

/// A line as path data, broken where it has no height.
fn path_data(chart: &Chart, scale: Scale, points: &[(f64, f64)]) -> String {
    let mut data = String::new();
    let mut letter = 'M';
    for &(x, height) in points {
        if !is_some_height(height) {
            letter = 'M';
            continue;
        }
        let (x, y) = (ACROSS * chart.share(x), scale.page(height));
        // Writing to a text cannot fail.
        let _written = write!(data, "{letter}{x:.1} {y:.1}");
        letter = 'L';
    }
    data
}

/// The chart drawn, with the figures at its side written by `tick`.
pub(super) fn picture(chart: Chart, tick: fn(f64) -> String) -> DrawnChart {
    let scale = chart.scale();
    let ChartPage { markup, taken, .. } = drawn(&chart, scale, tick);
    DrawnChart { chart, markup, scale, taken }
}

fn drawn(chart: &Chart, scale: Scale, tick: fn(f64) -> String) -> ChartPage<'_> {
    let mut page = ChartPage { chart, scale, taken: Vec::new(), markup: Markup::default() };
    for band in &chart.bands {
        let [from, to] = [band.from, band.to].map(|x| chart.share(x));
        let (x, width) = (percent(from), percent((to - from).max(0.005)));
        let area: [Attr<'_>; 4] =
            [("class", &"band"), ("x", &x), ("width", &width), ("height", &HEIGHT)];
        page.markup += Markup::empty("rect", &area);
        page.markup += line("band", [from, to], [HEIGHT / 2.0; 2]);
    }
    for at in scale.ticks() {
        let y = scale.page(at);
        let class = if at.abs() < 1e-9 * scale.step { "zero" } else { "grid" };
        page.markup += line(class, [0.0, 1.0], [y; 2]);
        page.markup += text("end", "-7", 0.0, y + 4.0, &tick(at));
    }
    for (x, words) in &chart.words {
        let share = chart.share(*x);
        let (anchor, _) = anchor(share, words.chars().count() as f64 * LETTER);
        page.markup += text(anchor, &percent(share), 0.0, HEIGHT + 16.0, words);
    }
    page.markup += lines(chart, scale);
    let place = |mark: &ChartMark| (chart.share(mark.at.0), scale.page(mark.at.1));
    let signs = || chart.marks.iter().filter(|m| is_some_height(m.at.1)).map(|m| (m, place(m)));
    page.taken.extend(signs().map(|(_, (share, y))| {
        let x = share * NARROW;
        [x - 6.5, y - 6.5, x + 6.5, y + 6.5]
    }));
    for (mark, (share, y)) in signs() {
        let sign = match mark.sign {
            ChartSign::Ring => "M-5 0a5 5 0 1 0 10 0a5 5 0 1 0 -10 0Z",
            ChartSign::Cross => "M-5 -5L5 5M-5 5L5 -5",
            ChartSign::Square => "M-4.5 -4.5H4.5V4.5H-4.5Z",
            ChartSign::Tick => "M-5 -1L-1 3L6 -6",
        };
        let class = if mark.sign == ChartSign::Tick { "sign tick" } else { "sign" };
        let [x, y] = [percent(share), format!("{y:.1}")];
        let strokes = ["halo", ""].map(|class| stroke(class, sign)).into_iter().collect();
        page.markup += Markup::element("svg", &[("class", &class), ("x", &x), ("y", &y)], &strokes);
    }
    for (mark, at) in signs().filter(|(mark, _)| !mark.words.is_empty()) {
        page.words(at, &SIDES, &mark.words);
    }
    for band in &chart.bands {
        let share = f64::midpoint(chart.share(band.from), chart.share(band.to));
        let feet = [HEIGHT - 4.0, 11.0, HEIGHT - 18.0, 25.0].map(|foot| (0.0, foot));
        page.words((share, 0.0), &feet, &band.words);
    }
    page
}

fn stroke(class: &str, data: &str) -> Markup {
    Markup::empty("path", &[("class", &class), ("d", &data)])
}

/// The lines on a page of their own; the first lies over the others.
fn lines(chart: &Chart, scale: Scale) -> Markup {
    let line = |line: &Line| stroke(line.class.class(), &path_data(chart, scale, &line.points));
    let page = format!("0 0 {ACROSS} {HEIGHT}");
    let attributes: [Attr<'_>; 3] =
        [("viewBox", &page), ("preserveAspectRatio", &"none"), ("height", &HEIGHT)];
    Markup::element("svg", &attributes, &chart.lines.iter().rev().map(line).collect())
}

/// Which line is which, if there is more than one.
pub(super) fn keys(chart: &Chart) -> Markup {
    if chart.lines.len() < 2 {
        return Markup::default();
    }
    let key = |line: &Line| {
        let mut key = Markup::element("svg", &[], &stroke(line.class.class(), "M2 7H38"));
        key += Markup::words(&line.name);
        Markup::element("span", &[], &key)
    };
    chart.lines.iter().filter(|line| !line.name.is_empty()).map(key).collect()
}

/// A table: what it is of, its heads (the first row), and its rows, each with a head of its own.
pub(super) fn table(title: &str, rows: &[Vec<String>]) -> Markup {
    let cells = |row: &Vec<String>, scope: &str| {
        let cell = |(k, text): (usize, &String)| {
            let text = Markup::words(text);
            if k == 0 || scope == "col" {
                Markup::element("th", &[("scope", &scope)], &text)
            } else {
                Markup::element("td", &[], &text)
            }
        };
        Markup::element("tr", &[], &row.iter().enumerate().map(cell).collect())
    };
    let Some((heads, rows)) = rows.split_first() else { return Markup::default() };
    // Evenly from all of them, when there are more than one can listen to.
    let rows = rows.iter().step_by(rows.len().div_ceil(MOST_ROWS).max(1));
    let body: Markup = rows.map(|row| cells(row, "row")).collect();
    [("caption", Markup::words(title)), ("thead", cells(heads, "col")), ("tbody", body)]
        .map(|(tag, inside)| Markup::element(tag, &[], &inside))
        .into_iter()
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ui::widget::chart::{Band, LineClass};

    fn whole(value: f64) -> String {
        format!("{value:.0} mm")
    }

    /// A boat that becomes unstable half way down.
    fn dive() -> Chart {
        let points = [(0.0, 16.0), (0.3, 10.0), (0.55, -4.0), (0.7, 0.0), (1.0, 12.0)].to_vec();
        let moved = |by: f64| points.iter().map(|(x, y)| (*x, y + by)).collect();
        let (before, tried) = (moved(-2.0), moved(6.0));
        let mark =
            |x, y, sign, words: &str| ChartMark { at: (x, y), sign, words: words.to_owned() };
        Chart {
            to: 1.0,
            words: [(0.0, "empty"), (0.5, "half"), (1.0, "full")]
                .map(|(x, w)| (x, w.to_owned()))
                .into(),
            lines: vec![
                Line { points, class: LineClass::Now, name: "as it is".to_owned() },
                Line { points: before, class: LineClass::Before, name: "as it was".to_owned() },
                Line { points: tried, class: LineClass::Tried, name: "keel <lower>".to_owned() },
            ],
            marks: vec![
                mark(0.55, -4.0, ChartSign::Ring, "least: \u{2212}4 mm"),
                mark(0.58, -3.0, ChartSign::Cross, "it rolls over"),
                mark(0.6, -3.0, ChartSign::Square, "seen: 12° & more"),
                mark(0.0, 16.0, ChartSign::Ring, "at the edge it begins"),
                mark(1.0, 12.0, ChartSign::Ring, "at the edge it ends"),
            ],
            bands: vec![Band { from: 0.48, to: 0.7, words: "unstable".to_owned() }],
            least_span: 4.0,
            ..Chart::default()
        }
    }

    #[test]
    fn words_stay_in_the_field_and_off_one_another() {
        let chart = dive();
        let picture = picture(chart.clone(), whole);
        let words: Vec<&Area> = picture.taken.iter().skip(chart.marks.len()).collect();
        assert_eq!(words.len(), 6, "all words are placed");
        for (k, a) in words.iter().enumerate() {
            assert!(a[0] >= 0.0 && a[2] <= NARROW + 1e-9, "out at a side: {a:?}");
            assert!(a[1] >= 0.0 && a[3] <= HEIGHT, "out above or below: {a:?}");
            for b in &words[..k] {
                assert!(!overlap(a, b), "{a:?} lies on {b:?}");
            }
        }
        assert!(picture.markup.as_str().contains("12° &amp; more"), "{:?}", picture.markup);
    }

    #[test]
    fn a_line_is_broken_where_it_has_no_height() {
        let mut chart = dive();
        let points =
            vec![(0.0, 1.0), (0.5, 2.0), (0.5, f64::NAN), (0.5, -2.0), (1.0, f64::INFINITY)];
        let data = path_data(&chart, chart.scale(), &points);
        assert_eq!(data.matches('M').count(), 2, "two pieces: {data}");
        assert_eq!(data.matches('L').count(), 1, "one stroke: {data}");
        chart.to = chart.from;
        assert!(!path_data(&chart, chart.scale(), &points).contains("NaN"), "no way across");
    }

    #[test]
    fn the_cursor_s_figure_stays_in_the_field_and_off_the_line() {
        let drawn = picture(dive(), whole);
        let at = |x| cursor(&drawn, x, 7);
        assert!(at(0.0).contains("--x:0.00%") && at(0.0).contains("--beside:12px"), "{}", at(0.0));
        assert!(at(1.0).contains("--beside:calc(-100% - 12px)"), "{}", at(1.0));
        assert!(at(2.0).contains("--x:100.00%") && at(2.0).contains("--dot:0"), "{}", at(2.0));
        assert!(at(0.3).contains("--dot:1"), "{}", at(0.3));
    }

    #[test]
    fn a_table_has_heads_and_at_most_twenty_one_rows() {
        let row = |k: usize| vec![format!("{k} %"), format!("{k} <mm>")];
        let head = vec!["Fill".to_owned(), "GM".to_owned()];
        let rows: Vec<Vec<String>> = std::iter::once(head).chain((0..=100).map(row)).collect();
        let made = table("GM & fill", &rows);
        let made = made.as_str();
        assert!(made.starts_with("<caption>GM &amp; fill</caption><thead>"), "{made}");
        assert_eq!(made.matches("scope=\"col\"").count(), 2, "{made}");
        assert_eq!(made.matches("scope=\"row\"").count(), 21, "{made}");
        assert!(made.contains("100 &lt;mm&gt;"), "the last row is there: {made}");
        assert_eq!(table("nothing", &[]), Markup::default(), "nothing to show");
    }

    #[test]
    fn only_several_lines_need_a_key() {
        let mut chart = dive();
        assert!(keys(&chart).as_str().contains("keel &lt;lower&gt;"), "{:?}", keys(&chart));
        chart.lines.truncate(1);
        assert_eq!(keys(&chart), Markup::default(), "one line is plain");
    }
}
