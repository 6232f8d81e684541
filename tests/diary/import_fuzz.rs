//! Files as no one wrote them: random bytes, files of every version with bytes changed, and JSON that
//! is valid but strange. Nothing panics; what is read is whole; an import takes all or nothing.
//!
//! `TRIM_FUZZ_CASES` says how many are tried (`scripts/soak` tries a million, optimised).

use crate::support::diary::{
    VERSION_1, VERSION_2, VERSION_3, diary, full_diary, json_of, large_mesh, places_in, wedge,
};
use crate::support::random::Random;
use serde_json::{Value, json};
use std::collections::HashSet;
use std::hash::{DefaultHasher, Hash, Hasher};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Mutex;
use trimwright::diary::{
    BoatRecord, Diary, Fate, KeptMeshes, TableStyle, kept_names, mesh_from_bytes, mesh_to_bytes,
    read, read_kept, read_with, readings_csv, write, write_kept,
};
use trimwright::float::FloatModel;
use trimwright::geometry::Fineness;
use trimwright::pause::at_once;

/// Any number will do.
const SEED: u64 = 20_260_601;

/// Cases where nothing else is said: a few seconds.
const USUAL: u64 = 1_500;

/// What the cases are made from.
struct Samples {
    texts: Vec<String>,
    files: Vec<Value>,
    meshes: Vec<Vec<u8>>,
    /// A diary in use, into which is imported.
    here: Diary,
}

impl Samples {
    fn new() -> Self {
        let full = write(&full_diary());
        let texts: Vec<String> = [VERSION_1, VERSION_2, VERSION_3, &full].map(str::to_owned).into();
        let files = texts.iter().map(|text| json_of(text)).collect();
        let large = large_mesh().mesh().expect("a closed mesh");
        let meshes = vec![mesh_to_bytes(&wedge()), mesh_to_bytes(&large)];
        let mut here = diary();
        // A boat of nothing yet, a session of it and one of a boat that is gone: little, for speed.
        let boat = json!({ "id": "teal", "name": "Teal", "parts": [] });
        here.boats = vec![serde_json::from_value(boat).expect("a boat")];
        Self { texts, files, meshes, here }
    }
}

/// Bytes with some of them flipped, cut out, put in, doubled, or taken from elsewhere.
fn mutated(random: &mut Random, bytes: &[u8]) -> Vec<u8> {
    let mut bytes = bytes.to_vec();
    for _ in 0..=random.below(4) {
        let (from, length) = (random.below(bytes.len()), random.below(40));
        let to = (from + length).min(bytes.len());
        let at = random.below(bytes.len() + 1);
        match random.below(6) {
            0 if !bytes.is_empty() => bytes[from] ^= 1 << random.below(8),
            1 => drop(bytes.drain(from..to)),
            2 => {
                let piece = bytes[from..to].to_vec();
                bytes.splice(at..at, piece);
            }
            3 => bytes.truncate(at),
            4 => {
                let new: Vec<u8> = (0..length).map(|_| random.bits().to_le_bytes()[0]).collect();
                bytes.splice(at..at, new);
            }
            _ => {
                // Digits for digits: the text stays JSON.
                for byte in bytes.iter_mut().skip(from).take(length * 8) {
                    if byte.is_ascii_digit() && random.one_in(6) {
                        *byte = b'0' + random.bits().to_le_bytes()[0] % 10;
                    }
                }
            }
        }
    }
    bytes
}

/// Stand for what JSON has no value for; the text gets them in the place of these.
const NO_JSON: [(&str, &str); 5] = [
    ("\"@nan\"", "NaN"),
    ("\"@infinite\"", "1e999"),
    ("\"@minus\"", "-"),
    ("\"@zero\"", "-0"),
    ("\"@long\"", "0.1000000000000000055511151231257827021181583404541015625000000000000001"),
];

/// A value that nobody expects where it comes to stand.
fn strange(random: &mut Random) -> Value {
    let lists = |depth: usize| (0..depth).fold(json!(1), |inner, _| json!([inner]));
    match random.below(20) {
        0 => Value::Null,
        1 => json!(-1),
        2 => json!(0),
        3 => json!(1e308),
        4 => json!(-1e308),
        5 => json!(5e-324),
        6 => json!(u64::MAX),
        7 => json!(i64::MIN),
        8 => json!(""),
        9 => json!("teal"),
        10 => json!({}),
        11 => json!([]),
        12 => lists(random.below(140)),
        13 => {
            let marker = NO_JSON[random.below(NO_JSON.len())].0;
            json!(marker.trim_matches('"'))
        }
        14 => json!({ "box": { "size_m": [1, 1, 1], "centre_m": [0, 0, 0] } }),
        15 => json!([0.0, 0.0, 0.0]),
        16 => json!(random.share() * 0.2),
        17 => json!(random.number()),
        18 => json!(random.text()),
        _ => random.value(3),
    }
}

/// Something strange of the kind that a thing is, so that often the file can be read.
fn strange_of_kind(random: &mut Random, of: &Value) -> Value {
    const NUMBERS: [f64; 12] =
        [0.0, -0.0, 1.0, -1.0, 1e-12, 1e-300, 5e-324, 1e9, 1e160, 1.7e308, -1e308, 0.1];
    match of {
        Value::Bool(is) => json!(!is),
        Value::Number(n) if n.is_u64() => json!(random.bits() >> random.below(64)),
        Value::Number(n) => match (random.below(3), n.as_f64()) {
            (0, Some(n)) => json!(n * (4.0 * random.share() - 1.0)),
            (1, _) => json!(random.number()),
            _ => json!(random.pick(&NUMBERS)),
        },
        Value::String(_) if random.one_in(2) => json!(random.pick(&["", "teal", "e1", "2026"])),
        Value::String(_) => json!(random.text()),
        Value::Array(list) if list.iter().all(Value::is_number) => {
            list.iter().map(|n| strange_of_kind(random, n)).collect()
        }
        _ => strange(random),
    }
}

/// Takes boats, parts, sessions and the like away, so that a case is quick and its changes are seen.
fn thin(random: &mut Random, value: &mut Value, depth: usize) {
    let keep = 1 + random.below(3);
    match value {
        Value::Array(list) if list.iter().any(Value::is_object) => {
            list.retain(|_| random.below(4) < keep);
            for inner in list.iter_mut() {
                thin(random, inner, depth + 1);
            }
        }
        Value::Object(map) => {
            if depth == 0 {
                map.retain(|key, _| {
                    ["format", "version"].contains(&&**key) || random.below(4) <= keep
                });
            }
            map.values_mut().for_each(|inner| thin(random, inner, depth + 1));
        }
        _ => {}
    }
}

/// A file, mostly with less in it, and mostly without boats of six numbers: to look at one of those
/// takes as long as a hundred others.
fn lightened(random: &mut Random, file: &Value) -> Value {
    let mut file = file.clone();
    if !random.one_in(8) {
        thin(random, &mut file, 0);
    }
    if !random.one_in(8) {
        if let Some(boats) = file.get_mut("boats").and_then(Value::as_array_mut) {
            boats.retain(|b| b.get("quick").is_none());
        }
        if let Some(states) = file.get_mut("states").and_then(Value::as_object_mut) {
            states.retain(|_, b| b.get("quick").is_none());
        }
    }
    file
}

/// Changes the structure of a file in some places.
fn restructured(random: &mut Random, file: &Value) -> String {
    let mut file = lightened(random, file);
    let mut places = Vec::new();
    for _ in 0..=random.below(4) {
        places.clear();
        places_in(&file, "", &mut places);
        // The envelope is looked at first: changed often, nothing else would be tried.
        places.retain(|p| !["", "/format", "/version"].contains(&&**p) || random.one_in(30));
        if places.is_empty() {
            break;
        }
        let place = random.pick(&places).clone();
        let other = file.pointer(random.pick(&places).as_str()).cloned().unwrap_or_default();
        let Some(found) = file.pointer_mut(&place) else { continue };
        let new = match random.below(8) {
            0 => other,
            1 => strange(random),
            _ => strange_of_kind(random, found),
        };
        match (random.below(6), found) {
            (0, Value::Array(list)) => {
                // The same thing twice, with the same identity.
                if let Some(one) = list.get(random.below(list.len())).cloned() {
                    list.insert(random.below(list.len() + 1), one);
                }
            }
            (1, Value::Array(list)) if !list.is_empty() => {
                drop(list.remove(random.below(list.len())));
            }
            (2, Value::Array(list)) => list.push(new),
            (3, Value::Object(map)) => {
                let keys: Vec<String> = map.keys().cloned().collect();
                if !keys.is_empty() {
                    map.remove(random.pick(&keys));
                }
            }
            (4, Value::Object(map)) => {
                const KEYS: [&str; 10] = [
                    "name",
                    "faces",
                    "id",
                    "mass_kg",
                    "sessions",
                    "mesh",
                    "wall",
                    "quick",
                    "note",
                    "from_the_future",
                ];
                map.insert((*random.pick(&KEYS)).to_owned(), new);
            }
            (_, found) => *found = new,
        }
    }
    let mut text = file.to_string();
    if text.contains("\"@deep\"") {
        let depth = 1 + random.below(200);
        text = text.replace("\"@deep\"", &format!("{}{}", "[".repeat(depth), "]".repeat(depth)));
    }
    for (marker, instead) in NO_JSON {
        if text.contains(marker) {
            text = text.replace(marker, instead);
        }
    }
    text
}

/// One file as no one wrote it.
fn case(random: &mut Random, samples: &Samples) -> String {
    match random.below(8) {
        0 => {
            let n = random.below(300);
            let bytes: Vec<u8> = (0..n).map(|_| random.bits().to_le_bytes()[0]).collect();
            String::from_utf8_lossy(&bytes).into_owned()
        }
        1 => {
            let text = random.pick(&samples.texts);
            String::from_utf8_lossy(&mutated(random, text.as_bytes())).into_owned()
        }
        2 | 3 => {
            let file = random.pick(&samples.files);
            let text = lightened(random, file).to_string();
            String::from_utf8_lossy(&mutated(random, text.as_bytes())).into_owned()
        }
        _ => {
            let file = random.pick(&samples.files);
            restructured(random, file)
        }
    }
}

/// Makes a boat and its model, unless one like it was made before.
fn make(boat: &BoatRecord, made: &mut HashSet<u64>) {
    let mut hash = DefaultHasher::new();
    serde_json::to_vec(boat).expect("a record").hash(&mut hash);
    let is_new = made.insert(hash.finish());
    if is_new && let Ok(boat) = boat.boat() {
        // A model or a reason: it is enough that it does not panic.
        if let Err(error) = FloatModel::new(&boat, Fineness { around: 8, along: 4 }) {
            assert!(!error.to_string().is_empty(), "{error:?} says nothing");
        }
    }
}

/// True if it was read.
fn try_one(text: &str, here: &Diary, made: &mut HashSet<u64>) -> bool {
    let _no_panic = (read_kept(text, &KeptMeshes::new()), kept_names(text));
    let in_parts = at_once(|due| read_with(text, due));
    assert_eq!(in_parts, read(text), "session by session as at once");
    let diary = match in_parts {
        Ok(diary) => diary,
        Err(error) => {
            assert!(!error.to_string().is_empty(), "{error:?} says nothing");
            return false;
        }
    };
    assert_eq!(read(&write(&diary)).as_ref(), Ok(&diary), "written and read again");

    let (kept, meshes) = write_kept(&diary);
    let back = read_kept(&kept, &meshes).expect("what was kept");
    assert_eq!(write_kept(&back).0, kept, "kept and kept again");

    let mut merged = here.clone();
    let foretold = here.compare(&diary);
    let n = |fate: Fate| foretold.iter().filter(|c| c.fate == fate).count();
    let counts = merged.merge(diary.clone());
    let expected = (n(Fate::New), n(Fate::Same), n(Fate::Differs));
    assert_eq!((counts.new, counts.same, counts.differing), expected, "as foretold");
    let records = |d: &Diary| d.boats.len() + d.sessions.len() + d.checks.len();
    assert_eq!(records(&merged), records(here) + counts.new + counts.differing, "all of it");
    assert_eq!(merged.boats[..here.boats.len()], here.boats[..], "nothing here has changed");
    for session in &here.sessions {
        assert!(merged.sessions.contains(session), "the session {} is here", session.id);
    }
    assert_eq!(read(&write(&merged)).as_ref(), Ok(&merged), "merged, written and read again");

    for style in [TableStyle::Point, TableStyle::Comma] {
        assert!(readings_csv(&diary, style).starts_with("\u{feff}time"), "a table");
    }
    for boat in diary.boats.iter().chain(diary.states.values()) {
        make(boat, made);
    }
    for name in diary.states.keys() {
        let was = diary.state(name).expect("it is named");
        make(&was, made);
    }
    true
}

fn try_mesh(random: &mut Random, samples: &Samples) {
    let mesh = random.pick(&samples.meshes);
    let bytes = mutated(random, mesh);
    if let Ok(mesh) = mesh_from_bytes(&bytes) {
        let again = mesh_from_bytes(&mesh_to_bytes(&mesh)).expect("what was read");
        assert!(again.faces() == mesh.faces(), "the same triangles");
    }
}

fn cases() -> u64 {
    std::env::var("TRIM_FUZZ_CASES").ok().and_then(|n| n.parse().ok()).unwrap_or(USUAL)
}

/// What became of the cases.
#[derive(Debug, Default)]
struct Tally {
    passed: u64,
    read: u64,
    failed: Vec<String>,
}

/// The case of a number, as it always is.
fn try_number(number: u64, samples: &Samples, made: &mut HashSet<u64>) -> bool {
    let random = &mut Random(SEED ^ number.wrapping_mul(0x9e37_79b9_7f4a_7c15));
    if random.one_in(16) {
        try_mesh(random, samples);
        return false;
    }
    try_one(&case(random, samples), &samples.here, made)
}

#[test]
fn no_file_makes_an_import_panic_or_take_in_a_part() {
    let (n, samples) = (cases(), Samples::new());
    let threads = std::thread::available_parallelism().map_or(1, |t| t.get() as u64);
    let tally = Mutex::new(Tally::default());
    // A panic is noted with its case; its words are printed by the usual hook.
    std::thread::scope(|scope| {
        for first in 0..threads {
            let (samples, tally) = (&samples, &tally);
            scope.spawn(move || {
                let (mut made, mut mine) = (HashSet::new(), Tally::default());
                for number in (first..n).step_by(usize::try_from(threads).expect("few")) {
                    let run = AssertUnwindSafe(|| try_number(number, samples, &mut made));
                    match catch_unwind(run) {
                        Ok(was_read) => {
                            mine.passed += 1;
                            mine.read += u64::from(was_read);
                        }
                        Err(_) => mine.failed.push(format!("case {number}")),
                    }
                }
                let mut all = tally.lock().expect("no thread panics with it");
                all.passed += mine.passed;
                all.read += mine.read;
                all.failed.extend(mine.failed);
            });
        }
    });
    let tally = tally.into_inner().expect("all threads have ended");
    println!("FIGURE import_fuzz_cases {} cases 1000000", tally.passed);
    println!("{} of {n} cases were read", tally.read);
    assert_eq!(tally.failed, Vec::<String>::new(), "cases that failed; their reasons are above");
    assert_eq!(tally.passed, n, "all cases");
    assert!(
        tally.read > n / 10,
        "only {} of {n} could be read: the cases are too wild",
        tally.read
    );
}

/// For looking at one case: its number in `TRIM_FUZZ_CASE`.
#[test]
fn a_case_can_be_made_again() {
    let number = std::env::var("TRIM_FUZZ_CASE").ok().and_then(|n| n.parse().ok()).unwrap_or(0);
    let samples = Samples::new();
    let make = || case(&mut Random(SEED ^ number), &samples);
    assert_eq!(make(), make(), "the same case");
    try_number(number, &samples, &mut HashSet::new());
}
