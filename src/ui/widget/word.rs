//! The words and the signs in the picture, and where they stand.

use super::frame::{Frame, HEIGHT, View, Views, WIDTH};
use super::page::{BLOCK, DrawingPage};
use super::phone;
use super::placing::{Area, SignRoom, about, overlap};
use super::signs::{Sign, blocks, letters, load_markup, part_of, signs};
use super::zoom::Zoom;
use crate::ui::markup::Markup;
use crate::ui::text;
use crate::words::t;

/// What a letter of these words takes at most on average, pixels.
const LETTER: f64 = 7.0;
/// How far a sign rather goes than lie on a part, and on one that takes up much of the boat, pixels.
const SMALL: f64 = 40.0;
const LARGE: f64 = 10.0;

/// A word in the picture.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct PlacedWord {
    /// Its class; one with "end" ends at its place, others have their middle there.
    pub(super) class: &'static str,
    /// Where its foot is, pixels.
    pub(super) at: [f64; 2],
    /// The word.
    pub(super) text: String,
}

impl PlacedWord {
    /// How broad half of a word is drawn, pixels.
    pub(super) fn half(text: &str) -> f64 {
        text.chars().count() as f64 * LETTER / 2.0
    }

    /// What it takes up of the page.
    pub(super) fn area(&self) -> Area {
        let ([x, y], half) = (self.at, Self::half(&self.text));
        let middle = if self.class.ends_with("end") { x.min(WIDTH) - half } else { x };
        [middle - half, y - 11.0, middle + half, y + 3.0]
    }

    /// As it is drawn.
    pub(super) fn markup(&self) -> Markup {
        letters(self.class, self.at, &self.text)
    }
}

impl DrawingPage {
    /// The boat's centres, and the style that puts them in their places; none while the view is not
    /// shown.
    pub(super) fn signs(self, view: View) -> Vec<Sign> {
        let (frame, zoom) = (self.frame(), self.glass.get().zoom);
        if !(self.views.get().shown().contains(&view) && frame.shows(view)) {
            return Vec::new();
        }
        let scene = self.scene.get();
        let room = self.room(view, &frame, zoom);
        signs(&scene, &frame, view, zoom.times, &room)
    }

    /// What the signs of a view find on the glass.
    fn room(self, view: View, frame: &Frame, zoom: Zoom) -> SignRoom {
        let (times, scene) = (zoom.times, self.scene.get());
        let sight = self.sight(view);
        let mut room = SignRoom { within: part_of(frame, view, times), ..SignRoom::default() };
        let glass = zoom.glass();
        // What is looked at closely stays in sight.
        let [x, y] = frame.page(view, scene.gravity).map(|px| px * times);
        if overlap(&about([x, y], 0.5), &glass) {
            let [left, top, right, foot] = room.within;
            room.within =
                [left.max(glass[0]), top.max(glass[1]), right.min(glass[2]), foot.min(glass[3])];
        }
        for shape in &sight.shapes {
            let middle = shape.outline.middle().filter(|_| shape.dot > 0.0);
            if let Some(at) = middle.map(|at| frame.page_of_seen(view, at)) {
                room.barred.push(about(at.map(|px| px * times), shape.dot / 2.0));
            // Signs must not jump on a boat's way.
            } else if let (Some(area), None) = (shape.area(frame, view, times), scene.passing) {
                room.shunned.push((area, if shape.big { LARGE } else { SMALL }));
            }
        }
        if let Some(phone) = self.phone() {
            let spots = phone::spots(&phone, &scene, frame, view, times).into_iter();
            room.barred.extend(spots.map(|(at, radius)| about(at, radius)));
        }
        if times > 1.0 {
            // Words are not shown then, but what is said of the angles.
            let note = self.note().map(|note| note.area());
            let [left, top, ..] = glass;
            room.barred.extend(note.map(|[a, b, c, d]| [a + left, b + top, c + left, d + top]));
        } else {
            room.barred.extend(self.worded().iter().chain(&self.note()).map(PlacedWord::area));
        }
        let blocks = blocks(&scene, frame).into_iter();
        room.barred.extend(blocks.map(|at| about(at.map(|px| px * times), BLOCK * times)));
        room
    }

    /// What to do, and the words in the picture.
    pub(super) fn words(self) -> Markup {
        let frame = &self.frame();
        let scene = self.scene.get();
        let datum = self.hand.with(|h| h.datum.x);
        let mut markup =
            scene.load.map(|load| load_markup(load, &scene, frame, datum)).unwrap_or_default();
        markup += self.worded().iter().map(PlacedWord::markup).collect();
        markup
    }

    /// What is said of how the page is drawn, at whatever size it is seen.
    pub(super) fn note(self) -> Option<PlacedWord> {
        let is_larger = self.frame().larger && self.views.get() == Views::Side;
        is_larger.then(|| {
            let text = t!("widget.angles_larger");
            PlacedWord {
                class: "small note",
                at: [6.0 + PlacedWord::half(&text), HEIGHT - 6.0],
                text,
            }
        })
    }

    /// The words on the page.
    fn worded(self) -> Vec<PlacedWord> {
        let (frame, scene) = (&self.frame(), self.scene.get());
        let word = |class, at, text| PlacedWord { class, at, text };
        let foot = HEIGHT - 6.0;
        if self.views.get() == Views::Plan {
            return vec![word("small word", [WIDTH / 2.0, foot], t!("widget.seen_from_above"))];
        }
        let mut words =
            vec![word("small word water-word", self.water_word.get(), t!("widget.water"))];
        if let Some(phone) = self.phone() {
            let at = phone::word_place(&phone, &scene, frame);
            words.push(word("small word phone-word", at, phone.name));
        }
        if frame.shows(View::End) {
            let text = if frame.end_times > 1.05 {
                t!("widget.seen_forward_larger", times = text::number(frame.end_times, 1))
            } else {
                t!("widget.seen_forward")
            };
            words.push(word("small word end", [(frame.end + 50.0).min(WIDTH - 6.0), foot], text));
        }
        words
    }
}
