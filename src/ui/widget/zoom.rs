//! Looking closer at the drawing: how much, and which part of the page.

use super::frame::{HEIGHT, WIDTH};

/// How much closer at most.
pub(crate) const MOST: f64 = 8.0;

/// The part of the page that is seen. What is seen has the page's own size, as if through a glass.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Zoom {
    /// How much closer, 1 to [`MOST`].
    pub(crate) times: f64,
    /// The place of the page at the glass's upper left.
    at: [f64; 2],
}

impl Zoom {
    /// The whole page.
    pub(crate) const WHOLE: Self = Self { times: 1.0, at: [0.0; 2] };
    /// The middle of the glass.
    pub(crate) const MIDDLE: [f64; 2] = [WIDTH / 2.0, HEIGHT / 2.0];

    /// The place of the page under a place of the glass.
    pub(crate) fn page(self, [x, y]: [f64; 2]) -> [f64; 2] {
        [self.at[0] + x / self.times, self.at[1] + y / self.times]
    }

    /// Where on the glass a place of the page is seen.
    pub(crate) fn seen(self, [x, y]: [f64; 2]) -> [f64; 2] {
        [(x - self.at[0]) * self.times, (y - self.at[1]) * self.times]
    }

    /// The part of the page that is seen, as it is seen: all of the page as large as it is seen has its upper
    /// left corner at 0, 0.
    pub(crate) fn glass(self) -> [f64; 4] {
        let [left, top] = self.at.map(|px| px * self.times);
        [left, top, left + WIDTH, top + HEIGHT]
    }

    /// Closer by a factor, with what was seen at `from` now at `to`, as far as the page reaches.
    #[must_use]
    pub(crate) fn moved(self, from: [f64; 2], to: [f64; 2], factor: f64) -> Self {
        let wanted = self.times * factor;
        let times = if wanted.is_finite() { wanted.clamp(1.0, MOST) } else { self.times };
        let [x, y] = self.page(from);
        let most = 1.0 - 1.0 / times;
        let at = [
            (x - to[0] / times).clamp(0.0, WIDTH * most),
            (y - to[1] / times).clamp(0.0, HEIGHT * most),
        ];
        Self { times, at }
    }

    /// The style of the page's group.
    pub(crate) fn style(self) -> String {
        let Self { times, at: [x, y] } = self;
        format!(
            "transform: scale({times:.4}) translate({:.2}px, {:.2}px); --zoom: {times:.4}",
            -x, -y
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_goes_from_one_to_eight_times_and_no_further() {
        let at = [100.0, 50.0];
        let close = Zoom::WHOLE.moved(at, at, 100.0);
        assert!((close.times - MOST).abs() < 1e-12, "{close:?}");
        let back = close.moved(at, at, 0.001);
        assert_eq!(back, Zoom::WHOLE, "the whole page again, not shifted");
        let held = close.moved(at, at, f64::NAN);
        assert!((held.times - MOST).abs() < 1e-12, "a factor that is none changes nothing");
    }

    #[test]
    fn what_is_under_the_fingers_stays_there() {
        let zoom = Zoom::WHOLE.moved([200.0, 90.0], [190.0, 95.0], 3.0);
        let [x, y] = zoom.page([190.0, 95.0]);
        assert!((x - 200.0).hypot(y - 90.0) < 1e-9, "{x}, {y}");
        let [x, y] = zoom.seen([200.0, 90.0]);
        assert!((x - 190.0).hypot(y - 95.0) < 1e-9, "and back: {x}, {y}");
    }

    #[test]
    fn the_glass_never_leaves_the_page() {
        let far = Zoom::WHOLE.moved([0.0; 2], [0.0; 2], 4.0).moved([0.0; 2], [9e3, 9e3], 1.0);
        let [x, y] = far.page([0.0; 2]);
        assert!(x.hypot(y) < 1e-9, "pulled right and down: {x}, {y}");
        let far = far.moved([0.0; 2], [-9e3, -9e3], 1.0);
        let [x, y] = far.page([WIDTH, HEIGHT]);
        assert!((x - WIDTH).hypot(y - HEIGHT) < 1e-9, "pulled left and up: {x}, {y}");
    }
}
