//! Lines of the ledger: what a form writes into a boat, and what can be done to a line. Pure; the
//! desk calls it.

use super::aim_form;
use super::boat_form;
use super::check::{check_cavity, check_made, check_on_hull};
use super::form::{Editing, Form, PLACE, Refused, Texts, exact};
use super::ledger::LineMove;
use super::made::{Datum, MadeParts};
use super::part_form::{self, OWN};
use super::shape_form::solid_of_mesh;
use super::tank_form;
use crate::words::{Word, t, word};
use trimwright::diary::{BoatRecord, MaterialRecord, MeshRecord, PartRecord, SolidRecord};
use trimwright::material;
use trimwright::unit::Units;

/// What a form is read against.
pub(crate) struct Ground<'a> {
    /// The boat as it is.
    pub(crate) boat: &'a BoatRecord,
    /// Its parts, made.
    pub(crate) parts: &'a MadeParts,
    /// Where its lengths are measured from.
    pub(crate) datum: Datum,
    /// In what it is typed.
    pub(crate) units: Units,
    /// The builder's own materials.
    pub(crate) own: &'a [MaterialRecord],
}

/// The names of the lines among which one stands, in their order.
pub(crate) fn names(boat: &BoatRecord, of: Editing) -> Box<dyn Iterator<Item = &str> + '_> {
    match of {
        Editing::Part(_) => Box::new(boat.parts.iter().map(|p| p.name.as_str())),
        Editing::Tank(_) => Box::new(boat.tanks.iter().map(|t| t.name.as_str())),
        Editing::Mark(_) => Box::new(boat.marks.iter().map(|m| m.name.as_str())),
        Editing::Place(_) => Box::new(boat.places.iter().map(|p| p.name.as_str())),
        Editing::Boat(_) | Editing::Aim => Box::new(std::iter::once(boat.name.as_str())),
    }
}

/// The texts of the form of a line that is there.
pub(crate) fn texts_of(of: Editing, ground: &Ground<'_>) -> Option<Texts> {
    let Ground { boat, datum, units, .. } = *ground;
    match of {
        Editing::Part(line) => boat.parts.get(line?).map(|p| part_form::form_of(p, datum, units)),
        Editing::Tank(line) => boat.tanks.get(line?).map(|t| tank_form::form_of(t, datum, units)),
        Editing::Mark(line) => {
            boat.marks.get(line?).map(|m| tank_form::form_of_mark(m, datum, units))
        }
        Editing::Place(line) => boat.places.get(line?).map(|p| tank_form::form_of_place(p, units)),
        Editing::Boat(_) => Some(boat_form::form_of(boat, units)),
        Editing::Aim => Some(aim_form::form_of(boat.under_aim(), &boat.aim, units)),
    }
}

/// The texts of a form that begins. A part begins in the group and with the status of the one before: parts are
/// entered in runs. Not of its material: the next thing may be a battery.
pub(crate) fn first_texts(of: Editing, ground: &Ground<'_>, last: &Texts) -> Texts {
    let mut texts = Texts::new(ground.units);
    match of {
        Editing::Part(_) => {
            for key in ["group", "status", "x-side"] {
                texts.set(key, last.get(key));
            }
            if !last.has("status") {
                texts.set("status", "fixed");
            }
        }
        Editing::Tank(_) => {
            texts = texts.with("shape", "cylinder").with("housing", "inside");
        }
        Editing::Mark(_) => {
            const NAMES: [Word; 5] = [
                word!("form.bow"),
                word!("form.stern"),
                word!("form.midship"),
                word!("form.at_port"),
                word!("form.at_starboard"),
            ];
            let marks = &ground.boat.marks;
            let mut names = NAMES.into_iter().map(|key| t!(key));
            let free = names.find(|n| marks.iter().all(|m| m.name != *n));
            texts.set("name", free.unwrap_or_else(|| t!("form.mark")));
            if let Some(mark) = marks.first() {
                texts.set_place(&PLACE, [ground.datum.x, 0.0, mark.at_m[2]], ground.datum);
            }
        }
        Editing::Place(_) => texts.set("medium", "dry"),
        Editing::Boat(_) | Editing::Aim => {}
    }
    texts
}

/// The boat with what a form holds, and the line it then has.
pub(crate) fn changed(form: &Form, ground: &Ground<'_>) -> Result<(BoatRecord, usize), Refused> {
    let mut boat = ground.boat.clone();
    let at = match form.of {
        Editing::Part(line) => {
            let none = PartRecord::default();
            let before = line.and_then(|k| boat.parts.get(k)).unwrap_or(&none);
            let part = part_form::read_part(&form.texts, ground.datum, before, ground.own)?;
            check_made(&part, line, ground)?;
            put(&mut boat.parts, line, part)
        }
        Editing::Tank(line) => {
            let before = line.and_then(|k| boat.tanks.get(k));
            let tank = tank_form::read_tank(&form.texts, ground.datum, before)?;
            check_cavity(&tank, ground)?;
            put(&mut boat.tanks, line, tank)
        }
        Editing::Mark(line) => {
            let before = line.and_then(|k| boat.marks.get(k));
            let others = names_without(boat.marks.iter().map(|m| m.name.as_str()), line);
            let mark = tank_form::read_mark(&form.texts, ground.datum, before, &others)?;
            check_on_hull(&mark, ground)?;
            put(&mut boat.marks, line, mark)
        }
        Editing::Place(line) => {
            let before = line.and_then(|k| boat.places.get(k));
            let others = names_without(boat.places.iter().map(|p| p.name.as_str()), line);
            let place = tank_form::read_place(&form.texts, before, &others)?;
            put(&mut boat.places, line, place)
        }
        Editing::Boat(line) => {
            boat = boat_form::read_boat(&form.texts, &boat)?;
            line.unwrap_or(0)
        }
        Editing::Aim => {
            boat.aim = aim_form::read_aim(&form.texts, &boat.aim)?;
            0
        }
    };
    Ok((boat, at))
}

fn names_without<'a>(names: impl Iterator<Item = &'a str>, line: Option<usize>) -> Vec<&'a str> {
    names.enumerate().filter(|(k, _)| Some(*k) != line).map(|(_, name)| name).collect()
}

fn put<T>(lines: &mut Vec<T>, line: Option<usize>, what: T) -> usize {
    if let Some((k, there)) = line.and_then(|k| Some((k, lines.get_mut(k)?))) {
        *there = what;
        return k;
    }
    lines.push(what);
    lines.len() - 1
}

/// Puts a copy of a line under it.
pub(crate) fn copy(boat: &mut BoatRecord, of: Editing, mirrored: bool) {
    match of {
        Editing::Part(Some(k)) => {
            if let Some(part) = boat.parts.get(k) {
                let copy = if mirrored { part.mirrored() } else { part.clone() };
                boat.parts.insert(k + 1, copy);
            }
        }
        Editing::Tank(Some(k)) => {
            if let Some(tank) = boat.tanks.get(k) {
                let copy = if mirrored { tank.mirrored() } else { tank.clone() };
                boat.tanks.insert(k + 1, copy);
            }
        }
        _ => {}
    }
}

/// Takes a line out.
pub(crate) fn remove(boat: &mut BoatRecord, of: Editing) {
    fn take_out<T>(lines: &mut Vec<T>, line: Option<usize>) {
        if let Some(k) = line.filter(|k| *k < lines.len()) {
            lines.remove(k);
        }
    }
    match of {
        Editing::Part(line) => take_out(&mut boat.parts, line),
        Editing::Tank(line) => take_out(&mut boat.tanks, line),
        Editing::Mark(line) => take_out(&mut boat.marks, line),
        Editing::Place(line) => take_out(&mut boat.places, line),
        Editing::Boat(_) | Editing::Aim => {}
    }
}

/// Moves a part past the neighbour of its group, up or down.
pub(crate) fn shift(boat: &mut BoatRecord, of: Editing, step: LineMove) {
    let Editing::Part(Some(k)) = of else { return };
    let Some(group) = boat.parts.get(k).map(|p| p.group.clone()) else { return };
    let neighbour = |i: &usize| boat.parts.get(*i).is_some_and(|p| p.group == group);
    let other = match step {
        LineMove::Up => (0..k).rev().find(neighbour),
        LineMove::Down => (k + 1..boat.parts.len()).find(neighbour),
    };
    if let Some(other) = other {
        boat.parts.swap(k, other);
    }
}

/// Where what stands in a line is.
pub(crate) fn place_of(ground: &Ground<'_>, of: Editing) -> Option<[f64; 3]> {
    match of {
        Editing::Part(line) => {
            let part = ground.boat.parts.get(line?)?;
            part.solid.as_ref().map(SolidRecord::at).or(part.centre_m)
        }
        Editing::Tank(line) => ground.boat.tanks.get(line?).map(|t| t.cavity.at()),
        Editing::Mark(line) => ground.boat.marks.get(line?).map(|m| m.at_m),
        Editing::Place(_) | Editing::Boat(_) | Editing::Aim => None,
    }
}

/// The boat with what stands in a line put elsewhere; a centre of its own goes with it.
pub(crate) fn placed(
    ground: &Ground<'_>,
    of: Editing,
    to: [f64; 3],
) -> Result<BoatRecord, Refused> {
    let mut boat = ground.boat.clone();
    let to = to.map(exact);
    match of {
        Editing::Part(Some(k)) => {
            if let Some(part) = boat.parts.get_mut(k) {
                move_part(part, to);
                check_made(part, Some(k), ground)?;
            }
        }
        Editing::Tank(Some(k)) => {
            // Read anew: openings and bulkheads have places of their own and stay.
            let mut texts = texts_of(of, ground).unwrap_or_default();
            texts.set_place(&PLACE, to, ground.datum);
            let tank = tank_form::read_tank(&texts, ground.datum, ground.boat.tanks.get(k))?;
            check_cavity(&tank, ground)?;
            put(&mut boat.tanks, Some(k), tank);
        }
        Editing::Mark(Some(k)) => {
            if let Some(mark) = boat.marks.get_mut(k) {
                mark.at_m = to;
                check_on_hull(mark, ground)?;
            }
        }
        _ => {}
    }
    Ok(boat)
}

fn move_part(part: &mut PartRecord, to: [f64; 3]) {
    let from = part.solid.as_ref().map_or(part.centre_m, |s| Some(s.at()));
    if let (Some(centre), Some(from)) = (&mut part.centre_m, from) {
        for (c, (to, from)) in centre.iter_mut().zip(to.into_iter().zip(from)) {
            *c = exact(*c + to - from);
        }
    }
    part.solid = part.solid.take().map(|solid| solid.placed(to));
}

/// A part of a mesh from a file, as a printed shell of plastic until its builder says otherwise.
pub(crate) fn mesh_part(mesh: MeshRecord, at: [f64; 3], name: &str) -> PartRecord {
    PartRecord {
        name: name.to_owned(),
        solid: Some(solid_of_mesh(mesh, at)),
        material: material::named("PLA").map(MaterialRecord::from),
        ..PartRecord::default()
    }
}

/// The boat with one part more, and the part's line.
///
/// # Errors
/// A sentence saying why it cannot be a part of this boat.
pub(crate) fn with_part(
    part: PartRecord,
    ground: &Ground<'_>,
) -> Result<(BoatRecord, usize), String> {
    check_made(&part, None, ground).map_err(|(_, words)| words)?;
    let mut boat = ground.boat.clone();
    let line = put(&mut boat.parts, None, part);
    Ok((boat, line))
}

/// Keeps the materials of a boat's parts that no table has.
pub(crate) fn learn_materials(own: &mut Vec<MaterialRecord>, boat: &BoatRecord) {
    for made_of in boat.parts.iter().filter_map(|p| p.material.as_ref()) {
        let known = material::named(&made_of.name).is_some();
        if !known && made_of.name != OWN {
            match own.iter_mut().find(|m| m.name == made_of.name) {
                Some(mine) => mine.clone_from(made_of),
                None => own.push(made_of.clone()),
            }
        }
    }
}
