//! The axes of the body.

/// The body axis along which a solid lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Axis {
    /// Fore and aft.
    X,
    /// Athwartships.
    Y,
    /// Up and down.
    Z,
}
