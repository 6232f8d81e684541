//! What models are built of: densities with ranges and sources, what soaks and what gives way.
//!
//! A typical value is a start; a part that matters is weighed. The printed values are those of the
//! sources; where a source was not at hand its text says "typical value, unchecked".

/// What sort of stuff it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[expect(missing_docs, reason = "the words are their own description")]
pub enum MaterialKind {
    Metal,
    Plastic,
    Wood,
    Foam,
    Composite,
    Other,
}

/// A material and what is known of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Material {
    /// Its name in the trade.
    pub name: &'static str,
    /// What sort of stuff it is.
    pub kind: MaterialKind,
    /// Typical density, kg/m³.
    pub density: f64,
    /// The least density that is met with, kg/m³.
    pub low: f64,
    /// The greatest, kg/m³.
    pub high: f64,
    /// Where the figures are from.
    pub source: &'static str,
    /// Share of its volume that soaks up water in use, from and to; none if nothing is known or to
    /// speak of.
    pub uptake: Option<[f64; 2]>,
    /// Share of its volume that is lost per metre of depth, from and to; none as above.
    pub softness: Option<[f64; 2]>,
}

impl Material {
    const fn of(
        kind: MaterialKind,
        name: &'static str,
        density: f64,
        [low, high]: [f64; 2],
        source: &'static str,
    ) -> Self {
        Self { name, kind, density, low, high, source, uptake: None, softness: None }
    }

    const fn soaking(self, uptake: [f64; 2]) -> Self {
        Self { uptake: Some(uptake), ..self }
    }

    const fn giving(self, softness: [f64; 2]) -> Self {
        Self { softness: Some(softness), ..self }
    }
}

/// The material of a name, written small or large.
pub fn named(name: &str) -> Option<&'static Material> {
    MATERIALS.iter().find(|material| material.name.eq_ignore_ascii_case(name.trim()))
}

/// Lead, of which ballast is made.
pub const LEAD: Material = Material::of(
    MaterialKind::Metal,
    "lead",
    11340.0,
    [10900.0, 11350.0],
    "trade tables 11 340; PNNL-15870 Rev. 1 (2011) 11 350; antimonial shot from 10 900, and shot in \
     bulk packs at 0.60 to 0.64 of this, typical value, unchecked",
);

/// Brass.
pub const BRASS: Material = Material::of(
    MaterialKind::Metal,
    "brass",
    8500.0,
    [8490.0, 8530.0],
    "alloy data sheets: free cutting (ASTM B16) 8500, 70/30 (ASTM B36) 8530; 8490 \
             typical value, unchecked",
);

/// Steel.
pub const STEEL: Material = Material::of(
    MaterialKind::Metal,
    "steel",
    7850.0,
    [7850.0, 7872.0],
    "structural convention 7850, typical value, unchecked; PNNL-15870 Rev. 1 (2011) 7872",
);

/// Foam of closed cells, in boards.
pub const FOAM_BOARD: Material = Material::of(
    MaterialKind::Foam,
    "XPS board",
    30.0,
    [20.0, 45.0],
    "boards to EN 13164: 24 to 45, 20 to 40; uptake of the total-immersion classes \
             0.7 to 3 %; softness from the declared moduli 20 and 15 MPa (own arithmetic, \
             bulk modulus as E): creep adds to it",
)
.soaking([0.007, 0.03])
.giving([0.00049, 0.00065]);

const PNNL_RANGE: &str = "PNNL-15870 Rev. 1 (2011); range typical value, unchecked";
const PRACTICE: &str = "common practice, no source: weigh it";
/// Water that unsealed wood takes up, share of volume. From memory, not seen.
const WOOD_SOAKS: [f64; 2] = [0.0, 0.3];

/// What a builder uses, by kind.
pub const MATERIALS: [Material; 39] = {
    use MaterialKind::{Composite, Foam, Metal, Other, Plastic, Wood};
    [
        LEAD,
        Material::of(Metal, "tungsten", 19300.0, [19250.0, 19300.0], PNNL_RANGE),
        Material::of(
            Metal,
            "tungsten heavy alloy",
            17750.0,
            [17000.0, 18500.0],
            "middle of the classes of ASTM B777; typical value, unchecked",
        ),
        BRASS,
        Material::of(
            Metal,
            "bronze",
            8400.0,
            [7450.0, 8910.0],
            "PNNL-15870 Rev. 1 (2011); range of the alloys typical value, unchecked: weigh it",
        ),
        Material::of(Metal, "copper", 8960.0, [8920.0, 8960.0], PNNL_RANGE),
        STEEL,
        Material::of(
            Metal,
            "stainless steel",
            8000.0,
            [7900.0, 8030.0],
            "PNNL-15870 Rev. 1 (2011): 316 has 8000, 304 to 8030; EN 10088 practice 7900",
        ),
        Material::of(
            Metal,
            "aluminium",
            2700.0,
            [2660.0, 2810.0],
            "PNNL-15870 Rev. 1 (2011): 6061 has 2700; range of the alloys typical value, \
             unchecked",
        ),
        Material::of(
            Metal,
            "titanium",
            4430.0,
            [4430.0, 4510.0],
            "PNNL-15870 Rev. 1 (2011): grade 5; pure 4510 typical value, unchecked",
        ),
        Material::of(
            Plastic,
            "ABS",
            1050.0,
            [1040.0, 1060.0],
            "typical value, unchecked; printed parts may flood inside",
        ),
        Material::of(
            Plastic,
            "PLA",
            1240.0,
            [1240.0, 1250.0],
            "1250 second-hand, 1240 typical value, unchecked; printed parts may flood inside",
        ),
        Material::of(
            Plastic,
            "PETG",
            1270.0,
            [1250.0, 1290.0],
            "data sheets 1250 to 1290; printed parts may flood inside",
        ),
        Material::of(
            Plastic,
            "PVC, rigid",
            1400.0,
            [1300.0, 1450.0],
            "PNNL-15870 Rev. 1 (2011) 1406; range typical value, unchecked",
        ),
        Material::of(Plastic, "polycarbonate", 1200.0, [1190.0, 1220.0], PNNL_RANGE),
        Material::of(
            Plastic,
            "acrylic",
            1190.0,
            [1180.0, 1190.0],
            "PNNL-15870 Rev. 1 (2011) 1190; the library xraydb 1180",
        ),
        Material::of(Plastic, "nylon", 1140.0, [1130.0, 1150.0], PNNL_RANGE),
        Material::of(
            Plastic,
            "polyethylene",
            940.0,
            [930.0, 950.0],
            "PNNL-15870 Rev. 1 (2011): 930 to 950",
        ),
        Material::of(Plastic, "polypropylene", 900.0, [895.0, 910.0], PNNL_RANGE),
        Material::of(Plastic, "polystyrene, solid", 1060.0, [1040.0, 1060.0], PNNL_RANGE),
        Material::of(
            Composite,
            "GRP, hand lay-up",
            1500.0,
            [1400.0, 1700.0],
            "mixture of E-glass 2570 (PNNL-15870 Rev. 1, 2011) and polyester 1200 (typical \
             value, unchecked): 30 % of glass 1428, 50 % 1636; check by weighing",
        ),
        Material::of(
            Composite,
            "epoxy",
            1170.0,
            [1100.0, 1200.0],
            "one data set 1170; range typical value, unchecked",
        ),
        FOAM_BOARD,
        Material::of(
            Foam,
            "EPS",
            15.0,
            [10.0, 35.0],
            "boards to EN 13163; uptake of the typical class WL(T)5, at most 5 %",
        )
        .soaking([0.0, 0.05]),
        Material::of(
            Foam,
            "PU foam, rigid",
            35.0,
            [30.0, 200.0],
            "data sheet of one closed-cell sheet; range of the trade; the lightest takes up much water (second-hand)",
        ),
        Material::of(
            Foam,
            "PVC core foam, closed cells",
            80.0,
            [35.0, 250.0],
            "grades are named by their density, 35 to 250",
        ),
        Material::of(
            Foam,
            "PE foam, cross-linked",
            33.0,
            [33.0, 33.0],
            "data sheet: uptake 0.1 % in a day to 0.5 % in 28; softness from 25 % at 40 kPa \
             and from the gas law at 1 m (own arithmetic): too soft for fixed buoyancy",
        )
        .soaking([0.001, 0.005])
        .giving([0.061, 0.089]),
        Material::of(
            Foam,
            "syntactic foam",
            450.0,
            [350.0, 545.0],
            "Cuming Tech. Note 100-3: 22 to 34 lb/ft3",
        ),
        Material::of(
            Wood,
            "balsa",
            160.0,
            [100.0, 250.0],
            "Borrega & Gibson 2015, Mech. Mater. 84:75; uptake unsealed typical value, unchecked",
        )
        .soaking(WOOD_SOAKS),
        Material::of(
            Wood,
            "birch plywood",
            700.0,
            [650.0, 750.0],
            "EN 1991-1-1 annex A, typical value, unchecked; uptake unsealed likewise",
        )
        .soaking(WOOD_SOAKS),
        Material::of(
            Wood,
            "softwood plywood",
            500.0,
            [450.0, 550.0],
            "EN 1991-1-1 annex A, typical value, unchecked; uptake unsealed likewise",
        )
        .soaking(WOOD_SOAKS),
        Material::of(
            Wood,
            "pine",
            640.0,
            [450.0, 650.0],
            "PNNL-15870 Rev. 1 (2011); range and uptake unsealed typical value, unchecked",
        )
        .soaking(WOOD_SOAKS),
        Material::of(
            Other,
            "silicone rubber",
            1020.0,
            [1020.0, 1200.0],
            "PNNL-15870 Rev. 1 (2011); filled grades 1200 and more",
        ),
        Material::of(Other, "neoprene, solid", 1230.0, [1200.0, 1300.0], PNNL_RANGE),
        Material::of(
            Other,
            "wax",
            900.0,
            [812.0, 920.0],
            "880 to 920 typical value, unchecked; PNNL-15870 Rev. 1 (2011) 812",
        ),
        Material::of(Other, "paint, dry film", 1300.0, [1100.0, 1700.0], PRACTICE),
        Material::of(Other, "filler, polyester", 1700.0, [1300.0, 1900.0], PRACTICE),
        Material::of(Other, "filler, lightweight", 700.0, [500.0, 900.0], PRACTICE),
        Material::of(Other, "adhesive", 1100.0, [950.0, 1300.0], PRACTICE),
    ]
};
