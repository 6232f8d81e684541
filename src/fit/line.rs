//! A straight line through points, by least squares, with the spread of its two figures.

use super::Estimate;

/// Why no line goes through the points.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum LineError {
    /// Fewer than three points.
    #[error("{0} points: a line with a spread needs three or more")]
    TooFew(usize),
    /// All points lie over one another.
    #[error("all points have the same abscissa: move the weight between readings")]
    NoSpan,
    /// A coordinate is not a number.
    #[error("a point has a coordinate that is not a number")]
    NotFinite,
}

/// `y = intercept + slope · x`.
#[derive(Debug, Clone, PartialEq)]
pub struct FittedLine {
    /// Value at x = 0.
    pub intercept: Estimate,
    /// Rise per unit of x.
    pub slope: Estimate,
    /// Correlation of the two.
    pub correlation: f64,
    /// Standard deviation of the points about the line.
    pub residual_spread: f64,
    /// Each point's distance above the line.
    pub residuals: Vec<f64>,
}

/// The least-squares line through points (x, y).
///
/// Source: JCGM 100:2008 (GUM) annex H.3, eq. H.13 a–f, in the centred form that keeps its digits.
///
/// # Errors
/// [`LineError`] for fewer than three points, no span in x, or a coordinate that is not a number.
pub fn fit_line(points: &[(f64, f64)]) -> Result<FittedLine, LineError> {
    if points.len() < 3 {
        return Err(LineError::TooFew(points.len()));
    }
    if points.iter().any(|(x, y)| !(x.is_finite() && y.is_finite())) {
        return Err(LineError::NotFinite);
    }
    let n = points.len() as f64;
    let mean_x = points.iter().map(|p| p.0).sum::<f64>() / n;
    let mean_y = points.iter().map(|p| p.1).sum::<f64>() / n;
    let span: f64 = points.iter().map(|p| (p.0 - mean_x).powi(2)).sum();
    if span <= 0.0 {
        return Err(LineError::NoSpan);
    }
    let slope = points.iter().map(|p| (p.0 - mean_x) * (p.1 - mean_y)).sum::<f64>() / span;
    let intercept = mean_y - slope * mean_x;
    let residuals: Vec<f64> =
        points.iter().map(|p| (p.1 - mean_y) - slope * (p.0 - mean_x)).collect();
    let squares: f64 = residuals.iter().map(|r| r * r).sum();
    let residual_spread = (squares / (n - 2.0)).sqrt();
    let root = (1.0 / n + mean_x * mean_x / span).sqrt();
    Ok(FittedLine {
        intercept: Estimate::new(intercept, residual_spread * root),
        slope: Estimate::new(slope, residual_spread / span.sqrt()),
        correlation: -mean_x / (span.sqrt() * root),
        residual_spread,
        residuals,
    })
}
