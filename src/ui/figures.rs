//! The bench's results put into words.

use crate::state::{BoatInHand, Datum, Shape, speech};
use crate::ui::text::{self, THIN, fine_millimetres, grams, liquid, millimetres, number};
use trimwright::ballast::{Outlook, ToMarks, half_full_gm};
use trimwright::boat::MadePart;
use trimwright::diary::{BoatRecord, MediumRecord, PlaceRecord, StatusRecord, TankRecord};
use trimwright::float::Basin;
use trimwright::geometry::Fineness;
use trimwright::material::{Material, named};
use trimwright::unit::{GRAM, MILLIMETRE};

/// A name and a figure.
pub(crate) type Fact = (String, String);

/// GM across below this is little, metres. Common practice, no source.
const LITTLE_GM: f64 = 4.0 * MILLIMETRE;
/// Tank margin below this is little. Common practice, no source: batteries differ, water too.
const LITTLE_MARGIN: f64 = 0.05;

fn percent(share: f64) -> String {
    format!("{}{THIN}%", number(share * 100.0, 0))
}

/// "312 g light", "45 g heavy".
fn residual(mass: f64) -> String {
    if mass.abs() < 0.5 * GRAM {
        return "neutral".to_owned();
    }
    format!("{} {}", grams(mass.abs()), if mass > 0.0 { "heavy" } else { "light" })
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
    pub(crate) fn of(outlook: &Outlook, spread: f64) -> Self {
        let gm = outlook.upright_gm;
        let floats = outlook.afloat.outcome.afloat().is_some();
        let mass = outlook.afloat.outcome.afloat().map(|a| a.mass);
        let mass = mass.or(outlook.afloat.outcome.submerged().map(|u| u.mass)).unwrap_or(0.0);
        let (sign, class, doubt) = match gm {
            _ if !floats => ("", "note", ""),
            gm if gm <= 0.0 => ("✕ ", "after bad", "; top-heavy: lower weight"),
            gm if gm < LITTLE_GM => ("! ", "after warn", "; GM is little"),
            _ => ("✓ ", "after ok", ""),
        };
        let weighs = spread_of(mass, spread);
        let figures = if floats {
            format!("{sign}GM {}, weighs {weighs}{doubt}", fine_millimetres(gm))
        } else {
            format!("Weighs {weighs}")
        };
        let (tank, tank_class) = tank_line(outlook);
        Self { lies: text::upper_first(&lies_afloat(outlook)), figures, class, tank, tank_class }
    }

    /// Of a boat that cannot be calculated yet: why not.
    pub(crate) fn none(why: Option<String>) -> Self {
        let figures = why.map(|w| format!("{}.", text::upper_first(&w))).unwrap_or_default();
        Self { figures, class: "note", ..Self::default() }
    }
}

fn spread_of(mass: f64, spread: f64) -> String {
    if spread < 0.5 * GRAM {
        return grams(mass);
    }
    format!("{} ±{THIN}{}", grams(mass), text::whole_grams(spread))
}

fn tank_line(outlook: &Outlook) -> (String, &'static str) {
    let need = &outlook.tank;
    if need.has <= 0.0 {
        let wanted = liquid(need.need().max(0.0));
        return (format!("! No tank: from its waterline it needs {wanted} to dive"), "after warn");
    }
    if need.from_blown < 0.0 {
        return ("✕ It sinks with its tanks blown".to_owned(), "after bad");
    }
    if need.neutral_share().is_none() {
        let full = residual(outlook.under.full_residual);
        return (format!("✕ With its tanks full it is still {full}"), "after bad");
    }
    let figures = format!("Tank {} of {}", liquid(need.need()), liquid(need.has));
    match need.margin() {
        Some(margin) if margin < LITTLE_MARGIN => {
            (format!("! {figures}, {} spare", percent(margin)), "after warn")
        }
        Some(margin) => (format!("✓ {figures}, {} spare", percent(margin)), "after ok"),
        None => (figures, "note"),
    }
}

/// How it lies afloat: "upright, 0.3° bow down, marks within 4 mm".
pub(crate) fn lies_afloat(outlook: &Outlook) -> String {
    let heel = outlook.afloat.pose.heel();
    if outlook.upright_gm <= 0.0 && outlook.afloat.outcome.afloat().is_some() {
        // Which side is chance: a side would invite a weight on the other, which makes it worse.
        return format!("falls {} to one side or the other", text::degrees(heel));
    }
    text::lies(&outlook.afloat, &[])
}

/// What would bring it to its marks, in words.
pub(crate) fn to_marks(missing: &ToMarks, datum: Datum) -> String {
    if missing.mass.abs() < 0.5 * GRAM {
        return "nothing".to_owned();
    }
    let verb = if missing.mass > 0.0 { "add" } else { "take off" };
    let mass = grams(missing.mass.abs());
    match missing.at {
        Some([x, y]) => format!("{verb} {mass}, {}, {}", text::along(x, datum), text::across(y)),
        None => format!("{verb} {mass}, and shift weight along or across"),
    }
}

/// What the facts are taken from.
pub(crate) struct Whole<'a> {
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
pub(crate) fn afloat(of: &Whole<'_>) -> Vec<Fact> {
    let Some(afloat) = of.outlook.afloat.outcome.afloat() else {
        let heavy = residual(of.outlook.under.blown_residual);
        return vec![fact("It does not float", heavy)];
    };
    let mut facts = vec![
        fact("List", text::list(afloat.pose.heel())),
        fact("Trim", text::trim(afloat.pose.trim())),
    ];
    if let Some(missing) = &of.outlook.to_marks {
        facts.push(fact("To float at its marks", to_marks(missing, of.hand.datum)));
    }
    for (mark, seen) in of.hand.boat.marks.iter().zip(&of.outlook.afloat.marks) {
        // The draught is measured up the hull from the keel line under the mark.
        let draught = afloat.pose.water_height_at(mark.at.x(), mark.at.y());
        let words = format!("{}, draught {}", text::water_at(seen.above), millimetres(draught));
        facts.push(fact(format!("Water at {} mark", mark.name), words));
    }
    facts.push(fact("GM across, upright", fine_millimetres(of.outlook.upright_gm)));
    let half_full = half_full_gm(&of.hand.model, Basin::deep(of.density)).ok();
    facts.extend(half_full.map(|gm| fact("GM across, tanks half full", fine_millimetres(gm))));
    facts.extend([
        fact("Displacement", spread_of(afloat.mass, of.hand.parts.mass_spread())),
        fact("Reserve of buoyancy", grams(afloat.reserve * of.density)),
        fact("GM along", millimetres(afloat.stiffness.along)),
        fact("Centre of gravity", place_of(of, afloat.centre_of_gravity.vector().into())),
        fact("Centre of buoyancy", place_of(of, afloat.centre_of_buoyancy.vector().into())),
    ]);
    facts
}

fn place_of(of: &Whole<'_>, [x, y, z]: [f64; 3]) -> String {
    let side =
        if y.abs() < 0.05 * MILLIMETRE { String::new() } else { format!(", {}", text::across(y)) };
    format!("{}{side}, {} up", text::along(x, of.hand.datum), fine_millimetres(z))
}

/// Under water.
pub(crate) fn under(of: &Whole<'_>) -> Vec<Fact> {
    let under = &of.outlook.under;
    let pose = under.hangs.pose;
    let at = |share: f64| {
        let mass = under.blown_residual + share * (under.full_residual - under.blown_residual);
        fact(format!("Tanks {} full", percent(share)), residual(mass))
    };
    let mut facts = vec![fact("Tanks blown", residual(under.blown_residual))];
    if of.outlook.tank.has > 0.0 {
        facts.extend([0.25, 0.5, 0.75].map(at));
        facts.push(fact("Tanks full", residual(under.full_residual)));
    }
    match of.outlook.tank.neutral_share() {
        Some(share) => {
            facts.push(fact("Neutral with the tanks", format!("{} full", percent(share))));
        }
        None if of.outlook.tank.has > 0.0 => facts.push(fact("Neutral", "never with these tanks")),
        None => {}
    }
    facts.extend([
        fact("BG", fine_millimetres(under.hangs.bg)),
        fact(
            "Hangs at that fill",
            format!("{}, {}", text::list(pose.heel()), text::trim(pose.trim())),
        ),
    ]);
    facts
}

/// What the tanks must and can take.
pub(crate) fn tank(of: &Whole<'_>) -> Vec<Fact> {
    let need = &of.outlook.tank;
    let mut facts = Vec::new();
    if let Some(volume) = need.from_waterline {
        facts.push(fact("From the waterline to neutral", liquid(volume)));
    }
    facts.push(fact("As it floats to neutral", liquid(need.from_blown)));
    facts.push(fact("The tanks take", liquid(need.has)));
    if let Some(margin) = need.margin() {
        let words = if margin < 0.0 { "too little" } else { "spare" };
        facts.push(fact("Margin", format!("{} {words}", percent(margin.abs()))));
    }
    facts
}

/// How sure it is: the range of the densities, what the foam does.
pub(crate) fn sure(of: &Whole<'_>) -> Vec<Fact> {
    let spread = of.hand.parts.mass_spread();
    let mass = if spread < 0.5 * GRAM {
        "every part is weighed".to_owned()
    } else {
        format!("±{THIN}{}", text::whole_grams(spread))
    };
    let mut facts = vec![fact("Mass, because densities vary", mass)];
    let worst = of.hand.parts.iter().max_by(|a, b| a.1.mass_spread.total_cmp(&b.1.mass_spread));
    if let Some((_, made)) = worst.filter(|(_, made)| made.mass_spread > GRAM) {
        facts.push(fact("Weigh first", made.part.name.clone()));
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
    let range = |[low, high]: [f64; 2]| format!("{} to {}", grams(low), grams(high));
    if soaks[1] > GRAM / 2.0 {
        facts.push(fact("Foam and wood soak up in use", range(soaks)));
    }
    if gives[1] > GRAM / 20.0 {
        facts.push(fact("Foam loses per metre of depth", range(gives)));
    }
    facts
}

/// What to put on or take off in another water: afloat and under.
pub(crate) fn change_of_water(hand: &BoatInHand, from: f64, to: f64) -> String {
    let by = |volume: f64| (to - from) * volume;
    let words = |mass: f64| {
        if mass.abs() < GRAM / 2.0 {
            return "nothing".to_owned();
        }
        let verb = if mass > 0.0 { "put on" } else { "take off" };
        format!("{verb} {}", grams(mass.abs()))
    };
    let under = words(by(hand.model.total_volume()));
    let afloat = hand.model.mass() / from;
    format!("Afloat {}, under {under}", words(by(afloat.min(hand.model.total_volume()))))
}

/// What a part weighs, in its row.
pub(crate) fn part_mass(made: &MadePart) -> String {
    grams(made.part.mass)
}

/// What follows from a part's entries.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Readout {
    /// Mass, volume, surface, density.
    pub(crate) figures: String,
    /// What looks wrong with them.
    pub(crate) doubt: Option<String>,
}

/// Mass, volume and density of a part, for its builder to check.
pub(crate) fn readout(made: &MadePart, material: Option<&Material>) -> Readout {
    let mut words = vec![spread_of(made.part.mass, made.mass_spread)];
    if let Some(volume) = made.material_volume {
        words.push(speech().volume(volume));
    }
    if let Some(area) = made.area {
        words.push(format!("surface {}", speech().area(area)));
    }
    let mut doubt = None;
    if let Some(density) = made.implied_density {
        words.push(speech().density(density));
        // A twentieth beyond the range: scales and rulers have their errors too.
        let off = material.filter(|m| density < m.low * 0.95 || density > m.high * 1.05);
        doubt = off.map(|m| {
            format!(
                "{} has {}: check the sizes, or it is hollow",
                text::upper_first(m.name),
                densities(m)
            )
        });
        if density > 23_000.0 {
            doubt = Some("Nothing is that dense: check the sizes and the mass".to_owned());
        }
    }
    Readout { figures: words.join(" · "), doubt }
}

/// The range of a material's density.
fn densities(material: &Material) -> String {
    let low = speech().density_unit();
    let low = number(low.of(material.low), low.coarse);
    format!("{low} to {}", speech().density(material.high))
}

/// A material's density and range, what it soaks up and how it gives way, and the source.
pub(crate) fn material_words(material: &Material) -> String {
    let Material { density, source, .. } = material;
    let mut words = vec![format!("{}, {}", speech().density(*density), densities(material))];
    let mut range = |what: &str, range: Option<[f64; 2]>, unit: &str| {
        if let Some([least, most]) = range.map(|r| r.map(|share| number(share * 100.0, 2))) {
            words.push(format!("{what} {least} to {most}{THIN}% {unit}"));
        }
    };
    range("soaks up", material.uptake, "of its volume");
    range("loses", material.softness, "per metre of depth");
    format!("{}. Source: {source}.", words.join("; "))
}

/// Where a part stands, in its row; nothing for what is fixed.
pub(crate) fn status_words(status: StatusRecord) -> &'static str {
    match status {
        StatusRecord::Fixed => "",
        StatusRecord::Temporary => "temporary",
        StatusRecord::Planned => "planned",
        StatusRecord::TakenOut => "taken out",
    }
}

/// What a tank holds, in its row.
pub(crate) fn tank_words(tank: &TankRecord) -> String {
    let mesh = tank.cavity.solid().ok().and_then(|s| s.mesh(Fineness::WORK).ok());
    mesh.map(|m| liquid(m.volume())).unwrap_or_default()
}

/// A place for weight, in its row.
pub(crate) fn place_words(place: &PlaceRecord) -> String {
    let around = if place.medium == MediumRecord::Wet { "in the wet" } else { "dry" };
    format!("{} up, {around}", millimetres(place.height_m))
}

/// The name of a shape.
pub(crate) fn shape_name(shape: Shape) -> &'static str {
    match shape {
        Shape::Weight => "Weight",
        Shape::Box => "Box, plate",
        Shape::Cylinder => "Tube, bar",
        Shape::Domed => "Domed tube",
        Shape::Cone => "Cone",
        Shape::Sphere => "Ball",
        Shape::Ellipsoid => "Ellipsoid",
        Shape::Turned => "Turned",
        Shape::Mesh => "Mesh",
    }
}

/// The size of a mesh, `factor` metres in one of its own units: "412 × 78 × 91 mm, 12000 triangles".
pub(crate) fn mesh_size(size: [f64; 3], factor: f64, n_triangles: usize) -> String {
    let unit = speech().length_unit();
    let [l, w, h] = size.map(|s| number(unit.of(s * factor), unit.coarse));
    format!("{l} × {w} × {h}{THIN}{}, {n_triangles} triangles", unit.sign)
}
