//! The 99 % points of chi-squared.

/// The value that chi-squared stays below in 99 of 100 cases, by degrees of freedom; for more than
/// ten, that of ten, which only asks for more. None for no degree of freedom.
///
/// Source: NIST/SEMATECH e-Handbook of Statistical Methods, section 1.3.6.7.4 (from memory).
pub fn chi_squared_99(degrees_of_freedom: usize) -> Option<f64> {
    const POINTS: [f64; 10] =
        [6.635, 9.210, 11.345, 13.277, 15.086, 16.812, 18.475, 20.090, 21.666, 23.209];
    let [.., last] = POINTS;
    let index = degrees_of_freedom.checked_sub(1)?;
    Some(POINTS.get(index).copied().unwrap_or(last))
}
