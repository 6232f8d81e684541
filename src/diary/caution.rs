//! What can hurt people in this trade. What to do about it is the app's to say, in its languages.

/// Something to be careful with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Caution {
    /// Lithium cells: fire.
    Lithium,
    /// Mains voltage beside water.
    Mains,
    /// Lead: poison.
    Lead,
    /// Work alone beside water.
    Alone,
    /// Entering water after a boat.
    GoingIn,
    /// Lifting a boat with water in it.
    Lifting,
    /// Cutting, drilling and grinding.
    Cutting,
    /// Adhesives, resins and solvents.
    Adhesives,
}

impl Caution {
    /// All of them, those beside the water first.
    pub const ALL: [Self; 8] = [
        Self::Lithium,
        Self::Mains,
        Self::Lead,
        Self::Alone,
        Self::GoingIn,
        Self::Lifting,
        Self::Cutting,
        Self::Adhesives,
    ];

    /// Its name in files of words.
    pub fn id(self) -> &'static str {
        match self {
            Self::Lithium => "lithium",
            Self::Mains => "mains",
            Self::Lead => "lead",
            Self::Alone => "alone",
            Self::GoingIn => "going-in",
            Self::Lifting => "lifting",
            Self::Cutting => "cutting",
            Self::Adhesives => "adhesives",
        }
    }
}
