//! Density of fresh and sea water at the surface.

use crate::unit::Celsius;

/// Why a water has no density here.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum WaterError {
    /// Outside the range of the density formula.
    #[error("water at {0} °C: the formula is valid from 0 to 40")]
    Temperature(f64),
    /// Outside the range of the density formula.
    #[error("salinity {0}: the formula is valid from 0 to 42 g/kg")]
    Salinity(f64),
    /// Not a density that water has.
    #[error("density {0} kg/m\u{b3}: water lies between 900 and 1300")]
    Density(f64),
}

/// Density of fresh water of 20 °C, kg/m³, where the water in hand does not matter or is not known.
/// Source: Tanaka et al. 2001, Metrologia 38:301.
pub const POOL_DENSITY: f64 = 998.2067;

/// What the boat floats in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Water {
    /// Fresh water at a temperature.
    Fresh(Celsius),
    /// Sea water of a practical salinity (about grams of salt per kilogram) at a temperature.
    Sea {
        /// Practical salinity, 0 to 42; the open ocean has about 35.
        salinity: f64,
        /// Temperature.
        temperature: Celsius,
    },
    /// A density read from a hydrometer, kg/m³.
    Measured(f64),
}

impl Water {
    /// Density, kg/m³, at normal air pressure.
    ///
    /// # Errors
    /// [`WaterError`] outside 0–40 °C, salinity 0–42, or a measured 900–1300 kg/m³.
    pub fn density(self) -> Result<f64, WaterError> {
        match self {
            Self::Fresh(t) => Ok(fresh(in_range(t)?)),
            Self::Sea { salinity, temperature } => {
                let t = in_range(temperature)?;
                if !(0.0..=42.0).contains(&salinity) {
                    return Err(WaterError::Salinity(salinity));
                }
                Ok(sea(salinity, t * IPTS68_PER_ITS90))
            }
            Self::Measured(density) if (900.0..=1300.0).contains(&density) => Ok(density),
            Self::Measured(density) => Err(WaterError::Density(density)),
        }
    }
}

fn in_range(Celsius(t): Celsius) -> Result<f64, WaterError> {
    if (0.0..=40.0).contains(&t) { Ok(t) } else { Err(WaterError::Temperature(t)) }
}

/// Degrees of the 1968 scale, in which the sea water equation is written, per degree of today's.
/// Source: UNESCO practice for EOS-80, t68 = 1.00024 t90.
const IPTS68_PER_ITS90: f64 = 1.00024;

/// Density of air-free fresh water, kg/m³, 0–40 °C.
///
/// Source: Tanaka, Girard, Davis, Peuto, Bignell 2001, Metrologia 38:301–309, eq. 1.
fn fresh(t: f64) -> f64 {
    const A1: f64 = -3.983035;
    const A2: f64 = 301.797;
    const A3: f64 = 522528.9;
    const A4: f64 = 69.34881;
    const A5: f64 = 999.974950;
    A5 * (1.0 - (t + A1) * (t + A1) * (t + A2) / (A3 * (t + A4)))
}

/// Density of sea water at normal pressure, kg/m³; `t` on the 1968 scale, salinity 0–42.
///
/// Source: Millero & Poisson 1981, Deep-Sea Research 28A:625 (EOS-80 one-atmosphere equation).
fn sea(s: f64, t: f64) -> f64 {
    let polynomial =
        |coefficients: &[f64]| coefficients.iter().rev().fold(0.0, |sum, c| sum * t + c);
    let pure = polynomial(&[
        999.842594,
        6.793952e-2,
        -9.095290e-3,
        1.001685e-4,
        -1.120083e-6,
        6.536332e-9,
    ]);
    let linear = polynomial(&[8.24493e-1, -4.0899e-3, 7.6438e-5, -8.2467e-7, 5.3875e-9]);
    let root = polynomial(&[-5.72466e-3, 1.0227e-4, -1.6546e-6]);
    pure + s * (linear + s.sqrt() * root + s * 4.8314e-4)
}
