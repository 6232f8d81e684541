//! How the boat is taken down and up: which tank when, and the time that each takes.

use crate::signal::{Memo, RwSignal, memo};
use crate::state::Desk;
use crate::ui::node::{CollectNode, Node, view};
use crate::ui::text::number;
use crate::ui::widget::{Choice, Chosen, NumberField};
use crate::words::{self, Word, t, word};
use leptos::prelude::*;
use trimwright::diary::{BoatRecord, TankRecord};
use trimwright::dive::{USUAL_BLOW, USUAL_DRAIN, USUAL_FLOOD};
use trimwright::unit::read_number_within;

/// The longest that a tank can take, seconds.
const LONGEST: f64 = 600.0;

/// One of a tank's times: how it is read and where it is written.
type Time = (fn(&TankRecord) -> Option<f64>, fn(&mut TankRecord) -> &mut Option<f64>);

/// A tank's times: the key of its label, name for tests, the usual one.
const TIMES: [(Word, &str, f64, Time); 2] = [
    (word!("dive.floods_in"), "flood", USUAL_FLOOD, (|t| t.flood_s, |t| &mut t.flood_s)),
    (word!("dive.blown_in"), "blow", USUAL_BLOW, (|t| t.blow_s, |t| &mut t.blow_s)),
];

/// Order and times, folded away.
#[component]
pub(super) fn PlanForm() -> Node {
    let desk = expect_context::<Desk>();
    let record = desk.derived.record;
    let names = memo(move || {
        let name = |t: &TankRecord| t.name.clone();
        record.with(|r| r.as_ref().map(|r| r.tanks.iter().map(name).collect()).unwrap_or_default())
    });
    let in_turn = memo(move || record.with(|r| r.as_ref().is_some_and(|r| r.dive.in_turn)));
    let several = memo(move || names.with(|n: &Vec<String>| n.len() > 1));
    let options =
        [(word!("dive.together"), "plan-together"), (word!("dive.in_turn"), "plan-in-turn")]
            .map(|(key, testid)| Chosen { name: t!(key), testid: testid.to_owned() });
    let tank_fields = move || {
        let fields = |(k, name): (usize, String)| {
            let heading = several.get_untracked().then(|| view! { <h3>{name}</h3> });
            let field = |(words, key, usual, time): (Word, &str, f64, Time)| {
                view! {
                    <Seconds
                        label=t!(words)
                        testid=format!("{key}-{k}")
                        least=0.5
                        get=move |boat: &BoatRecord| time.0(boat.tanks.get(k)?)
                        usual
                        set=move |boat: &mut BoatRecord, seconds| {
                            if let Some(tank) = boat.tanks.get_mut(k) {
                                *time.1(tank) = Some(seconds);
                            }
                        }
                    />
                }
            };
            view! {
                {heading}
                <div class="pair">{TIMES.map(field).collect_node()}</div>
            }
        };
        names.get().into_iter().enumerate().map(fields).collect_node()
    };
    view! {
        <details class="more" data-testid="dive-plan">
            <summary>{t!("dive.plan")}</summary>
            <div class="work">
                {tank_fields}
                <div hidden=move || !several.get()>
                    <Choice
                        label=t!("dive.order")
                        options=options.to_vec()
                        now=Memo::from(move || Some(usize::from(in_turn.get())))
                        choose=move |k: usize| desk.change_boat(move |boat| boat.dive.in_turn = k == 1)
                    />
                </div>
                <Seconds
                    label=t!("dive.drains_in")
                    testid="drain".to_owned()
                    least=0.0
                    get=|boat: &BoatRecord| boat.dive.drain_s
                    usual=USUAL_DRAIN
                    set=|boat: &mut BoatRecord, seconds| boat.dive.drain_s = Some(seconds)
                />
                <p class="quiet">
                    {t!("dive.drains_help")}
                </p>
            </div>
        </details>
    }
}

/// A time. Text that cannot be read stays, and leaves the boat as it was.
#[component]
fn Seconds(
    /// What takes that time.
    label: String,
    /// Its name for tests.
    testid: String,
    /// The least that can be.
    least: f64,
    /// The time in the boat, if it is told there.
    get: impl Fn(&BoatRecord) -> Option<f64> + Send + Sync + 'static,
    /// The time where none is told.
    usual: f64,
    /// Puts a time into the boat.
    set: impl Fn(&mut BoatRecord, f64) + Copy + Send + Sync + 'static,
) -> Node {
    let desk = expect_context::<Desk>();
    let kept =
        memo(move || desk.derived.record.with(|r| r.as_ref().and_then(&get)).unwrap_or(usual));
    let field = testid.clone();
    let before = untrack(|| desk.half_typed("times", &field));
    let typed = RwSignal::new(Some(before).filter(|t| !t.is_empty()));
    let read = move |text: &str| read_number_within(text, least, LONGEST);
    let field = testid.clone();
    let value = Memo::from(move || {
        let kept = kept.get();
        let own = typed.get().filter(|t| read(t).map_or(true, |s| (s - kept).abs() < 1e-9));
        own.unwrap_or_else(|| number(kept, usize::from(kept.fract() != 0.0)))
    });
    let problem =
        memo(move || typed.get().and_then(|t| read(&t).err()).map(|e| words::number::number(&e)));
    let change = move |text: String| {
        let seconds = read(&text);
        // What can be read is in the boat.
        let half = if seconds.is_ok() { String::new() } else { text.clone() };
        desk.type_half("times", &field, half);
        typed.set(Some(text));
        if let Ok(seconds) = seconds {
            desk.change_boat(move |boat| set(boat, seconds));
        }
    };
    view! { <NumberField label testid unit="s" value change problem /> }
}
