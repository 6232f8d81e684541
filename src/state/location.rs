//! Where the user is, as one small value, and what going from one place to another does to the history
//! of the browser, by which the phone's own way back goes. Pure.

use super::desk::{Bench, Screen};
use super::form::Editing;
use super::log::DiaryPage;
use crate::device::storage::{Key, Store};
use trimwright::diary::CheckTime;

/// A form that is open.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum OpenForm {
    /// That of the quick boat.
    Quick,
    /// One of the ledger's.
    Ledger(Editing),
}

/// Where the user is.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct Location {
    /// Which screen is open.
    pub(crate) screen: Screen,
    /// Where on the bench.
    pub(crate) bench: Bench,
    /// The form that is open on the screen of the boat, perhaps behind another screen.
    pub(crate) form: Option<OpenForm>,
    /// The boat in hand, on whose lines that form stands.
    pub(crate) boat: String,
    /// Which list of checks.
    pub(crate) time: CheckTime,
    /// That list is being changed.
    pub(crate) editing: bool,
    /// Which page of the diary.
    pub(crate) page: DiaryPage,
    /// The session for which another one is being chosen.
    pub(crate) comparing: Option<Key>,
}

/// What a move does to the history.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Move {
    /// Nothing.
    Stay,
    /// The place takes the other one's entry.
    Replace,
    /// It gets an entry of its own: the way back leads to the other one.
    Push,
    /// It has an entry, the one before: what was open is closed.
    Back,
}

impl Location {
    /// What is seen of it: what lies behind another screen makes no other place.
    pub(crate) fn seen(&self) -> Self {
        let seen = Self { screen: self.screen, ..Self::default() };
        match self.screen {
            Screen::Pool | Screen::Dive => seen,
            Screen::Boat if self.form.is_some() => Self { form: self.form, ..seen },
            Screen::Boat => Self { bench: self.bench, ..seen },
            Screen::Checks => Self { time: self.time, editing: self.editing, ..seen },
            Screen::Diary if self.page != DiaryPage::Overview => {
                Self { page: self.page.clone(), ..seen }
            }
            Screen::Diary => Self { comparing: self.comparing.clone(), ..seen },
        }
    }

    /// The same but for what is turned to within one view, as tabs are: who turns to another tab stays
    /// where they are with finger and ear.
    pub(crate) fn view(&self) -> Self {
        // A form whose line is put into the ledger, while it is typed, is the same one.
        let form = self.seen().form.map(|form| match form {
            OpenForm::Quick => form,
            OpenForm::Ledger(of) => OpenForm::Ledger(of.another()),
        });
        Self { form, bench: Bench::default(), time: CheckTime::default(), ..self.seen() }
    }

    /// Whether something that was seen open here is closed in another place.
    fn is_closed_in(&self, now: &Self) -> bool {
        let was = self.seen();
        (was.form.is_some() && now.form.is_none())
            || (was.comparing.is_some() && now.comparing.is_none())
            || (was.editing && !now.editing)
            || now.seen() == Self::of_diary(DiaryPage::Overview) && was.page != DiaryPage::Overview
            || now.seen() == Self::of_diary(DiaryPage::Files) && was.page == DiaryPage::Remove
    }

    fn of_diary(page: DiaryPage) -> Self {
        Self { screen: Screen::Diary, page, ..Self::default() }
    }
}

/// The entry of the history that is in force.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct HistoryEntry {
    /// How many of the app's own lie before it.
    pub(crate) n: u32,
    /// Its place.
    pub(crate) here: Location,
    /// The place of the one before.
    pub(crate) before: Option<Location>,
}

impl HistoryEntry {
    /// What becomes of the history when the user goes to a place.
    pub(crate) fn step(&self, now: &Location) -> Move {
        let (was, is) = (self.here.seen(), now.seen());
        if *now == self.here {
            return Move::Stay;
        }
        // A form that is another one now, or has its line in the ledger now, is still the open form.
        if was == is || (was.form.is_some() && is.form.is_some()) {
            return Move::Replace;
        }
        if !self.here.is_closed_in(now) {
            return Move::Push;
        }
        // Nobody is led back to what was finished.
        self.settle(now)
    }

    /// What becomes of the history when this entry led to another place than its own: what was there
    /// is gone.
    pub(crate) fn settle(&self, now: &Location) -> Move {
        match &self.before {
            _ if *now == self.here => Move::Stay,
            // Two entries of one place would be a step back that leads nowhere.
            Some(before) if before.seen() == now.seen() => Move::Back,
            _ => Move::Replace,
        }
    }

    /// The entry of a place to which this one is the way back.
    pub(crate) fn next(&self, now: Location) -> Self {
        Self { n: self.n + 1, here: now, before: Some(self.here.clone()) }
    }
}

/// Between the words of a place, and between places, as they are written: no name has these signs. (If
/// one has, the place is none, and its entry leads home.)
const WORD: char = '\u{1f}';
const PLACE: char = '\u{1e}';

const SCREENS: [Screen; 5] =
    [Screen::Pool, Screen::Boat, Screen::Dive, Screen::Checks, Screen::Diary];
const TABS: [Bench; 5] = [Bench::Parts, Bench::Tanks, Bench::Marks, Bench::Results, Bench::Boats];
/// Forms of the ledger by their numbers; the quick boat's is the one after them.
const FORMS: [fn(Option<usize>) -> Editing; 6] =
    [Editing::Part, Editing::Tank, Editing::Mark, Editing::Place, Editing::Boat, |_| Editing::Aim];

/// The number of a thing in its list.
fn number<T: PartialEq>(list: &[T], of: &T) -> String {
    list.iter().position(|one| one == of).unwrap_or_default().to_string()
}

fn numbered<T: Copy>(list: &[T], number: &str) -> Option<T> {
    list.get(number.parse::<usize>().ok()?).copied()
}

fn form_words(form: Option<OpenForm>) -> [String; 2] {
    match form {
        None => Default::default(),
        Some(OpenForm::Quick) => [FORMS.len().to_string(), String::new()],
        Some(OpenForm::Ledger(of)) => {
            let kind = FORMS.iter().position(|kind| kind(of.line()) == of).unwrap_or_default();
            [kind.to_string(), of.line().map(|line| line.to_string()).unwrap_or_default()]
        }
    }
}

fn read_form(kind: &str, line: &str) -> Option<OpenForm> {
    let kind: usize = kind.parse().ok()?;
    let line = line.parse().ok();
    Some(FORMS.get(kind).map_or(OpenForm::Quick, |form| OpenForm::Ledger(form(line))))
}

/// Three words of a session's key; empty ones of none.
fn key_words(key: Option<&Key>) -> [&str; 3] {
    let word = |k: usize| key.and_then(|key| key.words.get(k)).map_or("", String::as_str);
    [word(0), word(1), word(2)]
}

fn read_key(words: [&str; 3]) -> Option<Key> {
    (words != [""; 3]).then(|| Key::new(Store::Session, words))
}

impl Location {
    /// As it is written into an entry.
    fn text(&self) -> String {
        let [form, line] = form_words(self.form);
        let (page, one, other) = match &self.page {
            DiaryPage::Overview => ("0", None, None),
            DiaryPage::Session(key) => ("1", Some(key), None),
            DiaryPage::Past => ("2", None, None),
            DiaryPage::Compare(earlier, later) => ("3", Some(earlier), Some(later)),
            DiaryPage::Files => ("4", None, None),
            DiaryPage::Settings => ("5", None, None),
            DiaryPage::Remove => ("6", None, None),
        };
        let (screen, tab) = (number(&SCREENS, &self.screen), number(&TABS, &self.bench));
        let time = number(&CheckTime::ALL, &self.time);
        let editing = if self.editing { "1" } else { "" };
        let first: [&str; 8] = [&screen, &tab, &form, &line, &self.boat, &time, editing, page];
        let keys = [one, other, self.comparing.as_ref()].map(key_words);
        [first.as_slice(), keys.as_flattened()].concat().join(&WORD.to_string())
    }

    /// From an entry; none if it was not written by this version.
    fn read(text: &str) -> Option<Self> {
        let words: Vec<&str> = text.split(WORD).collect();
        let words: [&str; 17] = words.try_into().ok()?;
        let [screen, tab, form, line, boat, time, editing, page, keys @ ..] = words;
        let [a, b, c, d, e, f, g, h, i] = keys;
        let (one, other) = (read_key([a, b, c]), read_key([d, e, f]));
        Some(Self {
            screen: numbered(&SCREENS, screen)?,
            bench: numbered(&TABS, tab)?,
            form: read_form(form, line),
            boat: boat.to_owned(),
            time: numbered(&CheckTime::ALL, time)?,
            editing: !editing.is_empty(),
            page: match page {
                "0" => DiaryPage::Overview,
                "1" => DiaryPage::Session(one?),
                "2" => DiaryPage::Past,
                "3" => DiaryPage::Compare(one?, other?),
                "4" => DiaryPage::Files,
                "5" => DiaryPage::Settings,
                "6" => DiaryPage::Remove,
                _ => return None,
            },
            comparing: read_key([g, h, i]),
        })
    }
}

impl HistoryEntry {
    /// As the browser keeps it.
    pub(crate) fn text(&self) -> String {
        let before = self.before.as_ref().map(Location::text).unwrap_or_default();
        format!("{}{PLACE}{}{PLACE}{before}", self.n, self.here.text())
    }

    /// From what the browser kept; none if it was not written by this version.
    pub(crate) fn read(text: &str) -> Option<Self> {
        let mut places = text.split(PLACE);
        let n = places.next()?.parse().ok()?;
        let here = Location::read(places.next()?)?;
        Some(Self { n, here, before: places.next().and_then(Location::read) })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The history of a browser, in which the app keeps its entries; below the first lies what was there
    /// before the app.
    struct Browser {
        entries: Vec<HistoryEntry>,
        at: usize,
    }

    impl Browser {
        fn new() -> Self {
            Self { entries: vec![HistoryEntry::default()], at: 0 }
        }

        fn here(&self) -> &Location {
            &self.entries[self.at].here
        }

        /// The user goes to a place within the app.
        fn go(&mut self, now: &Location) -> Move {
            let entry = self.entries[self.at].clone();
            let step = entry.step(now);
            match step {
                Move::Stay => {}
                Move::Replace => self.entries[self.at].here = now.clone(),
                Move::Back => {
                    self.at -= 1;
                    self.entries[self.at].here = now.clone();
                }
                Move::Push => {
                    self.entries.truncate(self.at + 1);
                    self.entries.push(entry.next(now.clone()));
                    self.at += 1;
                }
            }
            step
        }

        /// The phone's own way back; none when it leaves the app.
        fn back(&mut self) -> Option<Location> {
            self.at = self.at.checked_sub(1)?;
            Some(self.here().clone())
        }

        fn along(places: &[Location]) -> Self {
            let mut browser = Self::new();
            for place in places {
                browser.go(place);
            }
            browser
        }
    }

    fn key(id: &str) -> Key {
        Key::new(Store::Session, ["2026-05-09T10:00:00.000Z", "heron", id])
    }

    fn on(screen: Screen) -> Location {
        Location { screen, boat: "heron".to_owned(), ..Location::default() }
    }

    fn bench(bench: Bench) -> Location {
        Location { bench, ..on(Screen::Boat) }
    }

    fn with_form(form: OpenForm) -> Location {
        Location { form: Some(form), ..on(Screen::Boat) }
    }

    fn part(line: Option<usize>) -> Location {
        with_form(OpenForm::Ledger(Editing::Part(line)))
    }

    fn page(page: DiaryPage) -> Location {
        Location { page, ..on(Screen::Diary) }
    }

    fn choosing(id: &str) -> Location {
        Location { comparing: Some(key(id)), ..on(Screen::Diary) }
    }

    fn changing() -> Location {
        Location { editing: true, ..on(Screen::Checks) }
    }

    /// Every kind of place.
    fn everywhere() -> Vec<Location> {
        let forms = [None, Some(3)].into_iter().flat_map(|line| FORMS.map(|form| form(line)));
        let forms = forms.map(OpenForm::Ledger).chain([OpenForm::Quick]).map(with_form);
        let times = CheckTime::ALL.map(|time| Location { time, ..on(Screen::Checks) });
        let pages = [
            DiaryPage::Overview,
            DiaryPage::Session(key("a")),
            DiaryPage::Past,
            DiaryPage::Compare(key("a"), key("b")),
            DiaryPage::Files,
            DiaryPage::Settings,
            DiaryPage::Remove,
        ];
        let all = SCREENS.map(on).into_iter().chain(TABS.map(bench)).chain(forms);
        all.chain(times).chain([changing(), choosing("a")]).chain(pages.map(page)).collect()
    }

    #[test]
    fn from_every_place_back_leads_to_where_one_came_from_and_at_last_out_of_the_app() {
        for from in everywhere() {
            for to in everywhere() {
                let mut browser = Browser::along(&[from.clone(), to.clone()]);
                assert_eq!(*browser.here(), to, "from {from:?}");
                let seen: Vec<Location> =
                    std::iter::from_fn(|| browser.back()).map(|place| place.seen()).collect();
                assert!(seen.len() <= 2, "as many steps back as were gone: {seen:?}");
                // Whoever is anywhere but on the first screen stays in the app.
                let home = Location::default();
                assert!(
                    to.seen() == home || seen.last() == Some(&home),
                    "from {from:?} to {to:?}, back over {seen:?}"
                );
            }
        }
    }

    #[test]
    fn back_from_a_screen_leads_to_the_screen_before() {
        let way = [Screen::Boat, Screen::Dive, Screen::Boat, Screen::Checks, Screen::Pool].map(on);
        let mut browser = Browser::along(&way);
        for place in way.iter().rev().skip(1) {
            assert_eq!(browser.back().as_ref(), Some(place), "one step");
        }
        assert_eq!(browser.back(), Some(Location::default()), "the first screen");
        assert_eq!(browser.back(), None, "and out of the app as usual");
    }

    #[test]
    fn a_form_that_is_finished_is_not_come_back_to() {
        let list = bench(Bench::Parts);
        let mut browser = Browser::along(&[list.clone(), part(None)]);
        assert_eq!(browser.go(&part(Some(4))), Move::Replace, "its line is in the ledger now");
        assert_eq!(browser.go(&part(None)), Move::Replace, "the next part's");
        assert_eq!(browser.go(&list), Move::Back, "done");
        assert_eq!(browser.back(), Some(Location::default()), "to before the list");
        let mut browser = Browser::along(&[bench(Bench::Boats), with_form(OpenForm::Quick)]);
        assert_eq!(browser.go(&on(Screen::Pool)), Move::Replace, "its boat is used");
        assert_eq!(browser.back(), Some(bench(Bench::Boats)), "not the empty form again");
        let mut browser = Browser::along(&[with_form(OpenForm::Quick)]);
        assert_eq!(browser.go(&on(Screen::Pool)), Move::Back, "on an empty phone");
        assert_eq!(browser.back(), None, "the first screen again");
    }

    #[test]
    fn a_form_that_stays_open_behind_another_screen_is_come_back_to() {
        let form = part(Some(2));
        let pool = Location { screen: Screen::Pool, ..form.clone() };
        let mut browser = Browser::along(&[bench(Bench::Parts), form.clone()]);
        assert_eq!(browser.go(&pool), Move::Push, "it is not closed");
        let closed = on(Screen::Pool);
        assert_eq!(browser.go(&closed), Move::Replace, "out of sight it makes no other place");
        assert_eq!(browser.back(), Some(form), "one step");
    }

    #[test]
    fn pages_of_the_diary_and_what_is_compared_close_as_they_opened() {
        let (diary, one) = (on(Screen::Diary), page(DiaryPage::Session(key("a"))));
        let mut browser = Browser::along(&[diary.clone(), one.clone()]);
        assert_eq!(browser.go(&diary), Move::Back, "by the app's own way back");
        assert_eq!(browser.go(&one), Move::Push, "opened again");
        assert_eq!(browser.go(&choosing("a")), Move::Push, "another one is chosen");
        let both = page(DiaryPage::Compare(key("a"), key("b")));
        assert_eq!(browser.go(&both), Move::Replace, "it was chosen");
        assert_eq!(browser.back(), Some(one), "one step back from the comparison");
        assert_eq!(browser.back(), Some(diary), "and one more");
        let files = page(DiaryPage::Files);
        let mut browser = Browser::along(&[files.clone(), page(DiaryPage::Remove)]);
        assert_eq!(browser.go(&files), Move::Back, "nothing is removed, or everything was");
        let gone = HistoryEntry::default()
            .next(on(Screen::Diary))
            .next(page(DiaryPage::Session(key("a"))));
        assert_eq!(gone.settle(&on(Screen::Diary)), Move::Back, "a session that was removed");
        assert_eq!(gone.settle(&gone.here), Move::Stay, "one that is there");
        assert_eq!(gone.settle(&on(Screen::Pool)), Move::Replace, "something else");
        let checks = on(Screen::Checks);
        let mut browser = Browser::along(&[checks.clone(), changing()]);
        assert_eq!(browser.go(&checks), Move::Back, "the list was changed");
    }

    #[test]
    fn what_cannot_be_seen_and_the_boat_in_hand_make_no_other_place() {
        let mut browser = Browser::along(&[on(Screen::Dive)]);
        let behind = Location {
            bench: Bench::Marks,
            page: DiaryPage::Past,
            boat: "coot".to_owned(),
            ..on(Screen::Dive)
        };
        assert_eq!(browser.go(&behind), Move::Replace, "behind the screen");
        assert_eq!(browser.go(&behind.clone()), Move::Stay, "nothing at all");
        assert_eq!(bench(Bench::Tanks).view(), bench(Bench::Parts).view(), "tabs of one view");
        assert_eq!(part(Some(4)).view(), part(None).view(), "a line that is put in");
        assert_ne!(part(None).view(), bench(Bench::Parts).view(), "a form is another one");
    }

    #[test]
    fn an_entry_comes_back_from_the_browser_as_it_was() {
        for here in everywhere() {
            for before in [None, Some(choosing("b"))] {
                let entry = HistoryEntry { n: 7, here: here.clone(), before };
                assert_eq!(HistoryEntry::read(&entry.text()), Some(entry), "");
            }
        }
        for foreign in ["", "home", "3", "1\u{1e}0\u{1f}9", "x\u{1e}y\u{1e}z"] {
            assert_eq!(HistoryEntry::read(foreign), None, "{foreign:?} was not written here");
        }
    }
}
