//! What the core answers natively to the entries that a test makes on the screen.

use trimwright::answer::{Evidence, Own, ReadyBoat, look_at, newest_reading};
use trimwright::ballast::{Advice, Remedy, Step, Target, UnderAim, Verdict, advise, outlook};
use trimwright::boat::{Boat, Place, demo_boat};
use trimwright::diary::{BoatRecord, QuickRecord, read};
use trimwright::fit::{FillRead, Fit, Sighting, WetSighting, estimate, fit_of};
use trimwright::float::{Basin, FloatModel};
use trimwright::frame::Position;
use trimwright::geometry::Fineness;
use trimwright::reading::{
    ANGLE_SPREAD, Aboard, Condition, MARK_SPREAD, Observation, PHONE_MASS, PHONE_PLACED,
    RESIDUAL_SPREAD, Reading, Seen,
};
use trimwright::unit::{Celsius, DEGREE, GRAM, MILLIMETRE};
use trimwright::water::Water;

/// What is entered on the Pool screen. Default: nothing, afloat, weight at the first place.
#[derive(Debug, Clone, Default)]
pub(crate) struct Entry {
    /// Millimetres of water above the marks, by their names, in the boat's order.
    pub(crate) marks: Vec<(&'static str, f64)>,
    /// List, degrees to starboard.
    pub(crate) list: Option<f64>,
    /// Trim, degrees bow down.
    pub(crate) trim: Option<f64>,
    /// Grams heavy under water; given only for a boat that is under.
    pub(crate) heavy: Option<f64>,
    /// How full the tanks were under water, per cent; none for full. Afloat they are empty.
    pub(crate) fill: Option<f64>,
    /// The phone lay on deck.
    pub(crate) phone_aboard: bool,
    /// How far forward of midship and to port, millimetres.
    pub(crate) phone_at: [i32; 2],
    /// Which place the weight goes to.
    pub(crate) place: usize,
    /// Grams of what is shifted instead.
    pub(crate) shift: Option<f64>,
}

/// The first thing to do, in whole grams and millimetres.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Answer {
    /// As the answer's `data-kind` names it.
    pub(crate) kind: String,
    /// Grams and place; for a shift how far forward and to port. None when there is nothing to do.
    pub(crate) figures: Option<[i64; 3]>,
}

/// The six numbers of the tests' own quick boat: millimetres and grams.
pub(crate) const GREBE: [(&str, f64); 5] =
    [("length", 1100.0), ("beam", 130.0), ("depth", 140.0), ("waterline", 100.0), ("mass", 6200.0)];

/// Density of the lead that is put on, kg/m³, as the app's contract has it.
const LEAD: f64 = 11340.0;

/// The answer for the demonstration boat.
pub(crate) fn demo_answer(entry: &Entry) -> Answer {
    answer(&BoatRecord::ledger("dipper", &demo_boat().expect("fixed sizes")), entry)
}

/// The answer for [`GREBE`] with ends as full as is usual.
pub(crate) fn quick_answer(entry: &Entry) -> Answer {
    let [length_m, beam_m, depth_m, waterline_m, mass_kg] =
        GREBE.map(|(_, number)| number * MILLIMETRE);
    let numbers = QuickRecord {
        length_m,
        beam_m,
        depth_m,
        mass_kg,
        waterline_m,
        fullness: 0.75,
        water_density_kg_m3: pool(),
        tank_m3: None,
        bow_mark_m: None,
        stern_mark_m: None,
        names: litemap::LiteMap::new(),
        extra: serde_json::Map::new(),
    };
    answer(&BoatRecord::quick("grebe", "Grebe", numbers), entry)
}

/// Density of fresh water of 20 °C, kg/m³.
fn pool() -> f64 {
    Water::Fresh(Celsius(20.0)).density().expect("in range")
}

/// What the bench says of a boat in a pool, in words: how it lies; its stiffness; its mass.
pub(crate) fn bench_words(boat: &Boat) -> [String; 3] {
    let model = FloatModel::new(boat, Fineness::WORK).expect("a good boat");
    let outlook = outlook(&model, Basin::deep(pool()), None, &boat.marks).expect("good water");
    let afloat = outlook.afloat.outcome.afloat().expect("it floats");
    let angle = |radians: f64, none: &str, [more, less]: [&str; 2]| match radians / DEGREE {
        degrees if degrees.abs() < 0.05 => none.to_owned(),
        degrees => format!("{:.1}° {}", degrees.abs(), if degrees > 0.0 { more } else { less }),
    };
    let list = angle(afloat.pose.heel(), "upright", ["to starboard", "to port"]);
    let trim = angle(afloat.pose.trim(), "level", ["bow down", "stern down"]);
    let (gm, mass) = (afloat.stiffness.across / MILLIMETRE, boat.dry_mass() / GRAM);
    [format!("{list}, {trim}"), format!("GM {gm:.1} mm"), format!("weighs {mass:.0} g")]
}

fn answer(record: &BoatRecord, entry: &Entry) -> Answer {
    let hand = ReadyBoat::of(record).expect("a good boat");
    let boat = &*hand.boat;
    let fill = if entry.heavy.is_some() { entry.fill.unwrap_or(100.0) } else { 0.0 } / 100.0;
    let model = hand.model.flooded(fill, pool()).expect("a share of the tank");
    // A tank that is partly full is known to 3 % of what it can take: common practice, no source.
    let fill = (fill > 0.0 && fill < 1.0).then_some(FillRead { share: fill, spread: 0.03 });
    let reading = reading(boat, entry).as_noted();
    let sightings = [Sighting::Wet(Box::new(WetSighting { model, reading, fill }))];
    let joint = estimate(hand.model.bare(), &hand.known, &sightings).expect("it fits");
    let fit: Fit = fit_of(&joint, &sightings, &hand.known, &boat.marks).expect("a boat");
    let target = match entry.heavy {
        Some(_) => Target::Under(UnderAim::usual(boat.tanks.len())),
        None => Target::at_the_marks(&boat.marks).expect("the boat has marks"),
    };
    let place = boat.places.get(entry.place).expect("the boat has such a place").clone();
    let remedy = match entry.shift {
        Some(grams) => Remedy::Shift { mass: grams * GRAM },
        None => Remedy::Weight { place, density: LEAD },
    };
    let advice = advise(&fit, Basin::deep(pool()), target, &boat.marks, &remedy);
    in_whole_figures(&advice.expect("good water"))
}

fn reading(boat: &Boat, entry: &Entry) -> Reading {
    let mut observations: Vec<Observation> = Vec::new();
    let mut see = |seen: Seen, spread: f64| observations.push(Observation { seen, spread });
    for &(name, mm) in &entry.marks {
        let mark = boat.marks.iter().find(|mark| mark.name == name).expect("a mark of the boat");
        let seen = Seen::WaterAtMark { mark: mark.clone(), above: mm * MILLIMETRE };
        see(seen, MARK_SPREAD);
    }
    if let Some(grams) = entry.heavy {
        see(Seen::Residual(grams * GRAM), RESIDUAL_SPREAD);
    }
    // Nobody has found the zero of the tests' phone: while it lies aboard, it tells angles to a degree.
    let angles = if entry.phone_aboard { DEGREE } else { ANGLE_SPREAD };
    if let Some(degrees) = entry.list {
        see(Seen::List(degrees * DEGREE), angles);
    }
    if let Some(degrees) = entry.trim {
        see(Seen::Trim(degrees * DEGREE), angles);
    }
    let aboard = entry.phone_aboard.then(|| phone(&boat.places, entry.phone_at));
    Reading {
        condition: if entry.heavy.is_some() { Condition::Under } else { Condition::Afloat },
        water_density: pool(),
        aboard: aboard.into_iter().collect(),
        observations,
        ..Reading::default()
    }
}

fn phone(places: &[Place], at: [i32; 2]) -> Aboard {
    let [x, y] = at.map(|mm| f64::from(mm) * MILLIMETRE);
    let deck = places.iter().find(|place| place.name == "on deck").expect("the boat has a deck");
    Aboard {
        name: "phone".to_owned(),
        mass: PHONE_MASS,
        at: Position::new(x, y, deck.z),
        off: PHONE_PLACED,
        solid: None,
    }
}

fn in_whole_figures(advice: &Advice) -> Answer {
    let (kind, figures) = match (advice.verdict, advice.steps.first()) {
        (Verdict::Lower { .. }, _) => ("lower", None),
        (Verdict::LiesOver { .. }, _) => ("lies-over", None),
        (Verdict::TankTooSmall { .. }, _) => ("tank", None),
        (Verdict::TankUntold | Verdict::ZeroFirst | Verdict::LeanUntold, _) => ("ask", None),
        (Verdict::LeaveIt, _) | (Verdict::Do, None) => ("leave", None),
        (Verdict::ShiftMore { .. } | Verdict::NoLift, _) => ("none", None),
        (Verdict::Do, Some(step)) => match step {
            Step::Add(w) => ("add", Some([w.mass.value, w.x.value, w.y.value])),
            Step::TakeOff(w) => ("take-off", Some([w.mass.value, w.x.value, w.y.value])),
            Step::Shift { mass, forward, to_port } => {
                ("shift", Some([*mass, forward.value, to_port.value]))
            }
        },
    };
    Answer { kind: kind.to_owned(), figures: figures.map(|all| all.map(whole)) }
}

/// Whole grams of a kilogram, whole millimetres of a metre.
#[expect(clippy::cast_possible_truncation, reason = "kilograms and metres of a model boat")]
fn whole(value: f64) -> i64 {
    (value / MILLIMETRE).round() as i64
}

/// What the core advises natively about the reading that the app kept last.
pub(crate) fn advice_of(file: &serde_json::Value) -> Advice {
    let diary = read(&file.to_string()).expect("the app's own file");
    let boat = diary.boat(&diary.draft.boat).expect("it is in hand");
    let hand = ReadyBoat::of(boat).expect("a boat");
    let own = Own {
        phone_mass: 0.2,
        is_zeroed: true,
        phone: "phone",
        inside: "inside",
        weight: "weight",
    };
    let newest = newest_reading(&diary, &hand, pool(), own).expect("figures");
    let asked = newest.expect("it was read");
    look_at(&hand, asked, &Evidence::in_hand(&diary, &hand)).expect("an answer").advice
}

/// The same as it stands on the screen.
pub(crate) fn answer_of(file: &serde_json::Value) -> Answer {
    in_whole_figures(&advice_of(file))
}
