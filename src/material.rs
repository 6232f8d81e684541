//! Densities.

/// A material.
#[derive(Debug, Clone, Copy)]
pub struct Material {
    /// Name.
    pub name: &'static str,
    /// Density.
    pub density: f64,
    /// Low.
    pub low: f64,
    /// High.
    pub high: f64,
}

/// All.
pub const MATERIALS: [Material; 2] = [
    Material { name: "lead", density: 11340.0, low: 11300.0, high: 11350.0 },
    Material { name: "PLA", density: 1240.0, low: 1240.0, high: 1250.0 },
];

/// By name.
pub fn named(name: &str) -> Option<&'static Material> {
    const ALL: &[Material] = &MATERIALS;
    ALL.iter().find(|m| m.name == name)
}
