//! Which demands keep a plan from meeting its aim, and by how much, in figures that a builder can picture.

use super::demanded::Demanded;
use super::for_aim::AimPlan;
use super::relax::Given;
use super::state::Lies;

/// By how much a demand is not met.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Gap {
    /// Mass, kg; too heavy is positive.
    Mass(f64),
    /// Mass times lever, kg·m, across.
    Across(f64),
    /// The same along.
    Along(f64),
    /// GM too small, metres.
    Gm(f64),
    /// BG, or the stiffness under water, too small, metres.
    Bg(f64),
}

/// A demand that is in the way of a plan.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct InTheWay {
    /// In which state.
    pub lies: Lies,
    /// What is missing there.
    pub gap: Gap,
}

impl AimPlan {
    /// What is in its way; nothing where it meets the aim. Of the demands on the way it is the worst.
    pub fn in_the_way(&self) -> Vec<InTheWay> {
        let gives = self.plan.relaxation.iter().flat_map(|relaxation| &relaxation.gives);
        let mut found: Vec<InTheWay> = Vec::new();
        for one in gives.filter_map(|given| self.gap(given)) {
            let is_same = |own: &&mut InTheWay| {
                matches!(
                    (own.gap, one.gap, own.lies, one.lies),
                    (Gap::Gm(_), Gap::Gm(_), Lies::OnTheWay(_), Lies::OnTheWay(_))
                        | (Gap::Bg(_), Gap::Bg(_), ..)
                )
            };
            match found.iter_mut().find(is_same) {
                Some(own) if own.gap.size() < one.gap.size() => *own = one,
                Some(_) => {}
                None => found.push(one),
            }
        }
        found
    }

    fn gap(&self, given: &Given) -> Option<InTheWay> {
        let state = self.task.states.get(given.state)?;
        let amount = given.amount;
        let shortfall = amount.abs() / state.boat.mass();
        let gap = match given.what {
            Demanded::Weight => Gap::Mass(-amount),
            Demanded::ListMoment => Gap::Across(amount.abs()),
            Demanded::TrimMoment => Gap::Along(amount.abs()),
            Demanded::Gm => Gap::Gm(shortfall),
            Demanded::Bg | Demanded::Across | Demanded::Along => Gap::Bg(shortfall),
        };
        Some(InTheWay { lies: state.lies, gap })
    }
}

impl Gap {
    fn size(self) -> f64 {
        let (Self::Mass(size)
        | Self::Across(size)
        | Self::Along(size)
        | Self::Gm(size)
        | Self::Bg(size)) = self;
        size.abs()
    }
}
