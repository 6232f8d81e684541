//! The phone in the drawing: a slab on deck with its word.

use super::frame::{Frame, View};
use super::scene::{Drawn, Look, Picked, Scene};
use super::signs::{Disc, blocks};
use trimwright::frame::Position;
use trimwright::geometry::{Fineness, Solid};

/// How large a phone is drawn that lies along the boat, metres: common practice, no source. Only its weight
/// counts.
const SIZE: [f64; 3] = [0.15, 0.074, 0.009];
/// How far above the slab's middle the foot of its word is, pixels; and where a weight to put on lies there.
const ABOVE: [f64; 2] = [8.0, 28.0];
/// Half of what the word needs across, and how high it is, pixels.
const WORD: [f64; 2] = [22.0, 11.0];
/// Half the size of a weight to put on, pixels.
const BLOCK: [f64; 2] = [12.0, 9.0];

/// The phone, lying along the boat at a place in it (body axes, metres), and what it is called.
pub(crate) fn drawn_phone(at: [f64; 3], name: String) -> Drawn {
    let [x, y, z] = at;
    let slab = Solid::Box { size: SIZE, centre: Position::new(x, y, z) };
    Drawn {
        what: Picked::Phone,
        mesh: slab.mesh(Fineness::WORK).ok(),
        at,
        look: Look::Other,
        faint: false,
        inside: false,
        name,
        mass: 0.0,
        fill: 0.0,
    }
}

/// Where the phone's word stands on the page: over it, in the side view, and not on a weight to put on.
pub(super) fn word_place(phone: &Drawn, scene: &Scene, frame: &Frame) -> [f64; 2] {
    let [x, y] = frame.page(View::Side, phone.at);
    let blocks = blocks(scene, frame);
    let is_free = |above: &f64| {
        let middle = y - above - WORD[1] / 2.0;
        !blocks.iter().any(|[block_x, block_y]| {
            (block_x - x).abs() < BLOCK[0] + WORD[0]
                && (block_y - middle).abs() < BLOCK[1] + WORD[1] / 2.0
        })
    };
    let above = ABOVE.into_iter().find(is_free).unwrap_or(ABOVE[1]);
    [x, y - above]
}

/// What the phone and its word take up in a view seen from `times` as close, so that no sign lies on them.
pub(super) fn spots(
    phone: &Drawn,
    scene: &Scene,
    frame: &Frame,
    view: View,
    times: f64,
) -> Vec<Disc> {
    let half = SIZE[usize::from(view == View::End)] / 2.0;
    let mut taken: Vec<[f64; 2]> = [-1.0, -0.5, 0.0, 0.5, 1.0]
        .iter()
        .map(|share| {
            let [x, y, z] = phone.at;
            let by = share * half;
            frame.page(view, if view == View::End { [x, y + by, z] } else { [x + by, y, z] })
        })
        .collect();
    if view == View::Side {
        let [x, y] = word_place(phone, scene, frame);
        taken.extend([-14.0, 0.0, 14.0].map(|dx| [x + dx, y - 4.0]));
    }
    taken.into_iter().map(|at| (at.map(|px| px * times), 5.0)).collect()
}
