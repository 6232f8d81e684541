//! What follows from a part's entries, in words, for its builder to check.

use super::figures::spread_of;
use super::text::{self, THIN, number};
use crate::words::speech::speech;
use crate::words::{self, Word, t, word};
use trimwright::boat::MadePart;
use trimwright::material::Material;

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
        words.push(t!("figures.surface", area = speech().area(area)));
    }
    let mut doubt = None;
    if let Some(density) = made.implied_density {
        words.push(speech().density(density));
        // A twentieth beyond the range: scales and rulers have their errors too.
        let off = material.filter(|m| density < m.low * 0.95 || density > m.high * 1.05);
        doubt = off.map(|m| {
            let name = text::upper_first(&words::material::name(m));
            t!("figures.not_as_dense", material = name, densities = densities(m))
        });
        if density > 23_000.0 {
            doubt = Some(t!("figures.nothing_as_dense"));
        }
    }
    Readout { figures: words.join(" · "), doubt }
}

/// The range of a material's density.
fn densities(material: &Material) -> String {
    let low = speech().density_unit();
    let low = number(low.of(material.low), low.coarse);
    t!("figures.range", low = low, high = speech().density(material.high))
}

/// A material's density and range, what it soaks up and how it gives way, and the source.
pub(crate) fn material_words(material: &Material) -> String {
    let mut said = vec![format!("{}, {}", speech().density(material.density), densities(material))];
    let mut range = |key: Word, range: Option<[f64; 2]>| {
        if let Some([least, most]) = range.map(|r| r.map(|share| number(share * 100.0, 2))) {
            let most = format!("{most}{THIN}%");
            said.push(t!(key, range = t!("figures.range", low = least, high = most)));
        }
    };
    range(word!("figures.soaks_up"), material.uptake);
    range(word!("figures.loses"), material.softness);
    let source = words::material::source(material);
    t!("figures.with_source", figures = said.join("; "), source = source)
}
