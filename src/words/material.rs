//! What models are built of, by names.

use super::t;
use crate::words::{Word, word};
use trimwright::diary::WeightMaterial;
use trimwright::material::{MATERIALS, Material};

/// For each material of the table its name there, the key of its name, and the key of its source.
const KEYS: [(&str, Word, Word); MATERIALS.len()] = [
    ("lead", word!("material.lead"), word!("material_source.lead")),
    ("tungsten", word!("material.tungsten"), word!("material_source.pnnl_range")),
    (
        "tungsten heavy alloy",
        word!("material.tungsten_heavy_alloy"),
        word!("material_source.tungsten_heavy_alloy"),
    ),
    ("brass", word!("material.brass"), word!("material_source.brass")),
    ("bronze", word!("material.bronze"), word!("material_source.bronze")),
    ("copper", word!("material.copper"), word!("material_source.pnnl_range")),
    ("steel", word!("material.steel"), word!("material_source.steel")),
    (
        "stainless steel",
        word!("material.stainless_steel"),
        word!("material_source.stainless_steel"),
    ),
    ("aluminium", word!("material.aluminium"), word!("material_source.aluminium")),
    ("titanium", word!("material.titanium"), word!("material_source.titanium")),
    ("ABS", word!("material.abs"), word!("material_source.abs")),
    ("PLA", word!("material.pla"), word!("material_source.pla")),
    ("PETG", word!("material.petg"), word!("material_source.petg")),
    ("PVC, rigid", word!("material.pvc_rigid"), word!("material_source.pvc_rigid")),
    ("polycarbonate", word!("material.polycarbonate"), word!("material_source.pnnl_range")),
    ("acrylic", word!("material.acrylic"), word!("material_source.acrylic")),
    ("nylon", word!("material.nylon"), word!("material_source.pnnl_range")),
    ("polyethylene", word!("material.polyethylene"), word!("material_source.polyethylene")),
    ("polypropylene", word!("material.polypropylene"), word!("material_source.pnnl_range")),
    (
        "polystyrene, solid",
        word!("material.polystyrene_solid"),
        word!("material_source.pnnl_range"),
    ),
    (
        "GRP, hand lay-up",
        word!("material.grp_hand_lay_up"),
        word!("material_source.grp_hand_lay_up"),
    ),
    ("epoxy", word!("material.epoxy"), word!("material_source.epoxy")),
    ("XPS board", word!("material.xps_board"), word!("material_source.xps_board")),
    ("EPS", word!("material.eps"), word!("material_source.eps")),
    ("PU foam, rigid", word!("material.pu_foam_rigid"), word!("material_source.pu_foam_rigid")),
    (
        "PVC core foam, closed cells",
        word!("material.pvc_core_foam_closed_cells"),
        word!("material_source.pvc_core_foam_closed_cells"),
    ),
    (
        "PE foam, cross-linked",
        word!("material.pe_foam_cross_linked"),
        word!("material_source.pe_foam_cross_linked"),
    ),
    ("syntactic foam", word!("material.syntactic_foam"), word!("material_source.syntactic_foam")),
    ("balsa", word!("material.balsa"), word!("material_source.balsa")),
    ("birch plywood", word!("material.birch_plywood"), word!("material_source.plywood")),
    ("softwood plywood", word!("material.softwood_plywood"), word!("material_source.plywood")),
    ("pine", word!("material.pine"), word!("material_source.pine")),
    (
        "silicone rubber",
        word!("material.silicone_rubber"),
        word!("material_source.silicone_rubber"),
    ),
    ("neoprene, solid", word!("material.neoprene_solid"), word!("material_source.pnnl_range")),
    ("wax", word!("material.wax"), word!("material_source.wax")),
    ("paint, dry film", word!("material.paint_dry_film"), word!("material_source.practice")),
    ("filler, polyester", word!("material.filler_polyester"), word!("material_source.practice")),
    (
        "filler, lightweight",
        word!("material.filler_lightweight"),
        word!("material_source.practice"),
    ),
    ("adhesive", word!("material.adhesive"), word!("material_source.practice")),
];

/// The name of a material of the table.
pub(crate) fn name(material: &Material) -> String {
    shown(material.name)
}

/// The name of a material as it is stored, as it is shown: a name of the table in the language of the
/// view, any other as its builder gave it.
pub(crate) fn shown(stored: &str) -> String {
    let known = KEYS.iter().find(|(name, ..)| *name == stored);
    known.map_or_else(|| stored.to_owned(), |(_, key, _)| t!(*key))
}

/// A weight's material, in a word.
pub(crate) fn of_weight(material: WeightMaterial) -> String {
    t!(match material {
        WeightMaterial::Lead => word!("weight.lead"),
        WeightMaterial::Brass => word!("weight.brass"),
        WeightMaterial::Steel => word!("weight.steel"),
        WeightMaterial::Foam => word!("weight.foam"),
    })
}

/// Where the figures of a material of the table are from.
pub(crate) fn source(material: &Material) -> String {
    let known = KEYS.iter().find(|(name, ..)| *name == material.name);
    known.map_or_else(|| material.source.to_owned(), |(.., key)| t!(*key))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn english_is_as_the_table_says_it() {
        for (material, (own, ..)) in MATERIALS.iter().zip(KEYS) {
            assert_eq!(material.name, own, "in the order of the table");
            assert_eq!(name(material), material.name, "its name");
            assert_eq!(source(material), material.source, "its source");
        }
        assert_eq!(shown("slate from the roof"), "slate from the roof", "not in the table");
    }
}
