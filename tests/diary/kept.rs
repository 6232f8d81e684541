//! What the phone keeps: records with their large meshes apart, and boats as they were.

use crate::support::diary::{full_boat, full_diary, large_mesh, none};
use crate::support::random::{Random, random_diary};
use crate::support::random_cases;
use litemap::LiteMap;
use proptest::prelude::*;
use serde_json::json;
use std::collections::HashSet;
use trimwright::boat::{Boat, Part};
use trimwright::diary::{
    BoatRecord, Diary, KeptMeshes, MeshRecord, MissingRecord, SolidRecord, kept_names,
    mesh_from_bytes, mesh_to_bytes, read, read_kept, state_of, strike_named, write, write_kept,
};
use trimwright::frame::Position;
use trimwright::geometry::{Fineness, MeshError, Solid};

/// Any number will do.
const SEED: u64 = 20_260_528;

/// A diary with a boat whose hull is a mesh of many triangles.
fn with_a_mesh() -> Diary {
    let ball = Solid::Sphere { diameter: 0.2, centre: Position::ORIGIN };
    let mesh = ball.mesh(Fineness { around: 96, along: 48 }).expect("a sphere");
    let hull = Part::solid("ball", 2.0, Position::ORIGIN, Solid::Mesh(mesh));
    let boat = Boat { name: "ball".to_owned(), parts: vec![hull], ..Boat::default() };
    Diary { boats: vec![BoatRecord::ledger("ball", &boat)], ..Diary::default() }
}

/// A mesh of many triangles in the place of a boat's first part and of its first tank's inside.
fn with_a_mesh_in_its_tank() -> Diary {
    let mut boat = full_boat("teal");
    let solid = SolidRecord::Mesh { mesh: large_mesh(), at_m: [0.1, 0.0, 0.0], extra: none() };
    boat.parts[0].solid = Some(solid.clone());
    boat.tanks[0].cavity = solid;
    Diary { boats: vec![boat], ..Diary::default() }
}

#[test]
fn large_meshes_are_kept_apart_and_come_back() {
    let diary = with_a_mesh();
    let (text, meshes) = write_kept(&diary);
    assert_eq!(meshes.len(), 1, "one mesh apart");
    assert!(text.len() < 2000, "the text without it has {} letters", text.len());
    let names: Vec<String> = meshes.keys().cloned().collect();
    assert_eq!(kept_names(&text), names, "the text asks for it");
    assert!(kept_names(&write(&diary)).is_empty(), "a file has all in it");
    let again = read_kept(&text, &meshes).expect("what was kept");
    assert_eq!(again, diary, "text and mesh together");
    let (same, _) = write_kept(&again);
    assert_eq!(same, text, "kept again under the same name");
}

#[test]
fn a_mesh_that_is_gone_leaves_the_rest() {
    let (text, _) = write_kept(&with_a_mesh());
    let diary = read_kept(&text, &KeptMeshes::new()).expect("the text alone");
    let part = diary.boats[0].parts.first().expect("its part");
    assert!(matches!(part.solid, Some(SolidRecord::KeptMesh { .. })), "{:?}", part.solid);
    assert_eq!(part.entry().expect_err("without its mesh"), MeshError::NotHere, "the reason");
    assert!(diary.boats[0].boat().is_err(), "the boat cannot be made");
    let (kept_on, _) = write_kept(&diary);
    assert_eq!(kept_on, text, "and its name is not forgotten");
}

#[test]
fn a_tank_of_many_triangles_is_kept_apart_and_comes_back_too() {
    let diary = with_a_mesh_in_its_tank();
    let (text, meshes) = write_kept(&diary);
    assert_eq!(meshes.len(), 1, "one mesh for part and tank");
    assert_eq!(read_kept(&text, &meshes).as_ref(), Ok(&diary), "text and mesh together");
    let without = read_kept(&text, &KeptMeshes::new()).expect("the rest of the boat");
    assert!(matches!(without.boats[0].tanks[0].cavity, SolidRecord::KeptMesh { .. }), "named");
    assert!(without.boats[0].boat().is_err(), "it cannot be made");
}

#[test]
fn a_later_versions_field_by_the_name_of_one_of_ours_spoils_nothing() {
    let mut diary = with_a_mesh();
    let Some(SolidRecord::Mesh { extra, .. }) = &mut diary.boats[0].parts[0].solid else {
        panic!("a mesh")
    };
    extra.insert("name".to_owned(), json!("hull.stl"));
    let (text, meshes) = write_kept(&diary);
    assert_eq!(read_kept(&text, &meshes).as_ref(), Ok(&diary), "a mesh with a name of its own");
    let (name, light) = state_of(&diary.boats[0]);
    let with_state = Diary { states: LiteMap::from_iter([(name, light)]), ..diary };
    assert_eq!(read(&write(&with_state)).as_ref(), Ok(&with_state), "and as it was");

    let (text, meshes) = write_kept(&with_a_mesh());
    let mut named = read_kept(&text, &KeptMeshes::new()).expect("the text alone");
    let Some(SolidRecord::KeptMesh { extra, .. }) = &mut named.boats[0].parts[0].solid else {
        panic!("its name")
    };
    extra.insert("faces".to_owned(), json!(4512));
    let (text, _) = write_kept(&named);
    let back = read_kept(&text, &meshes).expect("a name with a count of faces");
    assert_eq!(read(&write(&back)).as_ref(), Ok(&back), "it can be written and read");
}

#[test]
fn bytes_of_a_mesh_come_back_and_others_are_refused() {
    let ball = Solid::Sphere { diameter: 0.2, centre: Position::new(0.1, 0.0, -0.2) };
    let mesh = ball.mesh(Fineness::WORK).expect("a sphere");
    let bytes = mesh_to_bytes(&mesh);
    let again = mesh_from_bytes(&bytes).expect("what was written");
    assert!(again.vertices() == mesh.vertices(), "the same corners");
    assert!(again.faces() == mesh.faces(), "the same triangles");
    for cut in [0, 7, 8, 23, 24, 100, bytes.len() / 2, bytes.len() - 1] {
        assert!(mesh_from_bytes(&bytes[..cut]).is_err(), "cut at {cut}");
    }
    let mut wild = bytes.clone();
    wild[8..16].copy_from_slice(&u64::MAX.to_le_bytes());
    assert!(mesh_from_bytes(&wild).is_err(), "a count beyond everything");
}

#[test]
fn a_boat_as_it_was_comes_back_with_its_meshes() {
    let boat = &with_a_mesh_in_its_tank().boats[0];
    let (name, light) = state_of(boat);
    assert_eq!(state_of(boat).0, name, "the same boat has the same name");
    assert_eq!(state_of(&light).0, name, "with its meshes or without");
    let mut other = boat.clone();
    other.parts[1].mass_kg = Some(0.25);
    assert_ne!(state_of(&other).0, name, "another boat has another");

    let mesh = large_mesh();
    let states = [(name.clone(), light)];
    let of_boat = Diary {
        states: states.clone().into_iter().collect(),
        boats: vec![boat.clone()],
        ..Diary::default()
    };
    assert_eq!(of_boat.state(&name).as_ref(), Some(boat), "the boat has the mesh");
    let meshes: [(String, MeshRecord); 1] = [(mesh.content_name(), mesh)];
    let apart = Diary {
        states: states.into_iter().collect(),
        meshes: meshes.into_iter().collect(),
        ..Diary::default()
    };
    assert_eq!(apart.state(&name).as_ref(), Some(boat), "it stands by itself");
    assert_eq!(apart.state("another"), None, "one that was not kept");
    let full = full_diary();
    for name in full.states.keys() {
        assert!(full.state(name).is_some_and(|s| s.boat().is_ok()), "{name}");
    }
}

#[test]
fn a_file_says_what_it_names_and_has_not_got() {
    let mut whole = Diary { missing: MissingRecord::default(), ..full_diary() };
    whole.sessions.truncate(1);
    let mut file = whole.clone();
    file.note_missing();
    assert_eq!(file, whole, "nothing is missing from this one");
    let names = |all: &mut dyn Iterator<Item = &String>| all.cloned().collect::<Vec<_>>();
    let pictures = names(&mut whole.pictures.keys());
    let meshes = names(&mut whole.meshes.keys());

    let mut file = Diary { pictures: LiteMap::new(), meshes: LiteMap::new(), ..whole.clone() };
    file.note_missing();
    assert_eq!(file.missing.pictures, pictures, "the picture of an entry");
    assert_eq!(file.missing.meshes, meshes, "the mesh of a boat as it was");
    assert_eq!(file.missing.states, Vec::<String>::new(), "these are here");
    let again = read(&write(&file)).expect("a file that is not whole can be opened");
    assert_eq!(again.missing, file.missing, "and says so there");

    let state = whole.sessions[0].state.clone();
    let mut file = Diary { states: LiteMap::new(), ..whole };
    file.note_missing();
    assert_eq!(file.missing.states, [state], "the boat as it was, which is named twice");
    let (text, _) = write_kept(&with_a_mesh());
    let mut without_its_mesh = read_kept(&text, &KeptMeshes::new()).expect("the text alone");
    without_its_mesh.note_missing();
    assert_eq!(without_its_mesh.missing.meshes, kept_names(&text), "the mesh of a boat");
}

fn sorted(names: HashSet<String>) -> Vec<String> {
    let mut names: Vec<String> = names.into_iter().collect();
    names.sort();
    names
}

#[test]
fn what_a_text_names_is_found_wherever_it_stands() {
    let all = || ["one", "two", "three", "four"].map(str::to_owned).into_iter().collect();
    let left = |text: &str| {
        let mut names: HashSet<String> = all();
        strike_named(text, &mut names).map(|()| sorted(names))
    };
    // A later version's field, a list in it, and a name that is a field itself.
    let text = r#"{ "format": "trimwright", "version": 3, "films": [{ "of": ["two"] }],
        "states": { "one": { "id": "b", "name": "four, but not by this name alone" } } }"#;
    assert_eq!(left(text), Ok(vec!["four".to_owned(), "three".to_owned()]), "not named");
    for unreadable in [&text[..text.len() - 1], r#"{ "films": ["one"] }"#, ""] {
        assert!(left(unreadable).is_err(), "what it names is not known: {unreadable}");
    }
    let full = full_diary();
    let named = full.states.keys().chain(full.pictures.keys()).chain(full.meshes.keys());
    let mut names: HashSet<String> = named.cloned().collect();
    for session in &full.sessions {
        let one = Diary { sessions: vec![session.clone()], ..Diary::default() };
        strike_named(&write_kept(&one).0, &mut names).expect("it can be read");
    }
    let meshes: Vec<String> = full.meshes.keys().cloned().collect();
    assert_eq!(sorted(names.clone()), meshes, "these are named by a state");
    for (name, state) in &full.states {
        let states = LiteMap::from_iter([(name.clone(), state.clone())]);
        let one = Diary { states, ..Diary::default() };
        strike_named(&write_kept(&one).0, &mut names).expect("it can be read");
    }
    assert_eq!(names, HashSet::new(), "and by nothing else");
}

proptest! {
    #![proptest_config(random_cases(200, SEED))]

    #[test]
    fn whatever_is_kept_comes_back(seed in any::<u64>()) {
        let diary = random_diary(&mut Random(seed));
        let (text, meshes) = write_kept(&diary);
        prop_assert_eq!(read_kept(&text, &meshes), Ok(diary));
    }
}
