//! A known weight that is on the boat for a reading, as it is typed: at bow or stern, or moved across.

use super::own::Own;
use super::ready_boat::ReadyBoat;
use super::wrong::{Field, Unreadable};
use crate::boat::Medium;
use crate::diary::Draft;
use crate::frame::Position;
use crate::reading::{Aboard, WEIGHT_PLACED};
use crate::unit::{GRAM, Unit, Units, read_number_within};

/// The weight that is typed; none if nothing is said of its mass.
///
/// # Errors
/// All fields of it that cannot be read.
pub(super) fn read_weight(
    draft: &Draft,
    hand: &ReadyBoat,
    own: Own<'_>,
) -> Result<Option<Aboard>, Vec<Unreadable>> {
    let typed = &draft.weight;
    if typed.mass.trim().is_empty() {
        return Ok(None);
    }
    let units = Units::from(draft.units);
    let (of_mass, of_length) = (units.mass_unit(), units.length_unit());
    let size = hand.model.bounds().size();
    let heaviest = of_mass.limit(hand.model.mass());
    let mass = read(Field::WeightMass, &typed.mass, of_mass, [of_mass.least(GRAM), heaviest]);
    let distance = |field: Field, text: &str, most: f64| {
        if text.trim().is_empty() {
            return Ok(0.0);
        }
        read(field, text, of_length, [0.0, of_length.limit(most)])
    };
    let along = distance(Field::WeightAlong, &typed.along, size.x);
    let across = distance(Field::WeightAcross, &typed.across, size.y);
    let (mass, along, across) = match (mass, along, across) {
        (Ok(mass), Ok(along), Ok(across)) => (mass, along, across),
        (mass, along, across) => {
            return Err([mass, along, across].into_iter().filter_map(Result::err).collect());
        }
    };
    let place = hand.place(&typed.place, own.inside);
    let to_port = if typed.to_starboard { -across } else { across };
    let at = Position::new(hand.along(along, typed.is_aft), to_port, place.z);
    let density = typed.material.material().density;
    let is_wet = place.medium == Medium::Wet;
    Ok(Some(Aboard {
        name: own.weight.to_owned(),
        mass,
        at,
        off: WEIGHT_PLACED,
        solid: if is_wet { Aboard::cube(mass, density, at) } else { None },
    }))
}

/// The quantity in a field, SI, within limits in its unit.
fn read(field: Field, text: &str, unit: Unit, [low, high]: [f64; 2]) -> Result<f64, Unreadable> {
    match read_number_within(text, low, high) {
        Ok(typed) => Ok(unit.si(typed)),
        Err(why) => Err(Unreadable::new(field, why)),
    }
}
