//! What models are built of, by names.

use super::t;
use trimwright::diary::WeightMaterial;
use trimwright::material::{MATERIALS, Material};

/// For each material of the table its name there, the key of its name, and the key of its source.
const KEYS: [(&str, &str, &str); MATERIALS.len()] = [
    ("lead", "material.lead", "material_source.lead"),
    ("tungsten", "material.tungsten", "material_source.pnnl_range"),
    (
        "tungsten heavy alloy",
        "material.tungsten_heavy_alloy",
        "material_source.tungsten_heavy_alloy",
    ),
    ("brass", "material.brass", "material_source.brass"),
    ("bronze", "material.bronze", "material_source.bronze"),
    ("copper", "material.copper", "material_source.pnnl_range"),
    ("steel", "material.steel", "material_source.steel"),
    ("stainless steel", "material.stainless_steel", "material_source.stainless_steel"),
    ("aluminium", "material.aluminium", "material_source.aluminium"),
    ("titanium", "material.titanium", "material_source.titanium"),
    ("ABS", "material.abs", "material_source.abs"),
    ("PLA", "material.pla", "material_source.pla"),
    ("PETG", "material.petg", "material_source.petg"),
    ("PVC, rigid", "material.pvc_rigid", "material_source.pvc_rigid"),
    ("polycarbonate", "material.polycarbonate", "material_source.pnnl_range"),
    ("acrylic", "material.acrylic", "material_source.acrylic"),
    ("nylon", "material.nylon", "material_source.pnnl_range"),
    ("polyethylene", "material.polyethylene", "material_source.polyethylene"),
    ("polypropylene", "material.polypropylene", "material_source.pnnl_range"),
    ("polystyrene, solid", "material.polystyrene_solid", "material_source.pnnl_range"),
    ("GRP, hand lay-up", "material.grp_hand_lay_up", "material_source.grp_hand_lay_up"),
    ("epoxy", "material.epoxy", "material_source.epoxy"),
    ("XPS board", "material.xps_board", "material_source.xps_board"),
    ("EPS", "material.eps", "material_source.eps"),
    ("PU foam, rigid", "material.pu_foam_rigid", "material_source.pu_foam_rigid"),
    (
        "PVC core foam, closed cells",
        "material.pvc_core_foam_closed_cells",
        "material_source.pvc_core_foam_closed_cells",
    ),
    (
        "PE foam, cross-linked",
        "material.pe_foam_cross_linked",
        "material_source.pe_foam_cross_linked",
    ),
    ("syntactic foam", "material.syntactic_foam", "material_source.syntactic_foam"),
    ("balsa", "material.balsa", "material_source.balsa"),
    ("birch plywood", "material.birch_plywood", "material_source.plywood"),
    ("softwood plywood", "material.softwood_plywood", "material_source.plywood"),
    ("pine", "material.pine", "material_source.pine"),
    ("silicone rubber", "material.silicone_rubber", "material_source.silicone_rubber"),
    ("neoprene, solid", "material.neoprene_solid", "material_source.pnnl_range"),
    ("wax", "material.wax", "material_source.wax"),
    ("paint, dry film", "material.paint_dry_film", "material_source.practice"),
    ("filler, polyester", "material.filler_polyester", "material_source.practice"),
    ("filler, lightweight", "material.filler_lightweight", "material_source.practice"),
    ("adhesive", "material.adhesive", "material_source.practice"),
];

/// The name of a material of the table.
pub(crate) fn name(material: &Material) -> String {
    shown(material.name)
}

/// The name of a material as it is stored, as it is shown: a name of the table in the language of the
/// view, any other as its builder gave it.
pub(crate) fn shown(stored: &str) -> String {
    let known = KEYS.iter().find(|(name, ..)| *name == stored);
    known.map_or_else(|| stored.to_owned(), |(_, key, _)| t!(key))
}

/// What a weight is made of, in a word.
pub(crate) fn of_weight(material: WeightMaterial) -> String {
    t!(match material {
        WeightMaterial::Lead => "weight.lead",
        WeightMaterial::Brass => "weight.brass",
        WeightMaterial::Steel => "weight.steel",
        WeightMaterial::Foam => "weight.foam",
    })
}

/// Where the figures of a material of the table are from.
pub(crate) fn source(material: &Material) -> String {
    let known = KEYS.iter().find(|(name, ..)| *name == material.name);
    known.map_or_else(|| material.source.to_owned(), |(.., key)| t!(key))
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
