//! Why water is none, in words.

use super::speech::figure;
use super::t;
use trimwright::water::WaterError;

/// Why there is no such water.
pub(crate) fn water(problem: &WaterError) -> String {
    match problem {
        WaterError::Temperature(value) => t!("water.bad_temperature", value = figure(*value)),
        WaterError::Salinity(value) => t!("water.bad_salinity", value = figure(*value)),
        WaterError::Density(value) => t!("water.bad_density", value = figure(*value)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::words::says_as_the_core;

    #[test]
    fn english_is_as_the_core_says_it() {
        let all =
            [WaterError::Temperature(55.5), WaterError::Salinity(60.0), WaterError::Density(10.0)];
        says_as_the_core(water, all);
    }
}
