//! One file per screen.

mod alarm;
mod answer;
mod bench;
mod boat;
mod boats;
mod checks;
mod diary;
mod dive;
mod doubts;
mod figure;
mod fill;
mod fold;
mod import;
mod inclining;
mod kept;
mod on_bench;
mod phone;
mod plans;
mod pool;
mod quick;
mod reading;
mod takes;
mod verdict;
mod water;
mod weight_on;
mod weights;
mod welcome;

pub(crate) use bench::tab_name;
pub(crate) use boat::BoatScreen;
pub(crate) use checks::ChecksScreen;
pub(crate) use diary::DiaryScreen;
pub(crate) use dive::DiveScreen;
pub(crate) use pool::PoolScreen;
