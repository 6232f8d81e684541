//! The 95 % points of chi-squared.

/// The value that chi-squared stays below in 95 of 100 cases, by degrees of freedom; for more than
/// ten, that of ten, which only asks for more. None for no degree of freedom.
///
/// Source: NIST/SEMATECH e-Handbook of Statistical Methods, section 1.3.6.7.4 (from memory).
pub fn chi_squared_95(degrees_of_freedom: usize) -> Option<f64> {
    const POINTS: [f64; 10] =
        [3.841, 5.991, 7.815, 9.488, 11.070, 12.592, 14.067, 15.507, 16.919, 18.307];
    let [.., last] = POINTS;
    let index = degrees_of_freedom.checked_sub(1)?;
    Some(POINTS.get(index).copied().unwrap_or(last))
}
