//! What can hurt people in this trade, and what to do about it, in short words. Common practice, no
//! source; local codes and the makers' instructions come first.

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

    /// What it is called.
    pub fn name(self) -> &'static str {
        match self {
            Self::Lithium => "Lithium cells",
            Self::Mains => "Mains by the water",
            Self::Lead => "Lead",
            Self::Alone => "Alone by the water",
            Self::GoingIn => "Never in after a boat",
            Self::Lifting => "Lifting a flooded boat",
            Self::Cutting => "Cutting and drilling",
            Self::Adhesives => "Adhesives and solvents",
        }
    }

    /// What to do, a sentence or two each.
    pub fn lines(self) -> &'static [&'static str] {
        match self {
            Self::Lithium => &[
                "Charge as the maker says, on a surface that does not burn, away from people and water. Stay with it.",
                "Open a sealed hull before charging.",
                "Never charge or use a cell that is swollen, dented, pierced or was wet.",
                "A pack that got wet: unplug it if you safely can, lay it outdoors away from all that burns, and leave it there. It can catch fire hours later.",
                "Carry and throw away cells as local rules say.",
            ],
            Self::Mains => &[
                "Chargers, pumps and lamps on mains stay well away from the edge. Better is what runs on a battery.",
                "Only behind a residual-current device, with every plug dry and off the ground.",
                "Do not touch it with wet hands or on wet ground.",
                "Local wiring codes decide what is allowed beside a pool.",
            ],
            Self::Lead => &[
                "Wash your hands after touching it, and before you eat.",
                "Make no dust: do not sand, saw or grind it dry.",
                "Better not melt it. If you must: fresh air, eyes and hands covered, and a dry mould; a drop of water makes it spit.",
                "Keep it from children.",
                "Some waters do not allow it: follow local rules.",
            ],
            Self::Alone => &[
                "Tell somebody where you are and when you will be back.",
                "At deep, cold or running water do not be alone. Stay off ice.",
                "Keep the phone dry and in reach.",
            ],
            Self::GoingIn => &[
                "Do not go in after a boat. A boat can be built again.",
                "Use a line, a pole or another boat, or wait until it drifts ashore.",
                "Cold water takes breath and strength within minutes, from good swimmers too.",
                "Swim only where it is allowed, in water that you know, with somebody watching from the shore.",
            ],
            Self::Lifting => &[
                "Let a flooded boat drain before you lift it: the water in it is weight.",
                "Stand firm on dry ground. Lift a heavy boat with somebody, or in slings.",
            ],
            Self::Cutting => &[
                "Protect your eyes.",
                "Clamp the work. No gloves, loose sleeves or long hair near anything that turns.",
                "A mask against the dust of glass, carbon and metal.",
                "Follow the tool's own instructions.",
            ],
            Self::Adhesives => &[
                "Gloves, fresh air, no flame.",
                "The maker's sheet says which mask to wear, and what to do when it gets on skin or in an eye.",
                "Resin left over in a cup gets hot: let it set outdoors.",
            ],
        }
    }
}

/// What stands above all of them.
pub const LOCAL_CODES: &str =
    "Local codes and the makers' instructions come first, whatever is written here.";
