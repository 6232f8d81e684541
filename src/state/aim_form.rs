//! The form of a boat's target under water. No browser in here.

use super::form::{FieldKey, FormProblem, FormReader, Texts};
use super::made::Datum;
use crate::words::t;
use trimwright::ballast::UnderAim;
use trimwright::diary::AimRecord;
use trimwright::unit::{Unit, Units};

/// Light and heavy: as forms keep them, not as they are shown.
pub(crate) const LIGHT_OR_HEAVY: [&str; 2] = ["light", "heavy"];
/// The two limits of a boat whose tanks are blown or full: each a mass and its side.
pub(crate) const LIMITS: [(FieldKey, FieldKey); 2] = [("from", "from-side"), ("to", "to-side")];
/// The heaviest that is taken for a limit, kg: a slip beyond it.
const MOST: f64 = 10.0;
/// The greatest BG or GM that is taken, metres: a slip beyond it.
const MOST_HEIGHT: f64 = 1.0;

/// The form of an aim, with what is usual for the other kind of tanks in case it is chosen. `record` has how
/// stiff the boat should be, if that was chosen: an empty field is what is usual.
pub(crate) fn form_of(aim: UnderAim, record: &AimRecord, units: Units) -> Texts {
    let (kind, other) = match aim {
        UnderAim::AnyAmount { .. } => ("any", UnderAim::USUAL_LIGHT),
        UnderAim::AllOrNothing { .. } => ("whole", UnderAim::USUAL_FILL),
    };
    let mut texts = Texts::new(units).with("tanks", kind);
    for aim in [aim, other] {
        write(aim, &mut texts);
    }
    for (key, least) in [("least-bg", record.least_bg_m), ("least-gm", record.least_gm_m)] {
        if let Some(metres) = least {
            texts.set_length(key, metres);
        }
    }
    texts
}

fn write(aim: UnderAim, texts: &mut Texts) {
    match aim {
        UnderAim::AnyAmount { least, most } => {
            for (key, share) in [("least", least), ("most", most)] {
                texts.set_in(key, Unit::PERCENT, share);
            }
        }
        UnderAim::AllOrNothing { lightest, heaviest } => {
            for ((key, side), residual) in LIMITS.into_iter().zip([heaviest, lightest]) {
                texts.set_in(key, texts.units.mass_unit(), residual.abs());
                texts.set(side, LIGHT_OR_HEAVY[usize::from(residual > 0.0)]);
            }
        }
    }
}

/// The aim that a form describes; `before` is the one it changes.
pub(crate) fn read_aim(texts: &Texts, before: &AimRecord) -> Result<AimRecord, Vec<FormProblem>> {
    let mut reader = FormReader::new(texts, Datum::MIDSHIP);
    let aim = if texts.get("tanks") == "whole" {
        let unit = texts.units.mass_unit();
        let limits = LIMITS.map(|(key, side)| {
            let mass = reader.zero_or_more(key, MOST, unit)?;
            Ok(if texts.get(side) == LIGHT_OR_HEAVY[1] { mass } else { -mass })
        });
        match limits {
            [Ok(one), Ok(other)] => Ok(UnderAim::AllOrNothing {
                lightest: f64::min(one, other),
                heaviest: f64::max(one, other),
            }),
            [Err(noted), _] | [_, Err(noted)] => Err(noted),
        }
    } else {
        let [least, most] =
            ["least", "most"].map(|key| reader.zero_or_more(key, 1.0, Unit::PERCENT));
        if let (Ok(least), Ok(most)) = (least, most)
            && least >= most
        {
            reader.problem("most", t!("form.more_than_least"));
        }
        least.and_then(|least| Ok(UnderAim::AnyAmount { least, most: most? }))
    };
    let length = texts.units.length_unit();
    let [bg, gm] = ["least-bg", "least-gm"].map(|key| {
        let is_usual = texts.get(key).trim().is_empty();
        if is_usual { Ok(None) } else { reader.zero_or_more(key, MOST_HEIGHT, length).map(Some) }
    });
    let record = aim.and_then(|aim| {
        let extra = before.extra.clone();
        Ok(AimRecord { least_bg_m: bg?, least_gm_m: gm?, extra, ..AimRecord::from(aim) })
    });
    reader.finish(record)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_aim_comes_back_from_its_form() {
        let light = UnderAim::AllOrNothing { lightest: -0.04, heaviest: 0.005 };
        for aim in [UnderAim::USUAL_FILL, UnderAim::USUAL_LIGHT, light] {
            let texts = form_of(aim, &AimRecord::default(), Units::METRIC);
            let again = read_aim(&texts, &AimRecord::default()).expect("a good form");
            assert_eq!(again, AimRecord::from(aim), "{texts:?}");
        }
    }

    #[test]
    fn how_stiff_it_should_be_comes_back_and_an_empty_field_is_what_is_usual() {
        let chosen = AimRecord {
            least_bg_m: Some(0.004),
            least_gm_m: Some(0.0025),
            ..AimRecord::from(UnderAim::USUAL_FILL)
        };
        let texts = form_of(UnderAim::USUAL_FILL, &chosen, Units::METRIC);
        assert_eq!(read_aim(&texts, &chosen), Ok(chosen.clone()), "{texts:?}");
        let emptied = texts.with("least-bg", " ").with("least-gm", "");
        let usual = read_aim(&emptied, &chosen).expect("a good form");
        assert_eq!(usual, AimRecord::from(UnderAim::USUAL_FILL), "nothing chosen");
    }

    #[test]
    fn the_two_limits_may_be_typed_either_way_round() {
        let texts = form_of(UnderAim::USUAL_LIGHT, &AimRecord::default(), Units::METRIC)
            .with("from", "40")
            .with("to", "10");
        let aim = read_aim(&texts, &AimRecord::default()).expect("a good form");
        assert_eq!(aim, AimRecord::from(UnderAim::USUAL_LIGHT), "10 to 40 g light");
    }

    #[test]
    fn a_range_that_is_none_is_named_with_its_field() {
        let refused = |key: FieldKey, text: &str| {
            let texts =
                form_of(UnderAim::USUAL_FILL, &AimRecord::default(), Units::METRIC).with(key, text);
            let problems = read_aim(&texts, &AimRecord::default()).expect_err("no range");
            problems.first().map(|(key, _)| *key)
        };
        assert_eq!(refused("most", "50"), Some("most"), "50 is less than 60");
        assert_eq!(refused("most", "101"), Some("most"), "more than full");
        assert_eq!(refused("least", ""), Some("least"), "nothing typed");
    }
}
