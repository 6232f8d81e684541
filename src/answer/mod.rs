//! From what is kept and typed to the answer: the one way that every screen and every other program goes.

mod advised;
mod ballast;
mod bench;
mod changed;
mod changed_printed;
mod evidence;
mod fill;
mod fitted;
mod hollow;
mod in_hand;
mod inclining;
mod kept;
mod leans;
mod newest;
mod next;
mod own;
mod phone;
mod plan;
mod printed;
mod ready_boat;
mod typed;
mod weight;
mod wrong;

pub use advised::{Advised, Answer, Shifted, answer, as_described, look_at};
pub use bench::{
    BENCH_AFT, BENCH_BALANCE, BENCH_FORM, BENCH_SCALE, BenchTold, NotedBench, bench_told,
    benches_in_hand, read_bench,
};
pub use changed::{Change, Suspect, SuspectKind, read_before};
pub use evidence::{Evidence, LeansTold};
pub use fill::{fill_units, read_fill, set_fill, turn_fill};
pub use fitted::Refusal;
pub use hollow::{Hollow, Hollows};
pub use in_hand::PrintError;
pub use inclining::{InclinePoint, Inclining, inclining};
pub use kept::{
    KeptSession, KeptSighting, KeptWhat, OUTINGS, kept_in, latest_session, sessions_in_hand,
};
pub use leans::{Leans, NotedLean, leans_in_hand};
pub use newest::newest_reading;
pub use next::{NextReading, ReadNext, read_next};
pub use own::Own;
pub use phone::{phone_moved, phone_place};
pub use plan::PlansPrinted;
pub use printed::Printed;
pub use ready_boat::{Movable, ReadyBoat, ReadyBoatError};
pub use typed::{AdviceRequest, read_typed, read_water};
pub use wrong::{Field, Unreadable, WrongFigure};
