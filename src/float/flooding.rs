//! How the tanks are flooded and blown: in which order, and how long each takes.

use super::model::FloatModel;
use super::problem::BoatError;

/// Down or up.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Hash)]
pub enum Heading {
    /// The tanks flood.
    #[default]
    Down,
    /// The tanks are blown.
    Up,
}

/// Which tank begins when.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Order {
    /// All at once.
    #[default]
    Together,
    /// One after the other: down in the boat's order, up the other way round.
    InTurn,
}

/// One tank while it floods or is blown.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Run {
    tank: usize,
    /// Share of its capacity that is liquid before and after.
    from: f64,
    to: f64,
    /// When it begins and how long it takes, seconds.
    start: f64,
    lasts: f64,
    /// What it can take, m³.
    room: f64,
}

/// The tanks on their way from blown to full or back.
#[derive(Debug, Clone, PartialEq)]
pub struct Flooding {
    heading: Heading,
    order: Order,
    runs: Vec<Run>,
    lasts: f64,
    /// The tanks take in the water that the boat lies in, and not a liquid of their own.
    of_the_water: bool,
}

impl Flooding {
    /// All tanks of a boat between blown and full ([`FloatModel::usable_range`]); `seconds` is the
    /// time that each takes for all of it.
    ///
    /// # Errors
    /// [`BoatError::Seconds`] for a time that is not positive, [`BoatError::NoTank`] if there are not as
    /// many times as tanks.
    pub fn new(
        model: &FloatModel,
        heading: Heading,
        order: Order,
        seconds: &[f64],
    ) -> Result<Self, BoatError> {
        let n_tanks = model.n_tanks();
        if seconds.len() != n_tanks {
            return Err(BoatError::NoTank(seconds.len().min(n_tanks)));
        }
        let mut runs = Vec::new();
        for (tank, &lasts) in seconds.iter().enumerate() {
            if !(lasts > 0.0 && lasts.is_finite()) {
                return Err(BoatError::Seconds(lasts));
            }
            let [least, most] = model.usable_range(tank).ok_or(BoatError::NoTank(tank))?;
            let room = (most - least) * model.capacity(tank);
            let run = Run { tank, from: least, to: most, start: 0.0, lasts, room };
            runs.push(run);
        }
        let mut flooding = Self { heading, order, runs, lasts: 0.0, of_the_water: true };
        flooding.arrange();
        Ok(flooding)
    }

    /// These tanks together from empty (0) to full (1) in one second, with their own liquid.
    ///
    /// # Errors
    /// [`BoatError::NoTank`].
    pub fn of_tanks(model: &FloatModel, tanks: &[usize]) -> Result<Self, BoatError> {
        let run = |&tank: &usize| {
            model.usable_range(tank).ok_or(BoatError::NoTank(tank))?;
            let room = model.capacity(tank);
            Ok(Run { tank, from: 0.0, to: 1.0, start: 0.0, lasts: 1.0, room })
        };
        let runs = tanks.iter().map(run).collect::<Result<_, BoatError>>()?;
        let (heading, order) = (Heading::Down, Order::Together);
        Ok(Self { heading, order, runs, lasts: 1.0, of_the_water: false })
    }

    fn arrange(&mut self) {
        if self.heading == Heading::Up {
            for run in &mut self.runs {
                (run.from, run.to) = (run.to, run.from);
            }
        }
        let mut start = 0.0;
        let mut in_turn = |run: &mut Run| {
            run.start = start;
            start += run.lasts;
        };
        match (self.order, self.heading) {
            (Order::Together, _) => {}
            (Order::InTurn, Heading::Down) => self.runs.iter_mut().for_each(in_turn),
            (Order::InTurn, Heading::Up) => self.runs.iter_mut().rev().for_each(&mut in_turn),
        }
        self.lasts = self.runs.iter().map(|run| run.start + run.lasts).fold(0.0, f64::max);
    }

    /// Which tank begins when.
    pub fn order(&self) -> Order {
        self.order
    }

    /// Down or up.
    pub fn heading(&self) -> Heading {
        self.heading
    }

    /// How long the whole way takes, seconds; zero without a tank.
    pub fn lasts(&self) -> f64 {
        self.lasts
    }

    /// The tanks' fills at a time from the start (seconds), in the order of the tanks.
    pub fn fills(&self, time: f64) -> Vec<f64> {
        self.runs.iter().map(|run| run.fill(time)).collect()
    }

    /// The share of what all tanks together can take that they hold at a time (seconds), 0 to 1.
    pub fn fill(&self, time: f64) -> f64 {
        let (mut holds, mut room) = (0.0, 0.0);
        for run in &self.runs {
            let least = run.from.min(run.to);
            let span = (run.to - run.from).abs();
            holds += run.room * if span > 0.0 { (run.fill(time) - least) / span } else { 0.0 };
            room += run.room;
        }
        if room > 0.0 { (holds / room).clamp(0.0, 1.0) } else { 0.0 }
    }

    /// The time (seconds) at which all tanks together hold this share of what they can take.
    pub fn time_of(&self, fill: f64) -> f64 {
        let reached = |time: f64| match self.heading {
            Heading::Down => self.fill(time) >= fill,
            Heading::Up => self.fill(time) <= fill,
        };
        let (mut early, mut late) = (0.0, self.lasts);
        if reached(early) {
            return early;
        }
        // Far below a millionth of the way.
        for _ in 0..40 {
            let middle = f64::midpoint(early, late);
            if reached(middle) {
                late = middle;
            } else {
                early = middle;
            }
        }
        late
    }

    /// The boat with its tanks as they are at a time (seconds), in water of this density (kg/m³).
    ///
    /// # Errors
    /// [`BoatError`] for a tank that this boat does not have, or a density that is not positive.
    pub fn filled(
        &self,
        model: &FloatModel,
        time: f64,
        density: f64,
    ) -> Result<FloatModel, BoatError> {
        let mut filled = if self.of_the_water { model.in_water(density)? } else { model.clone() };
        for run in &self.runs {
            filled.fill(run.tank, run.fill(time))?;
        }
        Ok(filled)
    }
}

impl Run {
    fn fill(&self, time: f64) -> f64 {
        let share = ((time - self.start) / self.lasts).clamp(0.0, 1.0);
        (self.from + (self.to - self.from) * share).clamp(0.0, 1.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::boat::{Boat, Part, Tank};
    use crate::frame::Position;
    use crate::geometry::{Fineness, Solid};

    /// Two tanks of 1 and 3 litres, the second one used from a fifth.
    fn model() -> FloatModel {
        let block = |size: [f64; 3]| Solid::Box { size, centre: Position::ORIGIN };
        let hull = Part::solid("hull", 20.0, Position::ORIGIN, block([1.0, 0.3, 0.2]));
        let small = Tank::new("small", block([0.1, 0.1, 0.1]));
        let large = Tank { range: Some([0.2, 1.0]), ..Tank::new("large", block([0.3, 0.1, 0.1])) };
        let boat = Boat { parts: vec![hull], tanks: vec![small, large], ..Boat::default() };
        FloatModel::new(&boat, Fineness::WORK).expect("a good boat")
    }

    fn flooding(heading: Heading, order: Order) -> Flooding {
        Flooding::new(&model(), heading, order, &[10.0, 20.0]).expect("two times")
    }

    #[track_caller]
    fn fills(flooding: &Flooding, time: f64, expected: [f64; 2], what: &str) {
        for (got, expected) in flooding.fills(time).into_iter().zip(expected) {
            close(got, expected, what);
        }
    }

    #[track_caller]
    fn close(got: f64, expected: f64, what: &str) {
        assert!((got - expected).abs() < 1e-12, "{what}: {got}, expected {expected}");
    }

    #[test]
    fn tanks_flood_together_each_in_its_own_time() {
        let down = flooding(Heading::Down, Order::Together);
        close(down.lasts(), 20.0, "the longest");
        fills(&down, 0.0, [0.0, 0.2], "blown");
        fills(&down, 10.0, [1.0, 0.6], "the small one is full");
        fills(&down, 99.0, [1.0, 1.0], "and stays so");
        // 1 of 1 litre and half of 2.4 litres.
        close(down.fill(10.0), 2.2 / 3.4, "of both");
    }

    #[test]
    fn in_turn_the_last_one_flooded_is_the_first_one_blown() {
        let down = flooding(Heading::Down, Order::InTurn);
        close(down.lasts(), 30.0, "one after the other");
        fills(&down, 10.0, [1.0, 0.2], "the small one first");
        let up = flooding(Heading::Up, Order::InTurn);
        fills(&up, 20.0, [1.0, 0.2], "the large one first");
        fills(&up, 30.0, [0.0, 0.2], "blown");
        close(up.fill(0.0), 1.0, "full at the start");
    }

    #[test]
    fn a_fill_has_its_time() {
        for (heading, order) in [(Heading::Down, Order::InTurn), (Heading::Up, Order::Together)] {
            let flooding = flooding(heading, order);
            for fill in [0.1, 0.5, 0.9] {
                let got = flooding.fill(flooding.time_of(fill));
                assert!((got - fill).abs() < 1e-9, "{heading:?}: {got} instead of {fill}");
            }
        }
        close(flooding(Heading::Up, Order::Together).time_of(1.0), 0.0, "full at the start");
    }

    #[test]
    fn a_time_that_is_none_is_refused() {
        let refused = |seconds: &[f64]| {
            Flooding::new(&model(), Heading::Down, Order::Together, seconds).expect_err("bad times")
        };
        assert_eq!(refused(&[10.0, 0.0]), BoatError::Seconds(0.0), "no time at all");
        assert!(matches!(refused(&[f64::NAN, 1.0]), BoatError::Seconds(_)), "not a number");
        assert_eq!(refused(&[10.0]), BoatError::NoTank(1), "one time for two tanks");
        let none = Flooding::of_tanks(&model(), &[2]).expect_err("no third tank");
        assert_eq!(none, BoatError::NoTank(2), "a tank that is not there");
    }
}
