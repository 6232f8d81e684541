//! The bench's results put into words.

use crate::state::BoatInHand;
use crate::ui::text::{self, THIN, fine_millimetres, grams, liquid, millimetres, number, residual};
use crate::words::{t, word};
use trimwright::ballast::{InitialStability, Outlook, half_full_gm};
use trimwright::boat::Boat;
use trimwright::diary::BoatRecord;
use trimwright::float::{Afloat, AttitudeKind, Basin, OtherAttitude};
use trimwright::material::named;
use trimwright::unit::{DEGREE, GRAM, MILLIMETRE};

/// A name and a figure.
pub(crate) type Fact = (String, String);

/// GM across below this is little, metres. Common practice, no source.
const LITTLE_GM: f64 = 4.0 * MILLIMETRE;
/// Tank margin below this is little. Common practice, no source: batteries differ, water too.
const LITTLE_MARGIN: f64 = 0.05;

pub(crate) fn percent(share: f64) -> String {
    format!("{}{THIN}%", number(share * 100.0, 0))
}

/// The boat in three lines.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Brief {
    /// How it lies.
    pub(crate) lies: String,
    /// Mass and stiffness, with its sign.
    pub(crate) figures: String,
    /// The class of that line.
    pub(crate) class: &'static str,
    /// What the tank must and can take.
    pub(crate) tank: String,
    /// The class of that line.
    pub(crate) tank_class: &'static str,
}

impl Brief {
    /// Of a boat that can be calculated; `spread` is the standard deviation of its mass, kg.
    pub(crate) fn of(outlook: &Outlook, boat: &Boat, spread: f64) -> Self {
        let gm = outlook.upright_gm;
        let floats = outlook.afloat.outcome.afloat().is_some();
        let (class, key) = match outlook.initial_stability() {
            _ if !floats => ("note", word!("figures.weighs")),
            InitialStability::AsTurned => ("after warn", word!("figures.gm_none")),
            InitialStability::Falls => ("after bad", word!("figures.gm_top_heavy")),
            InitialStability::Stands if gm < LITTLE_GM => {
                ("after warn", word!("figures.gm_little"))
            }
            InitialStability::Stands => ("after ok", word!("figures.gm_good")),
        };
        let mass = weighs(boat, spread);
        let figures = t!(key, gm = fine_millimetres(gm), mass = mass);
        let (tank, tank_class) = tank_line(outlook);
        Self { lies: text::upper_first(&lies_afloat(outlook)), figures, class, tank, tank_class }
    }

    /// Of a boat that cannot be calculated yet: why not.
    pub(crate) fn none(why: Option<String>) -> Self {
        let figures = why.map(|w| format!("{}.", text::upper_first(&w))).unwrap_or_default();
        Self { figures, class: "note", ..Self::default() }
    }
}

/// What a boat weighs, with its tanks empty: "4317 g empty".
pub(crate) fn weighs(boat: &Boat, spread: f64) -> String {
    let mass = spread_of(boat.dry_mass(), spread);
    if boat.tanks.is_empty() { mass } else { t!("figures.tanks_empty", mass = mass) }
}

pub(super) fn spread_of(mass: f64, spread: f64) -> String {
    if spread < 0.5 * GRAM {
        return grams(mass);
    }
    format!("{} ±{THIN}{}", grams(mass), text::whole_grams(spread))
}

fn tank_line(outlook: &Outlook) -> (String, &'static str) {
    let need = &outlook.tank;
    if need.from_blown < 0.0 {
        let heavy = residual(outlook.under.blown_residual);
        let key =
            if need.has > 0.0 { word!("figures.sinks_blown") } else { word!("figures.sinks") };
        return (t!(key, heavy = heavy), "after bad");
    }
    if need.has <= 0.0 {
        let wanted = liquid(need.from_blown);
        return (t!("figures.no_tank", volume = wanted), "after warn");
    }
    if need.neutral_share().is_none() {
        let full = residual(outlook.under.full_residual);
        return (t!("figures.still_full", residual = full), "after bad");
    }
    // Of the boat as it floats now: what it needs from its marks stands in the result.
    let [wanted, has] = [need.from_blown, need.has].map(liquid);
    if need.from_blown == 0.0 {
        return (t!("figures.tank", wanted = wanted, has = has), "note");
    }
    let margin = need.has / need.from_blown - 1.0;
    let (key, class) = if margin < LITTLE_MARGIN {
        (word!("figures.tank_little"), "after warn")
    } else {
        (word!("figures.tank_good"), "after ok")
    };
    (t!(key, wanted = wanted, has = has, spare = percent(margin)), class)
}

/// How it lies afloat: "upright, 0.3° bow down, marks within 4 mm".
pub(crate) fn lies_afloat(outlook: &Outlook) -> String {
    let heel = outlook.afloat.pose.heel();
    let floats = outlook.afloat.outcome.afloat().is_some();
    match outlook.initial_stability() {
        // Which side is chance: a side would invite a weight on the other, which makes it worse.
        InitialStability::Falls if floats => t!("figures.falls", angle = text::degrees(heel)),
        InitialStability::AsTurned if floats => {
            format!("{}, {}", t!("figures.as_turned"), text::trim(outlook.afloat.pose.trim()))
        }
        _ => text::lies(&outlook.afloat, &[]),
    }
}

/// What the facts are taken from.
pub(crate) struct FactSource<'a> {
    /// The boat.
    pub(crate) hand: &'a BoatInHand,
    /// What it will do.
    pub(crate) outlook: &'a Outlook,
    /// As it is described.
    pub(crate) record: &'a BoatRecord,
    /// Density of the water, kg/m³.
    pub(crate) density: f64,
}

fn fact(name: impl Into<String>, value: impl Into<String>) -> Fact {
    (name.into(), value.into())
}

/// Afloat.
pub(crate) fn afloat(of: &FactSource<'_>) -> Vec<Fact> {
    let Some(afloat) = of.outlook.afloat.outcome.afloat() else {
        let heavy = residual(of.outlook.under.blown_residual);
        return vec![fact(t!("figures.does_not_float"), heavy)];
    };
    let mut facts = vec![
        fact(t!("past.list"), text::list(afloat.pose.heel())),
        fact(t!("past.trim"), text::trim(afloat.pose.trim())),
    ];
    for (mark, seen) in of.hand.boat.marks.iter().zip(&of.outlook.afloat.marks) {
        // The draught is measured up the hull from the keel line under the mark.
        let draught = afloat.pose.water_height_at(mark.at.x(), mark.at.y());
        let words = t!(
            "figures.at_mark",
            water = text::water_at(seen.above),
            draught = millimetres(draught)
        );
        facts.push(fact(t!("widget.water_at", mark = mark.name), words));
    }
    facts.push(fact(t!("figures.gm_upright"), fine_millimetres(of.outlook.upright_gm)));
    facts.extend(added_up(afloat).map(|sum| fact(t!("figures.gm_added_up"), sum)));
    let half_full = half_full_gm(&of.hand.model, Basin::deep(of.density)).ok();
    facts.extend(half_full.map(|gm| fact(t!("figures.gm_half_full"), fine_millimetres(gm))));
    facts.extend([
        fact(t!("figures.displacement"), displacement(of, afloat.mass)),
        fact(t!("figures.reserve"), grams(afloat.reserve * of.density)),
        fact(t!("dive.gm_along"), millimetres(afloat.stiffness.along)),
        fact(
            t!("figures.centre_of_gravity"),
            place_of(of, afloat.centre_of_gravity.vector().into()),
        ),
        fact(
            t!("figures.centre_of_buoyancy"),
            place_of(of, afloat.centre_of_buoyancy.vector().into()),
        ),
    ]);
    facts
}

/// GM as builders add it up, KB + BM − KG, less what free surfaces take: "48.2 + 12.1 − 51.0". None for a boat
/// that leans, which has no such sum.
fn added_up(afloat: &Afloat) -> Option<String> {
    if afloat.pose.heel().abs() > DEGREE || afloat.pose.trim().abs() > DEGREE {
        return None;
    }
    let bm = afloat.metacentric_radius();
    let [kb, kg] = [afloat.centre_of_buoyancy, afloat.centre_of_gravity].map(|at| at.vector().z);
    let free = afloat.stiffness.free_surface_across;
    let [kb, bm, kg] = [kb, bm, kg].map(fine_millimetres);
    let sum = t!("figures.kb_bm_kg", kb = kb, bm = bm, kg = kg);
    if free < 0.05 * MILLIMETRE {
        return Some(sum);
    }
    Some(t!("figures.less_free_surface", sum = sum, free = fine_millimetres(free)))
}

/// The heights that GM is made of, each by itself.
pub(crate) fn heights(of: &FactSource<'_>) -> Vec<Fact> {
    let Some(afloat) = of.outlook.afloat.outcome.afloat() else { return Vec::new() };
    let [kb, kg] = [afloat.centre_of_buoyancy, afloat.centre_of_gravity].map(|at| at.vector().z);
    [
        (word!("figures.kb"), kb),
        (word!("figures.bm"), afloat.metacentric_radius()),
        (word!("figures.kg"), kg),
    ]
    .map(|(name, height)| fact(t!(name), fine_millimetres(height)))
    .into()
}

/// How else it can lie: "on its side, 84° to starboard".
pub(crate) fn other_attitude(other: &OtherAttitude) -> Fact {
    let whole = |radians: f64| format!("{}°", number((radians / DEGREE).abs(), 0));
    let (heel, trim) = (other.pose.heel(), other.pose.trim());
    let to_side = || {
        if other.to_either_side {
            t!("figures.to_either_side", angle = whole(heel))
        } else {
            text::to_side(heel < 0.0, &whole(heel))
        }
    };
    let lies = match other.lying {
        AttitudeKind::BottomUp => t!("figures.bottom_up"),
        AttitudeKind::OnItsBow => t!("figures.on_its_bow", angle = whole(trim)),
        AttitudeKind::OnItsStern => t!("figures.on_its_stern", angle = whole(trim)),
        AttitudeKind::OnItsSide => t!("figures.on_its_side", angle = to_side()),
        AttitudeKind::Leaning if heel.abs() < trim.abs() => {
            t!("figures.leaning", angle = text::trim(trim))
        }
        AttitudeKind::Leaning => t!("figures.leaning", angle = to_side()),
    };
    fact(t!("figures.can_also_lie"), lies)
}

/// What the boat displaces: what it weighs, and what its blown tanks still hold.
fn displacement(of: &FactSource<'_>, afloat: f64) -> String {
    let left = afloat - of.hand.boat.dry_mass();
    let mass = spread_of(afloat, of.hand.parts.mass_spread());
    if left < 0.5 * GRAM {
        return mass;
    }
    t!("figures.with_water", mass = mass, water = grams(left))
}

fn place_of(of: &FactSource<'_>, [x, y, z]: [f64; 3]) -> String {
    let side =
        if y.abs() < 0.05 * MILLIMETRE { String::new() } else { format!(", {}", text::across(y)) };
    let up = t!("compare.above_keel", length = fine_millimetres(z));
    format!("{}{side}, {up}", text::along(x, of.hand.datum))
}

/// Under water.
pub(crate) fn under(of: &FactSource<'_>) -> Vec<Fact> {
    let under = &of.outlook.under;
    let pose = under.hangs.pose;
    let at = |share: f64| {
        let mass = under.blown_residual + share * (under.full_residual - under.blown_residual);
        fact(t!("figures.tanks_at", share = percent(share)), residual(mass))
    };
    let mut facts = vec![fact(t!("figures.tanks_blown"), residual(under.blown_residual))];
    if of.outlook.tank.has > 0.0 {
        facts.extend([0.25, 0.5, 0.75].map(at));
        facts.push(fact(t!("figures.tanks_full"), residual(under.full_residual)));
    }
    match of.outlook.tank.neutral_share() {
        Some(share) => {
            facts.push(fact(
                t!("figures.neutral_with"),
                t!("figures.share_full", share = percent(share)),
            ));
        }
        None if of.outlook.tank.has > 0.0 => {
            facts.push(fact(t!("figures.neutral"), t!("figures.never")));
        }
        None => {}
    }
    facts.extend([
        fact(t!("figures.bg"), fine_millimetres(under.hangs.bg)),
        fact(
            t!(if of.outlook.tank.neutral_share().is_some() {
                word!("figures.hangs")
            } else if under.share > 0.0 {
                word!("figures.hangs_full")
            } else {
                word!("figures.hangs_blown")
            }),
            format!("{}, {}", text::list(pose.heel()), text::trim(pose.trim())),
        ),
    ]);
    facts
}

/// What the tanks must and can take.
pub(crate) fn tank(of: &FactSource<'_>) -> Vec<Fact> {
    let need = &of.outlook.tank;
    let mut facts = Vec::new();
    if let Some(volume) = need.from_waterline {
        facts.push(fact(t!("figures.from_waterline"), liquid(volume)));
    }
    facts.push(fact(t!("figures.from_blown"), liquid(need.from_blown)));
    facts.push(fact(t!("figures.tanks_take"), liquid(need.has)));
    if let Some(margin) = need.margin() {
        let key = if margin < 0.0 { word!("figures.too_little") } else { word!("figures.spare") };
        facts.push(fact(t!("figures.margin"), t!(key, share = percent(margin.abs()))));
    }
    facts
}

/// How sure it is: the range of the densities, what the foam does.
pub(crate) fn sure(of: &FactSource<'_>) -> Vec<Fact> {
    let spread = of.hand.parts.mass_spread();
    let mass = if spread < 0.5 * GRAM {
        t!("figures.all_weighed")
    } else {
        format!("±{THIN}{}", text::whole_grams(spread))
    };
    let mut facts = vec![fact(t!("figures.mass_varies"), mass)];
    let worst = of.hand.parts.iter().max_by(|a, b| a.1.mass_spread.total_cmp(&b.1.mass_spread));
    if let Some((_, made)) = worst.filter(|(_, made)| made.mass_spread > GRAM) {
        facts.push(fact(t!("figures.weigh_first"), made.part.name.clone()));
    }
    let (mut soaks, mut gives) = ([0.0; 2], [0.0; 2]);
    for (line, made) in of.hand.parts.iter().filter(|(_, m)| m.part.status.is_aboard()) {
        let known = of.record.parts.get(line).and_then(|p| named(&p.material.as_ref()?.name));
        let (Some(material), Some(volume)) = (known, made.material_volume) else { continue };
        for (sum, range) in [(&mut soaks, material.uptake), (&mut gives, material.softness)] {
            for (end, share) in sum.iter_mut().zip(range.unwrap_or([0.0; 2])) {
                *end += share * volume * of.density;
            }
        }
    }
    let range = |[low, high]: [f64; 2]| t!("figures.range", low = grams(low), high = grams(high));
    if soaks[1] > GRAM / 2.0 {
        facts.push(fact(t!("figures.soaks"), range(soaks)));
    }
    if gives[1] > GRAM / 20.0 {
        facts.push(fact(t!("figures.gives"), range(gives)));
    }
    facts
}

/// What to put on or take off in another water: afloat and under.
pub(crate) fn change_of_water(hand: &BoatInHand, from: f64, to: f64) -> String {
    let by = |volume: f64| (to - from) * volume;
    let words = |mass: f64| {
        if mass.abs() < GRAM / 2.0 {
            return t!("figures.nothing");
        }
        let key = if mass > 0.0 { word!("figures.put_on") } else { word!("figures.take_off") };
        t!(key, mass = grams(mass.abs()))
    };
    let under = words(by(hand.model.total_volume()));
    let afloat = hand.model.mass() / from;
    let afloat = words(by(afloat.min(hand.model.total_volume())));
    t!("figures.afloat_under", afloat = afloat, under = under)
}

#[cfg(test)]
mod tests {
    use super::*;
    use trimwright::ballast::outlook;
    use trimwright::diary::TEMPLATES;
    use trimwright::float::FloatModel;
    use trimwright::geometry::Fineness;

    /// Fresh water of 20 °C, kg/m³.
    const POOL: f64 = 998.2067;

    #[test]
    fn kb_and_bm_less_kg_is_the_gm_that_is_shown() {
        let mut added = 0;
        for template in TEMPLATES {
            let boat = template.boat_record().map(|r| r.boat().expect("a good boat"));
            let boat = boat.expect("a boat of ours");
            let model = FloatModel::new(&boat, Fineness::WORK).expect("a good boat");
            let of = outlook(&model, Basin::deep(POOL), None, &boat.marks).expect("good water");
            let Some(sum) = of.afloat.outcome.afloat().and_then(added_up) else { continue };
            let numbers: Vec<f64> = sum
                .split(|c: char| !c.is_ascii_digit() && c != '.')
                .filter_map(|text| text.parse().ok())
                .collect();
            let [kb, bm, kg, rest @ ..] = numbers.as_slice() else { panic!("three: {sum}") };
            let gm = (kb + bm - kg - rest.iter().sum::<f64>()) * MILLIMETRE;
            // Each of them is rounded to a tenth of a millimetre.
            assert!((gm - of.upright_gm).abs() < 0.21 * MILLIMETRE, "{}: {sum}", template.name);
            added += 1;
        }
        assert!(added >= 3, "boats that lie level: {added}");
    }

    #[test]
    fn the_foot_of_the_bench_says_what_the_boat_weighs_and_that_its_tanks_are_empty() {
        for template in TEMPLATES {
            let record = template.boat_record().expect("a boat of ours");
            let boat = record.boat().expect("a good boat");
            let model = FloatModel::new(&boat, Fineness::WORK).expect("a good boat");
            let outlook =
                outlook(&model, Basin::deep(POOL), None, &boat.marks).expect("good water");
            let said = Brief::of(&outlook, &boat, 0.0).figures;
            let wanted = format!("weighs {} empty", grams(boat.dry_mass()));
            assert!(said.contains(&wanted), "{}: {said}", template.name);
        }
    }
}
