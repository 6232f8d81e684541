//! Joins corners that are at one place, or nearly, by a table of places.

use super::corner::Corner;

/// Marks a free slot.
const FREE: u32 = u32::MAX;

/// The places found so far, each once.
#[derive(Debug, Clone)]
pub(super) struct Weld {
    /// How far apart two corners may lie and still be one; zero for equal ones only.
    within: f64,
    places: Vec<Corner>,
    keys: Vec<[u32; 3]>,
    /// Open addressing; a power of two, at most half full.
    slots: Vec<u32>,
}

impl Weld {
    /// No places yet.
    pub(super) fn new(within: f64) -> Self {
        Self { within, places: Vec::new(), keys: Vec::new(), slots: vec![FREE; 64] }
    }

    /// The different places, in the order in which they came.
    pub(super) fn places(&self) -> &[Corner] {
        &self.places
    }

    /// The index of a place, which is taken in if it is new.
    pub(super) fn index_of(&mut self, place: Corner) -> u32 {
        // Adding zero turns -0.0, which is the same place, into 0.0.
        let place = place.map(|c| c + 0.0);
        let found = if self.within > 0.0 { self.near(place) } else { self.equal(place) };
        found.unwrap_or_else(|| self.add(place))
    }

    fn equal(&self, place: Corner) -> Option<u32> {
        self.find(place.map(f32::to_bits), |_| true)
    }

    /// Looks into the cells, twice as wide as the tolerance, that a ball about the place touches.
    fn near(&self, place: Corner) -> Option<u32> {
        (0..8_u32).find_map(|corner| {
            let side = |bit: u32| if corner & bit == 0 { -1.0 } else { 1.0 };
            let key = self.cell(place, [side(1), side(2), side(4)]);
            self.find(key, |other| {
                let gap = |k: usize| f64::from(place[k]) - f64::from(other[k]);
                gap(0).hypot(gap(1)).hypot(gap(2)) <= self.within
            })
        })
    }

    fn cell(&self, place: Corner, shift: [f64; 3]) -> [u32; 3] {
        let index = |k: usize| {
            let cell =
                ((f64::from(place[k]) + shift[k] * self.within) / (2.0 * self.within)).floor();
            hash_of_cell(cell)
        };
        [index(0), index(1), index(2)]
    }

    fn find(&self, key: [u32; 3], is_it: impl Fn(&Corner) -> bool) -> Option<u32> {
        let mask = self.slots.len() - 1;
        let start = slot_of(key);
        (0..self.slots.len())
            .map_while(|k| self.slots.get((start + k) & mask).copied().filter(|&i| i != FREE))
            .find(|&i| {
                let known = (self.keys.get(i as usize), self.places.get(i as usize));
                matches!(known, (Some(k), Some(place)) if *k == key && is_it(place))
            })
    }

    fn add(&mut self, place: Corner) -> u32 {
        // A file has at most three corners for each of MOST_TRIANGLES.
        let index = u32::try_from(self.places.len()).unwrap_or(FREE);
        let exact = place.map(f32::to_bits);
        let key = if self.within > 0.0 { self.cell(place, [0.0; 3]) } else { exact };
        self.places.push(place);
        self.keys.push(key);
        if self.places.len() * 2 > self.slots.len() {
            self.grow();
        } else {
            put(&mut self.slots, key, index);
        }
        index
    }

    fn grow(&mut self) {
        let mut slots = vec![FREE; self.slots.len() * 4];
        for (index, key) in (0..).zip(&self.keys) {
            put(&mut slots, *key, index);
        }
        self.slots = slots;
    }
}

/// Puts an index into the first free slot; there always is one.
fn put(slots: &mut [u32], key: [u32; 3], index: u32) {
    let mask = slots.len() - 1;
    let start = slot_of(key);
    let free = (0..slots.len()).map(|k| (start + k) & mask);
    if let Some(slot) = free.into_iter().find(|&s| slots.get(s) == Some(&FREE)) {
        slots[slot] = index;
    }
}

/// A slot for a key, before it is cut to the table's length: multiplied by odd numbers without
/// pattern, then folded, so that neighbouring places spread.
fn slot_of(key: [u32; 3]) -> usize {
    let [a, b, c] = key.map(u64::from);
    let mixed = (a.wrapping_mul(0x9E37_79B9_7F4A_7C15))
        ^ (b.wrapping_mul(0xC2B2_AE3D_27D4_EB4F)).rotate_left(21)
        ^ (c.wrapping_mul(0x1656_67B1_9E37_79F9)).rotate_left(42);
    let mixed = (mixed ^ (mixed >> 29)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    // The upper half has the better mixture; it fits everywhere.
    (mixed >> 32) as usize
}

/// A whole number as 32 bits of it: cells far from each other may share them, which the distance
/// then tells apart.
fn hash_of_cell(cell: f64) -> u32 {
    let bits = cell.to_bits();
    (bits >> 32) as u32 ^ (bits & 0xFFFF_FFFF) as u32
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn equal_places_are_one_and_zero_has_no_sign() {
        let mut weld = Weld::new(0.0);
        let first = weld.index_of([0.0, 1.0, 2.0]);
        assert_eq!(weld.index_of([-0.0, 1.0, 2.0]), first, "-0 is 0");
        assert_ne!(weld.index_of([0.0, 1.0, 2.0000002]), first, "the next number is another place");
    }

    #[test]
    fn near_places_are_one_wherever_the_cells_divide_them() {
        let mut weld = Weld::new(1e-3);
        for k in 0..1000_u16 {
            let x = f32::from(k) * 0.0137;
            let first = weld.index_of([x, -x, 5.0]);
            assert_eq!(weld.index_of([x + 9e-4, -x, 5.0]), first, "at {x}");
            assert_ne!(weld.index_of([x, -x + 2.5e-3, 5.0]), first, "2.5 mm off, at {x}");
        }
    }
}
