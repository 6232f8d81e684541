//! Random diaries: every field of every record is there or not, and what is there is random.

use super::diary::{full_boat, full_session, large_mesh, none, quick_record, wedge};
use serde_json::{Map, Value, json};
use std::collections::BTreeSet;
use trimwright::diary::{
    BoatRecord, ChecksRecord, Diary, Draft, EntryRecord, MeshRecord, PictureBytes, SessionRecord,
    picture_name, state_of,
};

/// Numbers that look random, from a seed.
///
/// Source: Steele, Lea & Flood, "Fast splittable pseudorandom number generators", 2014: `SplitMix`.
#[derive(Debug, Clone)]
pub struct Random(pub u64);

impl Random {
    pub fn bits(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let z = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// One of 0 to `n` - 1; 0 if `n` is.
    pub fn below(&mut self, n: usize) -> usize {
        usize::try_from(self.bits() % (n.max(1) as u64)).expect("it is less than a size")
    }

    pub fn one_in(&mut self, n: usize) -> bool {
        self.below(n) == 0
    }

    pub fn pick<'a, T>(&mut self, from: &'a [T]) -> &'a T {
        &from[self.below(from.len())]
    }

    /// A number of 0 to 1.
    pub fn share(&mut self) -> f64 {
        (self.bits() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// A number as people have them, or one at an edge.
    pub fn number(&mut self) -> f64 {
        match self.below(12) {
            0 => 0.0,
            1 => -0.0,
            2 => f64::MIN_POSITIVE,
            3 => 1e300 * self.share(),
            4 => 0.1 + 0.2,
            _ => (self.share() - 0.5) * 20.0,
        }
    }

    pub fn text(&mut self) -> String {
        const LETTERS: [&str; 22] = [
            "a", "b", "Z", "0", "9", " ", "~", "ß", "ü", "°", "−", "\"", "\\", "/", "\n", "\t",
            "=", ",", ";", "'", "\u{0}", "🦆",
        ];
        let n = self.below(7);
        (0..n).map(|_| *self.pick(&LETTERS)).collect()
    }

    /// Any JSON, for a field that no version knows.
    pub fn value(&mut self, depth: usize) -> Value {
        match self.below(if depth == 0 { 5 } else { 7 }) {
            0 => Value::Null,
            1 => json!(self.one_in(2)),
            2 => json!(self.bits()),
            3 => json!(self.number()),
            4 => json!(self.text()),
            5 => (0..self.below(4)).map(|_| self.value(depth - 1)).collect(),
            _ => {
                let fields = 0..self.below(4);
                Value::Object(fields.map(|_| (self.text(), self.value(depth - 1))).collect())
            }
        }
    }

    fn extra(&mut self) -> Map<String, Value> {
        if self.one_in(4) {
            Map::from_iter([("from_the_future".to_owned(), self.value(3))])
        } else {
            none()
        }
    }

    fn time(&mut self) -> String {
        let (day, hour, minute) = (self.below(28) + 1, self.below(24), self.below(60));
        format!("2026-0{}-{day:02}T{hour:02}:{minute:02}:00.000Z", self.below(9) + 1)
    }

    /// Takes things away from a list, and turns others about.
    fn thin<T>(&mut self, list: &mut Vec<T>) {
        let keep = self.below(4) + 1;
        list.retain(|_| self.below(4) < keep);
        if list.len() > 1 && self.one_in(3) {
            let (a, b) = (self.below(list.len()), self.below(list.len()));
            list.swap(a, b);
        }
    }
}

/// Changes the numbers of a record and the texts of some of its fields; its shape stays.
pub fn shake(random: &mut Random, value: &mut Value, texts: &[&str], numbers: &[&str]) {
    match value {
        Value::Object(map) => {
            for (key, inner) in map.iter_mut() {
                let key = key.as_str();
                if inner.is_string() && texts.contains(&key) && random.one_in(2) {
                    *inner = json!(random.text());
                } else if inner.is_number() && numbers.contains(&key) && random.one_in(2) {
                    *inner = json!(random.number());
                } else {
                    shake(random, inner, texts, numbers);
                }
            }
        }
        Value::Array(list) => {
            for inner in list.iter_mut() {
                shake(random, inner, texts, numbers);
            }
        }
        _ => {}
    }
}

/// Fields whose absence is no fault.
const OPTIONAL: [&str; 45] = [
    "group",
    "wall",
    "coat",
    "low_kg_m3",
    "area_m2",
    "bulkheads",
    "vent_m",
    "flood_m",
    "least_fill",
    "most_fill",
    "flood_s",
    "blow_s",
    "marks",
    "places",
    "datum",
    "length_m",
    "dive",
    "drain_s",
    "going_up",
    "status",
    "inside_a_part",
    "place",
    "weather",
    "water",
    "list_deg",
    "trim_deg",
    "residual_kg",
    "fill",
    "aboard",
    "state",
    "found",
    "untold",
    "advice",
    "foretold",
    "good",
    "words",
    "because",
    "after",
    "ended_at",
    "before",
    "between",
    "theme",
    "language",
    "tilt_zero_deg",
    "remind_after",
];

/// Takes optional fields away.
fn drop_some(random: &mut Random, value: &mut Value) {
    match value {
        Value::Object(map) => {
            // A lean that was seen and a solid have fields of these names that must be there.
            let must = map.contains_key("going_up")
                || ["diameter_m", "diameter_aft_m"].iter().any(|k| map.contains_key(*k));
            map.retain(|key, _| must || !OPTIONAL.contains(&key.as_str()) || !random.one_in(4));
            map.values_mut().for_each(|inner| drop_some(random, inner));
        }
        Value::Array(list) => list.iter_mut().for_each(|inner| drop_some(random, inner)),
        _ => {}
    }
}

/// A record with some of its fields gone and its texts and some numbers changed.
fn remade<R>(random: &mut Random, record: &R, texts: &[&str], numbers: &[&str]) -> R
where
    R: serde::Serialize + serde::de::DeserializeOwned,
{
    let mut value = serde_json::to_value(record).expect("a record");
    drop_some(random, &mut value);
    shake(random, &mut value, texts, numbers);
    serde_json::from_value(value).expect("what may be absent is")
}

pub fn random_boat(random: &mut Random, id: &str) -> BoatRecord {
    if random.one_in(3) {
        let mut quick = quick_record();
        // A boat twice as large in every way carries eight times as much.
        let scale = 0.5 + random.share();
        quick.length_m *= scale;
        quick.beam_m *= scale;
        quick.depth_m *= scale;
        quick.waterline_m *= scale;
        quick.mass_kg *= scale * scale * scale;
        quick.tank_m3 = random.one_in(2).then_some(5e-4 * scale * scale * scale);
        quick.bow_mark_m = random.one_in(2).then_some(0.1 * scale);
        quick.extra = random.extra();
        return BoatRecord { extra: random.extra(), ..BoatRecord::quick(id, random.text(), quick) };
    }
    let mut boat = full_boat(id);
    random.thin(&mut boat.parts);
    random.thin(&mut boat.tanks);
    random.thin(&mut boat.marks);
    for part in &mut boat.parts {
        part.extra = random.extra();
    }
    boat.extra = random.extra();
    let texts = ["name", "group", "noted_at"];
    remade(random, &boat, &texts, &["height_m", "at_m", "drain_s", "list_deg"])
}

pub fn random_session(random: &mut Random, id: &str, boat: &str, state: &str) -> SessionRecord {
    let mut session = full_session(boat, state);
    id.clone_into(&mut session.id);
    random.thin(&mut session.entries);
    for entry in &mut session.entries {
        let extra = random.extra();
        *entry = EntryRecord { extra, ..remade(random, entry, &TEXTS, &NUMBERS) };
    }
    session.extra = random.extra();
    session = remade(random, &session, &["place", "weather", "water"], &[]);
    session.started_at = random.time();
    session
}

const TEXTS: [&str; 6] = ["note", "words", "because", "water", "name", "after"];
const NUMBERS: [&str; 8] = [
    "above_m",
    "list_deg",
    "trim_deg",
    "residual_kg",
    "value",
    "water_density_kg_m3",
    "fill",
    "mass_kg",
];

/// A diary of up to four boats and six sessions, oldest first, of these boats or of none.
pub fn random_diary(random: &mut Random) -> Diary {
    const IDS: [&str; 6] = ["teal", "grebe", "teal~2", "smew", "grebe~2", "gone"];
    let mut diary = Diary::default();
    for id in distinct(random, &IDS, 4) {
        diary.boats.push(random_boat(random, id));
    }
    for boat in &diary.boats {
        if random.one_in(2) {
            let (name, state) = state_of(boat);
            diary.states.insert(name, state);
        }
    }
    let states: Vec<String> = diary.states.keys().cloned().chain([String::new()]).collect();
    for id in distinct(random, &["s1", "s2", "s3", "s1~2", "s4", "s2~2"], 6) {
        let (boat, state) = (*random.pick(&IDS), random.pick(&states).clone());
        diary.sessions.push(random_session(random, id, boat, &state));
    }
    diary.sessions.sort_by(|a, b| (&a.started_at, &a.id).cmp(&(&b.started_at, &b.id)));
    for id in distinct(random, &IDS, 3) {
        let mut checks = ChecksRecord {
            id: id.to_owned(),
            before: super::diary::checks(),
            after: super::diary::checks(),
            extra: random.extra(),
            ..ChecksRecord::default()
        };
        random.thin(&mut checks.before);
        diary.checks.push(remade(random, &checks, &["words", "because"], &[]));
    }
    for mesh in [MeshRecord::new(wedge().into()), large_mesh()] {
        if random.one_in(3) {
            diary.meshes.insert(mesh.content_name(), mesh);
        }
    }
    if random.one_in(2) {
        let bytes: Vec<u8> = (0..random.below(9)).map(|k| k.to_le_bytes()[0]).collect();
        let picture = PictureBytes { extra: random.extra(), ..PictureBytes::new("x", &bytes) };
        diary.pictures.insert(picture_name(&bytes), picture);
    }
    let full = super::diary::full_diary();
    if random.one_in(2) {
        diary.materials.push(remade(random, &full.materials[0], &["name"], &[]));
    }
    if random.one_in(2) {
        diary.settings = remade(random, &full.settings, &["theme"], &[]);
        diary.settings.extra = random.extra();
    }
    if random.one_in(2) {
        let typed: Vec<&str> = vec!["list", "trim", "fill", "residual", "temperature"];
        diary.draft = Draft { extra: random.extra(), ..remade(random, &full.draft, &typed, &[]) };
    }
    diary.extra = random.extra();
    diary
}

/// Some of some names, each once, in the order in which they stand.
fn distinct<'a>(random: &mut Random, of: &[&'a str], most: usize) -> Vec<&'a str> {
    let n = random.below(most + 1);
    let which: BTreeSet<usize> = (0..n).map(|_| random.below(of.len())).collect();
    which.into_iter().map(|k| of[k]).collect()
}
