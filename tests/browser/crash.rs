//! The tab is killed at random moments while somebody works in it: what the screen had confirmed is
//! there at the next start, and nothing is half there.

use crate::driver::{Tabs, run_for, short_or_long};
use crate::failing::FAULTS;
use crate::page::Page;
use crate::server::Told;
use serde::Deserialize;
use serde_json::json;
use std::collections::BTreeSet;
use std::time::Duration;
use thirtyfour::prelude::*;
use tokio::time::sleep;

/// How often the tab is killed: in a short run, and in a long one.
const KILLS: [u32; 2] = [10, 200];
/// After so many the phone is emptied: a session of thousands of notes is another test.
const ON_ONE_PHONE: u32 = 25;
/// Latest moment of a kill after the work began, milliseconds.
const LATEST: u64 = 1500;
/// Longest that it all may take.
const LIMIT: Duration = Duration::from_secs(1500);
/// Where the row of random moments begins; any number will do.
const SEED: u64 = 20_261_127;

/// Works without a pause: notes, the place, figures at a mark, the mass of a part. Before each act it
/// tells the server what it will try, and after it what the screen has confirmed. It waits for the
/// server's answer, so what was confirmed was told.
const WORK: &str = r#"
const round = arguments[0];
const tell = (what) => {
  const call = new XMLHttpRequest();
  call.open("POST", "told?" + encodeURIComponent(JSON.stringify(what)), false);
  call.send();
};
const until = (test) => new Promise((done) => {
  const look = () => (test() ? done() : setTimeout(look, 1));
  look();
});
const type = (id, words) => {
  const field = find(id);
  field.value = words;
  field.dispatchEvent(new Event("input", { bubbles: true }));
};
const tap = async (id) => { await until(() => find(id)); find(id).click(); };
const turn = () => new Promise((done) => setTimeout(done));
const kept = async () => {
  await turn();
  await until(() => find("kept")?.dataset.kept === "kept");
};
let n = 0;
const put = async (what, id, value) => {
  await until(() => find(id));
  tell({ tried: [what, value] });
  type(id, value);
  await kept();
  if (find(id).value === value) tell({ confirmed: [what, value] });
};
const work = async () => {
  for (;;) {
    n += 1;
    await tap("go-diary");
    const note = `note ${round}-${n}`;
    await until(() => find("note-text"));
    tell({ tried: ["note", note] });
    type("note-text", note);
    await tap("note-add");
    await turn();
    await until(() => find("file-message")?.textContent === "Note kept.");
    tell({ confirmed: ["note", note] });
    await tap("session-now");
    await put("place", "session-place", `pond ${round}-${n}`);
    await tap("go-pool");
    await put("mark", "mark-bow-value", String((round * 7 + n) % 40));
    await tap("go-boat");
    await tap("bench-parts");
    await tap("part-1");
    await put("mass", "form-mass", String(100 + ((round * 31 + n) % 900)));
    await tap("form-done");
  }
};
work();
return true;
"#;

/// What is there at the start, as the screens show it.
const STATE: &str = r#"
const done = arguments[arguments.length - 1];
const until = (test) => new Promise((go) => {
  const look = () => (test() ? go() : setTimeout(look, 1));
  look();
});
const tap = async (id) => { await until(() => find(id)); find(id).click(); };
(async () => {
  const mark = find("mark-bow-value")?.value ?? "";
  const damaged = document.querySelectorAll(".notice.bad").length;
  await tap("go-boat");
  await tap("bench-parts");
  await tap("part-1");
  await until(() => find("form-mass"));
  const mass = find("form-mass").value;
  await tap("form-done");
  await tap("go-diary");
  await until(() => find("session-count"));
  const sessions = Number(find("session-count").textContent);
  let notes = [], place = "";
  if (sessions > 0) {
    await tap("session-now");
    await until(() => find("session-place"));
    place = find("session-place").value;
    notes = [...document.querySelectorAll(".timeline .note")].map((e) => e.textContent);
  }
  done({ mark, damaged, mass, sessions, notes, place });
})();
"#;

/// What is there at a start.
#[derive(Debug, Deserialize)]
struct State {
    mark: String,
    damaged: u32,
    mass: String,
    sessions: u32,
    notes: Vec<String>,
    place: String,
}

/// What the page has told so far.
#[derive(Debug, Default)]
struct Known {
    tried_notes: BTreeSet<String>,
    confirmed_notes: BTreeSet<String>,
    place: Value,
    mark: Value,
    mass: Value,
}

/// A value that is typed anew again and again.
#[derive(Debug, Default)]
struct Value {
    confirmed: Option<String>,
    /// What was tried since.
    tried: Vec<String>,
}

#[derive(Deserialize)]
#[serde(rename_all = "snake_case")]
enum Message {
    Tried([String; 2]),
    Confirmed([String; 2]),
}

impl Known {
    fn value(&mut self, name: &str) -> &mut Value {
        match name {
            "place" => &mut self.place,
            "mark" => &mut self.mark,
            "mass" => &mut self.mass,
            other => panic!("nobody works on {other}"),
        }
    }

    fn hear(&mut self, message: Message) {
        match message {
            Message::Tried([what, note]) if what == "note" => drop(self.tried_notes.insert(note)),
            Message::Confirmed([what, note]) if what == "note" => {
                self.confirmed_notes.insert(note);
            }
            Message::Tried([what, text]) => self.value(&what).tried.push(text),
            Message::Confirmed([what, text]) => {
                *self.value(&what) = Value { confirmed: Some(text), tried: Vec::new() };
            }
        }
    }

    /// What is missing, half there, or was never there; nothing if all is as it should be.
    fn wrong(&self, state: &State) -> Option<String> {
        let notes: BTreeSet<String> = state.notes.iter().cloned().collect();
        let lost: Vec<_> = self.confirmed_notes.difference(&notes).collect();
        let never: Vec<_> = notes.difference(&self.tried_notes).collect();
        let found = [
            (state.damaged > 0, format!("something cannot be read: {state:?}")),
            (state.sessions > 1, format!("one outing, several sessions: {state:?}")),
            (notes.len() != state.notes.len(), format!("a note twice: {state:?}")),
            (!lost.is_empty(), format!("confirmed and lost: {lost:?}")),
            (!never.is_empty(), format!("never written: {never:?}")),
        ];
        let values = [
            ("place", &self.place, &state.place),
            ("mark", &self.mark, &state.mark),
            ("mass", &self.mass, &state.mass),
        ];
        let values = values.into_iter().map(|(name, known, found)| {
            let mut may_be = known.confirmed.iter().chain(&known.tried);
            let is_wrong = known.confirmed.is_some() && !may_be.any(|text| text == found);
            let Value { confirmed, tried } = known;
            (is_wrong, format!("{name} is {found:?}, confirmed {confirmed:?}, tried {tried:?}"))
        });
        found.into_iter().chain(values).find_map(|(is_wrong, words)| is_wrong.then_some(words))
    }

    /// After a start what is there is what stands.
    fn settle(&mut self, state: &State) {
        for (name, found) in [("place", &state.place), ("mark", &state.mark), ("mass", &state.mass)]
        {
            let value = self.value(name);
            if value.confirmed.is_some() {
                *value = Value { confirmed: Some(found.clone()), tried: Vec::new() };
            }
        }
    }
}

/// What was told, in order; it is forgotten then.
fn hear(told: &Told) -> Vec<Message> {
    let told: Vec<String> = std::mem::take(&mut *told.lock().expect("no thread panicked with it"));
    let message = |text: &String| {
        let plain = percent_decoded(text);
        serde_json::from_str(&plain).unwrap_or_else(|e| panic!("{plain}: {e}"))
    };
    told.iter().map(message).collect()
}

/// Undoes what `encodeURIComponent` did.
fn percent_decoded(text: &str) -> String {
    let mut bytes = Vec::new();
    let mut rest = text.as_bytes();
    while let Some((&first, after)) = rest.split_first() {
        if first == b'%'
            && let Some(hex) = after.get(..2)
            && let Ok(byte) = u8::from_str_radix(&String::from_utf8_lossy(hex), 16)
        {
            bytes.push(byte);
            rest = &after[2..];
        } else {
            bytes.push(first);
            rest = after;
        }
    }
    String::from_utf8(bytes).expect("it was text")
}

/// The next random number (`SplitMix64`, Steele, Lea & Flood 2014).
fn next(state: &mut u64) -> u64 {
    *state = state.wrapping_add(0x9e37_79b9_7f4a_7c15);
    let mut z = *state;
    z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    z ^ (z >> 31)
}

async fn state(page: &Page) -> WebDriverResult<State> {
    Ok(page.run_async(STATE).await?.expect("the screens say what is there"))
}

/// What came of killing the tab again and again.
#[derive(Debug, Default)]
struct Outcome {
    /// Acts that the screen had confirmed.
    confirmed: u32,
    /// Kills that fell into an act that was not confirmed.
    open: u32,
    /// What was wrong after a kill; the first such kill is the last one.
    wrong: Option<String>,
}

/// Works and kills the tab, `kills` times or until something is wrong. `spoil` is run in every page
/// before the app.
async fn kill_again_and_again(
    page: &Page,
    tabs: &Tabs,
    kills: u32,
    spoil: Option<&str>,
) -> WebDriverResult<Outcome> {
    let told = page.server.told();
    let mut random = SEED;
    let mut known = Known::default();
    let mut outcome = Outcome::default();
    for kill in 0..kills {
        if kill % ON_ONE_PHONE == 0 {
            tabs.forget(page).await?;
            known = Known::default();
            // A page that is loaded again stays where it was, whatever is forgotten: a tab of its own.
            page.driver.close_window().await?;
            tabs.open(page).await?;
            page.load().await?;
            page.tap("start-demo").await?;
            page.see_kept().await?;
        }
        if let Some(script) = spoil {
            page.run::<()>(script, vec![]).await?;
        }
        page.run::<bool>(WORK, vec![json!(kill)]).await?;
        sleep(Duration::from_millis(next(&mut random) % LATEST)).await;
        tabs.kill(page).await?;
        for message in hear(&told) {
            outcome.confirmed += u32::from(matches!(message, Message::Confirmed(_)));
            known.hear(message);
        }
        outcome.open += u32::from(!known.mass.tried.is_empty() || !known.mark.tried.is_empty());
        page.load().await?;
        let found = state(page).await?;
        outcome.wrong = known.wrong(&found).map(|words| format!("kill {kill}: {words}"));
        if outcome.wrong.is_some() {
            break;
        }
        known.settle(&found);
    }
    Ok(outcome)
}

#[tokio::test(flavor = "multi_thread")]
async fn a_tab_that_is_killed_loses_nothing_that_was_confirmed() {
    run_for(LIMIT, async |page, tabs: Tabs| {
        let kills = short_or_long(KILLS[0], KILLS[1]);
        let Outcome { confirmed, open, wrong } =
            kill_again_and_again(page, &tabs, kills, None).await?;
        assert_eq!(wrong, None, "after a kill");
        assert!(confirmed > kills, "there was something to lose: {confirmed}");
        println!("FIGURE crash_kills {kills} kills 200");
        println!("FIGURE crash_confirmed {confirmed} acts -");
        println!("{open} kills fell into an act that was not confirmed");
        Ok(())
    })
    .await;
}

/// How often it is killed while the store fails, and at every which call that is.
const KILLS_WITH_FAULTS: [u32; 2] = [6, 50];
const FAULT_EVERY: u32 = 11;

#[tokio::test(flavor = "multi_thread")]
async fn a_tab_that_is_killed_while_the_store_fails_loses_nothing_that_was_confirmed() {
    run_for(LIMIT, async |page, tabs: Tabs| {
        let kills = short_or_long(KILLS_WITH_FAULTS[0], KILLS_WITH_FAULTS[1]);
        let faults = FAULTS.replace("arguments[0] ?? 0", &FAULT_EVERY.to_string());
        let outcome = kill_again_and_again(page, &tabs, kills, Some(&faults)).await?;
        assert_eq!(outcome.wrong, None, "after a kill");
        // With a store that fails an act takes until the next try: less is confirmed than without.
        assert!(outcome.confirmed > 0, "there was something to lose: {outcome:?}");
        Ok(())
    })
    .await;
}

/// A store that takes what it is given, says so, and has not got it: one time in three.
const LOSING: &str = r"
const put = IDBObjectStore.prototype.put;
let n = 0;
IDBObjectStore.prototype.put = function (value, ...key) {
  n += 1;
  return n % 3 === 0 ? this.count() : put.call(this, value, ...key);
};
return null;
";

#[tokio::test(flavor = "multi_thread")]
async fn a_store_that_loses_what_it_confirmed_would_be_found_out() {
    run_for(LIMIT, async |page, tabs: Tabs| {
        let outcome = kill_again_and_again(page, &tabs, ON_ONE_PHONE, Some(LOSING)).await?;
        assert!(outcome.wrong.is_some(), "this test finds what is lost: {outcome:?}");
        println!("found out: {}", outcome.wrong.unwrap_or_default());
        Ok(())
    })
    .await;
}
