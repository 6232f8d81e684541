//! How well predictions came true, counted.

use super::closing::{ClosedFigure, Closing, Figure, Followed};

/// How well figures of one kind came true.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Tally {
    /// Number of predictions that were read well enough to be judged.
    pub foretold: u32,
    /// How many of them came true.
    pub came_true: u32,
    /// Sum of the squares of the differences, each over its spread.
    squares: f64,
}

impl Tally {
    /// What is too rough to judge is not counted.
    fn add(&mut self, figure: &ClosedFigure) {
        let Some(came_true) = figure.came_true() else { return };
        self.foretold += 1;
        self.came_true += u32::from(came_true);
        // A spread is never zero; a value in a foreign file may not be finite.
        let off = figure.difference() / figure.spread();
        self.squares += if off.is_finite() { off * off } else { 0.0 };
    }

    /// Root mean square of the differences over their spreads: about one if the spreads are honest,
    /// more if they promise too much. None if nothing was foretold.
    pub fn root_mean_square(&self) -> Option<f64> {
        (self.foretold > 0).then(|| (self.squares / f64::from(self.foretold)).sqrt())
    }

    fn plus(self, other: Self) -> Self {
        Self {
            foretold: self.foretold + other.foretold,
            came_true: self.came_true + other.came_true,
            squares: self.squares + other.squares,
        }
    }
}

/// How many predictions came true, by kind of figure.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct ByKind {
    /// Lists.
    pub list: Tally,
    /// Trims.
    pub trim: Tally,
    /// Residual masses under water.
    pub residual: Tally,
    /// The water at marks.
    pub marks: Tally,
}

impl ByKind {
    /// All kinds together.
    pub fn all(&self) -> Tally {
        self.list.plus(self.trim).plus(self.residual).plus(self.marks)
    }

    fn add(&mut self, figure: &ClosedFigure) {
        let tally = match &figure.figure {
            Figure::List => &mut self.list,
            Figure::Trim => &mut self.trim,
            Figure::Residual => &mut self.residual,
            Figure::Mark(_) => &mut self.marks,
        };
        tally.add(figure);
    }
}

/// How well what was foretold came true.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Score {
    /// Where the advice was followed, or nothing was to be done.
    pub followed: ByKind,
    /// Where nobody noted whether it was done: says little about the predictions.
    pub not_known: ByKind,
    /// How many advices were followed by a reading that could not judge them.
    pub unlike: u32,
}

impl Score {
    /// Counts a closing.
    pub fn add(&mut self, closing: &Closing) {
        if !closing.is_fair() {
            self.unlike += 1;
            return;
        }
        let kinds = match closing.followed {
            Followed::Done | Followed::NothingToDo => &mut self.followed,
            Followed::NotKnown => &mut self.not_known,
        };
        closing.figures.iter().for_each(|figure| kinds.add(figure));
    }

    /// Counts all of them.
    pub fn of<'a>(closings: impl IntoIterator<Item = &'a Closing>) -> Self {
        let mut score = Self::default();
        closings.into_iter().for_each(|closing| score.add(closing));
        score
    }
}
