//! Everything that follows from the diary: the boat in hand, its model, the reading, the answer.

use super::input::{FieldProblem, parse_water, wrong_words};
use super::log::PAUSE;
use super::made::{Datum, MadeParts};
use crate::device::clock;
use crate::signal::{Memo, RwSignal};
use crate::words::speech::{language_of, units_of};
use crate::words::{self, Language, speak_language, t};
use litemap::LiteMap;
use std::ops::Deref;
use std::sync::Arc;
use trimwright::answer::{
    self, Advised, Evidence, Field, KeptSession, Leans, Own, ReadyBoat, as_described, kept_in,
    latest_session, leans_in_hand, sessions_in_hand,
};
use trimwright::ballast::{Forecast, Outlook, outlook};
use trimwright::diary::{BoatRecord, Diary, Draft, SessionRecord, state_of};
use trimwright::float::Basin;
use trimwright::frame::Pose;
use trimwright::unit::Units;
use trimwright::water::POOL_DENSITY;

/// The boat in hand: as it is calculated, and what the screens need besides.
#[derive(Debug, Clone)]
pub(crate) struct BoatInHand {
    /// Its identity.
    pub(crate) id: String,
    /// As it is calculated.
    pub(crate) hand: ReadyBoat,
    /// Where lengths are measured from.
    pub(crate) datum: Datum,
    /// Its parts as made from the ledger, in its order.
    pub(crate) parts: Arc<MadeParts>,
}

impl BoatInHand {
    /// A boat by its record alone; none if it cannot be calculated.
    pub(crate) fn of(record: &BoatRecord) -> Option<Arc<Self>> {
        let parts = Arc::new(MadeParts::of(Some(record), None));
        let datum = parts.datum(record);
        ready(record, parts, datum, None).ok()
    }

    /// The same boat with another calculation.
    pub(crate) fn changed(&self, change: impl FnOnce(&mut ReadyBoat)) -> Self {
        let mut other = self.clone();
        change(&mut other.hand);
        other
    }
}

impl Deref for BoatInHand {
    type Target = ReadyBoat;

    fn deref(&self) -> &ReadyBoat {
        &self.hand
    }
}

/// The content of the Pool screen.
#[derive(Debug, Clone)]
pub(crate) enum PoolAnswer {
    /// No boat yet.
    NoBoat,
    /// The boat cannot be calculated: why.
    BadBoat(String),
    /// Some fields cannot be read.
    BadFields(Vec<FieldProblem>),
    /// What is typed was read on another outing, at this time (ISO 8601): it tells nothing of the boat as it
    /// is.
    Old(String),
    /// Nothing was read yet; how the model would lie.
    NothingRead(Box<Forecast>),
    /// The reading gives no answer: why.
    Refused(String),
    /// What to do.
    Advised(Box<Advised>),
}

/// Memos over the diary.
#[derive(Debug)]
pub(crate) struct Derived {
    /// How often words of a language came that were not in the program.
    pub(super) words_came: RwSignal<u32>,
    /// The language that is spoken: the one that the settings want, or English while the words of that are not there.
    /// What holds words follows it.
    pub(crate) language: Memo<Language>,
    /// In which units, and with which mark, the settings want it.
    pub(crate) units: Memo<Units>,
    /// The record of the boat in hand.
    pub(crate) record: Memo<Option<BoatRecord>>,
    /// The leans that were seen of it on the way.
    pub(crate) leans: Memo<Leans>,
    /// Its parts, made.
    pub(crate) parts: Memo<Arc<MadeParts>>,
    /// Where its lengths are measured from.
    pub(crate) datum: Memo<Datum>,
    /// What the boat in hand will do as described.
    pub(crate) outlook: Memo<Option<Arc<Outlook>>>,
    /// The boat in hand, none, or why it cannot be used.
    pub(crate) boat: Memo<Option<Result<Arc<BoatInHand>, String>>>,
    /// The draft.
    pub(crate) draft: Memo<Draft>,
    /// The water: density and words.
    pub(crate) water: Memo<Result<(f64, String), FieldProblem>>,
    /// Density of the water, kg/m³; of a pool at 20 °C while it cannot be read.
    pub(crate) density: Memo<f64>,
    /// What this phone weighs, kg.
    pub(crate) phone_mass: Memo<f64>,
    /// The time of day when somebody looked at the clock last, milliseconds since 1970.
    pub(crate) now: RwSignal<f64>,
    /// What was seen of the boat in hand, as it is kept.
    pub(crate) kept: Memo<Vec<KeptSession>>,
    /// What that told.
    pub(crate) evidence: Memo<Arc<Evidence>>,
    /// The answer.
    pub(crate) answer: Memo<Arc<PoolAnswer>>,
}

impl Derived {
    /// Builds the memos.
    pub(crate) fn new(diary: RwSignal<Diary>) -> Self {
        let words_came = RwSignal::new(0);
        let language = Memo::new(move |_| {
            words_came.track();
            // Here, so that what follows it is already said in it.
            speak_language(diary.with(|d| language_of(&d.settings)))
        });
        let units = Memo::new(move |_| diary.with(|d| units_of(&d.settings)));
        // Half-typed text beside the reading has no effect.
        let draft =
            Memo::new(move |_| diary.with(|d| Draft { forms: LiteMap::new(), ..d.draft.clone() }));
        // Cloned only when it has changed: with each key that is typed it has not.
        let record = Memo::new_unless_same(move |before: Option<&Option<BoatRecord>>| {
            diary.with(|d| {
                let now = d.boat(&d.draft.boat);
                let is_same = before.is_some_and(|before| before.as_ref() == now);
                (!is_same).then(|| now.cloned())
            })
        });
        let state = Memo::new(move |_| {
            record.with(|r| r.as_ref().map_or_else(String::new, |r| state_of(r).0))
        });
        let leans = Memo::new(move |_| diary.with(|d| leans_in_hand(d, &state.get())));
        // Models have no equality: their inputs have, and are compared first.
        let parts = Memo::new_with_compare(
            move |before: Option<&Arc<MadeParts>>| {
                record.with(|r| Arc::new(MadeParts::of(r.as_ref(), before.map(Arc::as_ref))))
            },
            |_, _| true,
        );
        let datum = Memo::new(move |_| {
            record.with(|r| parts.with(|p| r.as_ref().map_or(Datum::MIDSHIP, |r| p.datum(r))))
        });
        let boat = Memo::new_with_compare(
            move |before: Option<&Option<Result<Arc<BoatInHand>, String>>>| {
                language.track();
                let before = before.and_then(|b| b.as_ref()?.as_ref().ok());
                let ready = |r: &BoatRecord| ready(r, parts.get(), datum.get(), before);
                record.with(|r| r.as_ref().map(ready))
            },
            |_, _| true,
        );
        let water = Memo::new(move |_| {
            language.track();
            draft.with(|d| parse_water(&d.water, units.get().decimal))
        });
        let density =
            Memo::new(move |_| water.with(|w| w.as_ref().map_or(POOL_DENSITY, |(d, _)| *d)));
        let outlook = Memo::new_with_compare(
            move |before: Option<&Option<Arc<Outlook>>>| {
                let near = before.and_then(|b| b.as_ref()).and_then(|b| steady(b));
                boat.with(|b| look_ahead(b.as_ref()?.as_ref().ok()?, density.get(), near))
            },
            |_, _| true,
        );
        let phone_mass = Memo::new(move |_| diary.with(|d| d.settings.phone_mass()));
        let is_zeroed = Memo::new(move |_| diary.with(|d| d.settings.tilt_zero_deg.is_some()));
        let now = RwSignal::new(clock::now_ms());
        let is_old = Memo::new(move |_| draft.with(|d| is_old(d, now.get())));
        let kept = kept(diary, state, boat, now);
        let evidence = evidence(kept, record, boat);
        let answer = Memo::new_with_compare(
            move |_| {
                language.track();
                if is_old.get() {
                    return Arc::new(PoolAnswer::Old(draft.with(|d| d.read_at.clone())));
                }
                let phone = (phone_mass.get(), is_zeroed.get());
                let evidence = evidence.get();
                Arc::new(draft.with(|d| answer(d, boat.get().as_ref(), phone, &evidence)))
            },
            |_, _| true,
        );
        Self {
            words_came,
            language,
            units,
            record,
            leans,
            parts,
            datum,
            outlook,
            boat,
            draft,
            water,
            density,
            phone_mass,
            now,
            kept,
            evidence,
            answer,
        }
    }

    /// How the boat in hand lies by its description, whatever is typed: what cannot be read counts as not
    /// typed.
    pub(crate) fn described(&self) -> Option<Forecast> {
        let boat = self.boat.get();
        let hand = boat.as_ref()?.as_ref().ok()?;
        let (draft, density) = (self.draft.get(), self.density.get());
        as_described(hand, &draft, density).ok()
    }

    /// What is wrong with a field, if anything.
    pub(crate) fn problem(&self, field: &Field) -> Option<String> {
        let of = |problems: &[FieldProblem]| {
            problems.iter().find(|(f, _)| f == field).map(|(_, text)| text.clone())
        };
        self.water.with(|w| w.as_ref().err().and_then(|p| of(std::slice::from_ref(p)))).or_else(
            || {
                self.answer.with(|a| match a.as_ref() {
                    PoolAnswer::BadFields(problems) => of(problems),
                    _ => None,
                })
            },
        )
    }
}

fn ready(
    record: &BoatRecord,
    parts: Arc<MadeParts>,
    datum: Datum,
    before: Option<&Arc<BoatInHand>>,
) -> Result<Arc<BoatInHand>, String> {
    let boat = if record.quick.is_some() {
        record.boat().map_err(|e| words::record::record(&e))?
    } else {
        parts.boat(record)?
    };
    let hand = match before {
        Some(before) => ReadyBoat::renewed(record, boat, &before.model),
        None => ReadyBoat::of_made(record, boat),
    };
    let hand = hand.map_err(|e| words::model::boat(&e))?;
    Ok(Arc::new(BoatInHand { id: record.id.clone(), hand, datum, parts }))
}

/// The pose of a boat that floats on its keel: a good start for one that differs a little.
fn steady(outlook: &Outlook) -> Option<Pose> {
    outlook.afloat.outcome.afloat().filter(|a| a.stiffness.least > 0.0).map(|a| a.pose)
}

fn look_ahead(hand: &BoatInHand, density: f64, near: Option<Pose>) -> Option<Arc<Outlook>> {
    // A pose far over is no start for the next boat: let that one go upright.
    let near = near.filter(|pose| pose.heel().abs() < 0.1 && pose.trim().abs() < 0.1);
    outlook(&hand.model, Basin::deep(density), near, &hand.boat.marks).ok().map(Arc::new)
}

/// True for figures that were typed on another outing.
fn is_old(draft: &Draft, now: f64) -> bool {
    !draft.read_at.is_empty() && draft.has_figures() && now - clock::ms_of(&draft.read_at) > PAUSE
}

/// What was seen of the boat in hand, as it is kept.
fn kept(
    diary: RwSignal<Diary>,
    state: Memo<String>,
    boat: Memo<Option<Result<Arc<BoatInHand>, String>>>,
    now: RwSignal<f64>,
) -> Memo<Vec<KeptSession>> {
    Memo::new(move |_| {
        let Some(Ok(hand)) = boat.get() else { return Vec::new() };
        diary.with(|d| {
            let mut kept = kept_in(sessions_in_hand(d), &state.get(), &hand.boat.marks);
            let is_over = |s: &SessionRecord| now.get() - clock::ms_of(s.last_at()) >= PAUSE;
            if !kept.is_empty() && latest_session(d).is_some_and(is_over) {
                // Another outing, of which nothing is kept yet: the boat may have changed a little since.
                kept.push(KeptSession::default());
            }
            kept
        })
    })
}

/// What that told: fitted anew only when there is more of it, or the boat is another one.
fn evidence(
    kept: Memo<Vec<KeptSession>>,
    record: Memo<Option<BoatRecord>>,
    boat: Memo<Option<Result<Arc<BoatInHand>, String>>>,
) -> Memo<Arc<Evidence>> {
    Memo::new_with_compare(
        move |_| {
            let Some(Ok(hand)) = boat.get() else { return Arc::default() };
            let of = |record: &BoatRecord| kept.with(|kept| Evidence::of(&hand, record, kept));
            record.with(|r| Arc::new(r.as_ref().map_or_else(Evidence::default, of)))
        },
        |_, _| true,
    )
}

/// The core's answer, in words where something is wrong.
fn answer(
    draft: &Draft,
    boat: Option<&Result<Arc<BoatInHand>, String>>,
    (phone_mass, is_zeroed): (f64, bool),
    evidence: &Evidence,
) -> PoolAnswer {
    let hand = match boat {
        None => return PoolAnswer::NoBoat,
        Some(Err(why)) => return PoolAnswer::BadBoat(why.clone()),
        Some(Ok(hand)) => hand,
    };
    let [phone, inside, weight] = [t!("reading.phone"), t!("reading.inside"), t!("on_it.weight")];
    let own = Own { phone_mass, is_zeroed, phone: &phone, inside: &inside, weight: &weight };
    match answer::answer(hand, draft, own, evidence) {
        answer::Answer::BadFields(wrong) => {
            PoolAnswer::BadFields(wrong.iter().map(wrong_words).collect())
        }
        answer::Answer::NothingRead(lies) => PoolAnswer::NothingRead(lies),
        answer::Answer::Advised(advised) => PoolAnswer::Advised(advised),
        answer::Answer::Refused(why) => PoolAnswer::Refused(words::fit::refusal(&why)),
    }
}
