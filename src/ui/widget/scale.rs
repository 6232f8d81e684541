//! The scale of a chart: round figures at its side, and heights between the points of a line.

/// How high the field is, pixels.
pub(super) const HEIGHT: f64 = 150.0;
/// Room between the field's edges and the outermost values: for a word below the lowest.
const INSET: f64 = 20.0;
/// A figure beyond this is as good as none.
const BEYOND: f64 = 1e12;

/// Height of a line at a place, straight between its points; none before its first, behind its last,
/// and where it is broken.
pub(super) fn value_at(points: &[(f64, f64)], x: f64) -> Option<f64> {
    let after = points.partition_point(|p| p.0 <= x);
    let a = points.get(after.checked_sub(1)?)?;
    let height = if x <= a.0 {
        a.1
    } else {
        let b = points.get(after)?;
        a.1 + (b.1 - a.1) * (x - a.0) / (b.0 - a.0)
    };
    is_some_height(height).then_some(height)
}

/// A height that can be drawn.
pub(super) fn is_some_height(height: f64) -> bool {
    height.abs() < BEYOND
}

/// The heights of a chart, with nothing always among them.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Scale {
    low: f64,
    high: f64,
    /// From one figure at the side to the next: 1, 2 or 5 of a power of ten.
    pub(super) step: f64,
}

impl Scale {
    /// The smallest scale for these heights, with three or four figures at its side.
    pub(super) fn of(heights: impl Iterator<Item = f64>, least_span: f64) -> Self {
        let (mut low, mut high) = heights
            .filter(|h| is_some_height(*h))
            .fold((0.0, 0.0), |(low, high): (f64, f64), h| (low.min(h), high.max(h)));
        let least = if (1e-9..BEYOND).contains(&least_span) { least_span } else { 1e-9 };
        let lacking = (least - (high - low)).max(0.0);
        let below = if low >= 0.0 {
            0.0
        } else if high <= 0.0 {
            1.0
        } else {
            0.5
        };
        low -= lacking * below;
        high += lacking * (1.0 - below);
        #[expect(clippy::cast_possible_truncation, reason = "between -9 and 13")]
        let power = 10.0_f64.powi((high - low).log10().floor() as i32);
        let mut best = Self { low, high, step: power };
        let mut least = f64::INFINITY;
        for step in [5.0, 2.0, 1.0, 0.5, 0.2].map(|times| times * power) {
            // Either end lies at the outermost height, or a little beyond it at the next figure.
            for low in [low, (low / step).floor() * step] {
                for high in [high, (high / step).ceil() * step] {
                    let scale = Self { low, high, step };
                    if (3..=4).contains(&scale.ticks().count()) && high - low < 0.999 * least {
                        least = high - low;
                        best = scale;
                    }
                }
            }
        }
        best
    }

    /// The figures at the side, from the lowest.
    pub(super) fn ticks(self) -> impl Iterator<Item = f64> {
        let first = (self.low / self.step - 1e-9).ceil();
        let steps = (0..8_u8).map(move |k| (first + f64::from(k)) * self.step);
        steps.take_while(move |tick| *tick <= self.high + 1e-9 * self.step)
    }

    /// How far from the top of the field a height is, pixels.
    pub(super) fn page(self, height: f64) -> f64 {
        let down = (self.high - height) / (self.high - self.low);
        INSET + down.clamp(-1.0, 2.0) * (HEIGHT - 2.0 * INSET)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ticks(heights: &[f64], least_span: f64) -> Vec<String> {
        let scale = Scale::of(heights.iter().copied(), least_span);
        scale.ticks().map(|t| format!("{t:.2}")).collect()
    }

    #[test]
    fn the_figures_at_the_side_are_round_and_three_or_four_with_nothing_among_them() {
        assert_eq!(ticks(&[16.0, -4.0, 12.0], 4.0), ["0.00", "5.00", "10.00", "15.00"], "a dive");
        assert_eq!(ticks(&[8.0], 1.0), ["0.00", "5.00", "10.00"], "a little beyond the highest");
        assert_eq!(ticks(&[-0.3, -0.1], 0.1), ["-0.30", "-0.20", "-0.10", "0.00"], "all below");
        for k in 1..4000 {
            let low = -f64::from(k % 61) * 0.37;
            let high = f64::from(k) * 0.173;
            let scale = Scale::of([low, high].into_iter(), 0.5);
            let found: Vec<f64> = scale.ticks().collect();
            assert!((3..=4).contains(&found.len()), "{low} to {high}: {found:?}");
            assert!(found.iter().any(|t| t.abs() < 1e-9), "{low} to {high} has no zero: {found:?}");
            let [top, bottom] = [high, low].map(|h| scale.page(h));
            assert!(top >= INSET - 1e-9 && bottom <= HEIGHT - INSET + 1e-9, "{low} to {high}");
            assert!(bottom - top > 0.55 * (HEIGHT - 2.0 * INSET), "{low} to {high} is too flat");
        }
    }

    #[test]
    fn noise_does_not_fill_the_chart() {
        let flat = Scale::of([0.01, -0.01, 0.0].into_iter(), 4.0);
        assert!(
            (flat.page(0.01) - flat.page(-0.01)).abs() < 1.0,
            "a line, not a mountain: {flat:?}"
        );
        assert!((flat.page(0.0) - HEIGHT / 2.0).abs() < 1e-9, "in the middle: {flat:?}");
        let none = Scale::of([f64::NAN, f64::INFINITY].into_iter(), f64::NAN);
        assert!(none.page(0.0).is_finite() && none.ticks().count() <= 8, "no heights: {none:?}");
        let huge = Scale::of([-9e11, 9e11, 1e300].into_iter(), 1e300);
        assert!((3..=4).contains(&huge.ticks().count()), "far apart: {huge:?}");
    }

    #[test]
    fn between_points_a_line_is_straight_and_broken_where_it_has_none() {
        let line = [(0.0, 1.0), (1.0, 3.0), (1.0, 7.0), (2.0, f64::NAN), (3.0, 5.0), (4.0, 4.0)];
        let cases = [
            (0.0, Some(1.0)),
            (0.25, Some(1.5)),
            (1.0, Some(7.0)),
            (1.5, None),
            (2.0, None),
            (2.5, None),
            (3.0, Some(5.0)),
            (3.75, Some(4.25)),
            (4.0, Some(4.0)),
            (-0.1, None),
            (4.1, None),
            (f64::NAN, None),
        ];
        for (x, expected) in cases {
            let got = value_at(&line, x);
            let same = match (got, expected) {
                (Some(got), Some(expected)) => (got - expected).abs() < 1e-12,
                (got, expected) => got == expected,
            };
            assert!(same, "at {x}: {got:?}, not {expected:?}");
        }
        assert_eq!(value_at(&[], 0.0), None, "no points");
    }
}
