//! What belongs to the builder, not the boat.

/// What belongs to the builder, not the boat: the phone's mass, and names for what has none.
#[derive(Debug, Clone, Copy)]
pub struct Own<'a> {
    /// Mass of the phone, kg.
    pub phone_mass: f64,
    /// Whether it was zeroed: only then are its angles as good as they can be.
    pub is_zeroed: bool,
    /// The phone, where it lies aboard.
    pub phone: &'a str,
    /// Inside the hull, where a boat names no place for weight.
    pub inside: &'a str,
    /// A known weight that is on it for a reading.
    pub weight: &'a str,
}
