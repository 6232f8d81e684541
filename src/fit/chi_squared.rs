//! The 99 % points of chi-squared.

/// The 99 % point of the normal distribution.
const NORMAL_99: f64 = 2.326_348;

/// The value that chi-squared stays below in 99 of 100 cases, by degrees of freedom; nothing for none.
///
/// Source: Wilson & Hilferty 1931, PNAS 17:684: the cube root of chi-squared over its degrees of freedom is nearly
/// normal. It is within 0.06 of the NIST/SEMATECH e-Handbook's table (1.3.6.7.4) from one degree of freedom on.
pub fn chi_squared_99(degrees_of_freedom: usize) -> f64 {
    let n = degrees_of_freedom as f64;
    if n < 1.0 {
        return 0.0;
    }
    let ninth = 2.0 / (9.0 * n);
    n * (1.0 - ninth + NORMAL_99 * ninth.sqrt()).powi(3)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_is_the_table_s() {
        // Source: NIST/SEMATECH e-Handbook of Statistical Methods, section 1.3.6.7.4 (from memory).
        for (degrees, table) in
            [(1, 6.635), (2, 9.210), (3, 11.345), (5, 15.086), (10, 23.209), (30, 50.892)]
        {
            let got = chi_squared_99(degrees);
            assert!((got - table).abs() < 0.06, "{degrees}: {got}, not {table}");
        }
    }
}
