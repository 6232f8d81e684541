//! A diary with everything in it, and ways to look through a file.

use litemap::LiteMap;
use nalgebra::Vector3;
use serde_json::{Map, Value, json};
use trimwright::boat::{
    Boat, Bulkhead, BulkheadDirection, FillLimit, Housing, Mark, Medium, Part, Piston, Place,
    Status, Tank, TankEnd, TankKind, demo_boat,
};
use trimwright::diary::{
    AboardRecord, AimRecord, Angles, BenchRecord, BoatRecord, CheckRecord, CheckState, CheckTime,
    ChecksRecord, ChecksRun, CoatRecord, ConditionRecord, DatumRecord, DecimalMark, DeedKind,
    DeedRecord, Diary, DiveRecord, DoneRecord, Draft, Entry, EntryRecord, EstimateRecord, FORMAT,
    FiguresRecord, FillUnit, ForetoldMark, ForetoldRecord, FormTexts, FoundRecord, Hand,
    InsideRecord, LeanRecord, LengthUnit, MarkReading, MassUnit, MaterialRecord, MeshRecord,
    MissingRecord, NewBoatRecord, PartRecord, PictureBytes, PictureRecord, QuickRecord,
    ReadingRecord, RunRecord, SessionRecord, Settings, SolidRecord, StatusRecord, UnitsRecord,
    UnknownRecord, VERSION, WallRecord, WaterDraft, WaterKind, WeightDraft, WeightMaterial,
    picture_name, read, state_of, write,
};
use trimwright::frame::Position;
use trimwright::geometry::{Axis, Fineness, Mesh, Solid, Station};

/// Files of each version, which must open for ever.
/// Source: the files themselves, written by those versions of the format; their boats are invented.
pub const VERSION_1: &str = include_str!("../data/diary_v1.json");
pub const VERSION_2: &str = include_str!("../data/diary_v2.json");
pub const VERSION_3: &str = include_str!("../data/diary_v3.json");
/// Another one of version 3, with leans that were seen in and between its sessions.
pub const LEANS_OF_VERSION_3: &str = include_str!("../data/leans_v3.json");

pub fn none() -> Map<String, Value> {
    Map::new()
}

pub fn quick_record() -> QuickRecord {
    QuickRecord {
        length_m: 1.1,
        beam_m: 0.13,
        depth_m: 0.14,
        mass_kg: 6.2,
        waterline_m: 0.1,
        fullness: 0.75,
        water_density_kg_m3: 998.2067,
        tank_m3: None,
        bow_mark_m: None,
        stern_mark_m: None,
        names: LiteMap::new(),
        extra: none(),
    }
}

fn estimate(value: f64, spread: f64) -> EstimateRecord {
    EstimateRecord { value, spread, extra: none() }
}

/// A reading with all that can come of one; every field is named, so that a new one is not
/// forgotten here.
pub fn reading() -> ReadingRecord {
    let mark = |name: &str, x: f64, above_m: f64| MarkReading {
        name: name.to_owned(),
        at_m: [x, 0.0, 0.106],
        above_m,
        extra: none(),
    };
    ReadingRecord {
        angle_spread_deg: Some(1.0),
        by_itself: Some(Box::new(FiguresRecord {
            marks: vec![mark("bow", 0.36, 0.003)],
            list_deg: Some(-0.9),
            trim_deg: Some(0.4),
            residual_kg: Some(0.02),
            extra: none(),
        })),
        condition: ConditionRecord::Afloat,
        water_density_kg_m3: 998.2067,
        water: "fresh water of 20 °C".to_owned(),
        marks: vec![mark("bow", 0.36, 0.004), mark("stern", -0.36, -0.0025)],
        list_deg: Some(-1.3),
        trim_deg: Some(0.7),
        residual_kg: Some(0.035),
        fill: 0.25,
        aboard: vec![AboardRecord {
            name: "phone".to_owned(),
            mass_kg: 0.2,
            at_m: [0.1, 0.0, 0.15],
            off_m: Some(0.003),
            density_kg_m3: Some(8400.0),
            extra: none(),
        }],
        aside: vec!["list".to_owned(), "mark stern".to_owned()],
        comes_back: Some(true),
        state: "state-0123456789abcdef-1".to_owned(),
        found: Some(FoundRecord {
            mass_kg: estimate(4.97, 0.012),
            forward_m: estimate(0.0021, 0.0004),
            to_port_m: estimate(-0.0003, 0.0001),
            untold: vec![UnknownRecord::Mass, UnknownRecord::Along, UnknownRecord::Across],
            extra: none(),
        }),
        advice: vec!["Put 84 g 212 mm forward of midship.".to_owned(), "Read again.".to_owned()],
        foretold: Some(ForetoldRecord {
            as_it_is: true,
            list_deg: Some(estimate(0.2, 0.1)),
            trim_deg: Some(estimate(-0.1, 0.1)),
            residual_kg: Some(estimate(0.002, 0.003)),
            marks: vec![ForetoldMark {
                name: "bow".to_owned(),
                above_m: estimate(0.0, 0.001),
                extra: none(),
            }],
            extra: none(),
        }),
        good: true,
        extra: none(),
    }
}

pub fn entry(id: &str, at: &str, what: Entry) -> EntryRecord {
    EntryRecord { id: id.to_owned(), at: at.to_owned(), what, extra: none() }
}

/// A session with one reading.
pub fn session(id: &str, boat: &str, started_at: &str) -> SessionRecord {
    SessionRecord {
        id: id.to_owned(),
        boat: boat.to_owned(),
        started_at: started_at.to_owned(),
        entries: vec![entry("reading-1", started_at, Entry::Reading(Box::new(reading())))],
        ..SessionRecord::default()
    }
}

/// A session with every kind of entry.
pub fn full_session(boat: &str, state: &str) -> SessionRecord {
    let at = |minute: u32| format!("2026-05-09T10:{minute:02}:00.000Z");
    let kinds = [
        Entry::Checks(ChecksRun { time: CheckTime::Before, checks: checks(), extra: none() }),
        Entry::Reading(Box::new(ReadingRecord { state: state.to_owned(), ..reading() })),
        Entry::Done(DoneRecord {
            lines: vec!["84 g of lead put 212 mm forward".to_owned()],
            after: "e1".to_owned(),
            deeds: vec![DeedRecord {
                kind: DeedKind::Shift,
                mass_kg: 0.084,
                at_m: Some([0.1, 0.0, -0.05]),
                by_m: Some([0.212, 0.0, 0.0]),
                density_kg_m3: Some(11340.0),
                part: "keel lead".to_owned(),
                extra: none(),
            }],
            otherwise: true,
            made: state.to_owned(),
            extra: none(),
        }),
        Entry::Note("Wind from the \"dam\", weed in the pump; ünïcode.".to_owned()),
        Entry::Picture(PictureRecord {
            name: picture_name(PICTURE),
            width_px: 640,
            height_px: 480,
            words: "the waterline aft".to_owned(),
            extra: none(),
        }),
        Entry::Run(RunRecord {
            ended_at: Some(at(55)),
            words: "two rounds of the island".to_owned(),
            extra: none(),
        }),
        Entry::Run(RunRecord::default()),
        Entry::Lean(LeanRecord {
            fill: 0.4,
            list_deg: -6.5,
            going_up: true,
            water_density_kg_m3: Some(998.2),
            state: state.to_owned(),
            extra: none(),
        }),
        Entry::Bench(BenchRecord {
            scale_kg: Some(4.97),
            balance_m: Some(-0.012),
            aboard: reading().aboard,
            state: state.to_owned(),
            extra: none(),
        }),
        Entry::Other,
        Entry::NewBoat(NewBoatRecord {
            lines: vec!["Heavier by 85 g ± 12 g, 210 mm aft of midship".to_owned()],
            extra: none(),
        }),
    ];
    let entries = kinds.into_iter().zip(0_u32..).map(|(what, k)| EntryRecord {
        id: format!("e{k}"),
        at: at(k + 1),
        what,
        extra: none(),
    });
    SessionRecord {
        id: "session-1".to_owned(),
        boat: boat.to_owned(),
        started_at: at(0),
        place: "the pond by the mill".to_owned(),
        weather: "calm, 14 °C".to_owned(),
        water: "fresh water of 14 °C".to_owned(),
        water_density_kg_m3: Some(999.2444),
        state: state.to_owned(),
        entries: entries.collect(),
        extra: none(),
    }
}

/// Any bytes will do: what they show is not looked at.
pub const PICTURE: &[u8] = &[0xff, 0xd8, 0xff, 0xe0, 0, 16, 0x4a, 0x46, 0x49, 0x46, 0xff, 0xd9];

pub fn checks() -> Vec<CheckRecord> {
    let check = |id: &str, state, because: &str| CheckRecord {
        id: id.to_owned(),
        words: format!("{id}, as we call it"),
        state,
        because: because.to_owned(),
        at: "2026-05-09T09:58:00.000Z".to_owned(),
        extra: none(),
    };
    vec![
        check("seals", CheckState::Good, ""),
        check("air_line", CheckState::Failed, "hisses at the second valve"),
        check("fail_safe", CheckState::NotToday, "no radio"),
        check("own-1", CheckState::Open, ""),
    ]
}

/// One part of every shape, in every state, and every kind of tank and place.
pub fn boat_of_every_shape() -> Boat {
    let at = Position::new;
    let stations = vec![Station { x: -0.2, radius: 0.01 }, Station { x: 0.3, radius: 0.05 }];
    let cylinder =
        |axis| Solid::Cylinder { axis, length: 0.4, diameter: 0.09, centre: at(0.1, -0.2, 0.3) };
    let solids = [
        Solid::Box { size: [0.1, 0.2, 0.3], centre: at(0.1, 0.2, 0.3) },
        cylinder(Axis::X),
        cylinder(Axis::Y),
        cylinder(Axis::Z),
        Solid::DomedCylinder { length: 0.5, diameter: 0.1, dome: 0.02, centre: at(0.0, 0.1, 0.0) },
        Solid::Sphere { diameter: 0.07, centre: at(-0.3, 0.0, 0.1) },
        Solid::Ellipsoid { size: [0.3, 0.2, 0.1], centre: at(0.0, 0.0, 0.1) },
        Solid::Frustum {
            length: 0.2,
            diameter_aft: 0.1,
            diameter_fore: 0.0,
            centre: at(0.4, 0.0, 0.1),
        },
        Solid::Revolved { stations, origin: at(0.0, 0.0, 0.07) },
        Solid::Mesh(wedge().into()),
    ];
    let states = [Status::Planned, Status::Temporary, Status::Fixed, Status::TakenOut];
    let part = |(k, (solid, status)): (usize, (Solid, Status))| Part {
        status,
        ..Part::solid(format!("part {k}"), 0.1 / 3.0, at(0.1, 0.2, 1.0 / 3.0), solid)
    };
    let tank = |name: &str, housing| Tank {
        fill: 0.3,
        liquid_density: 998.2067,
        mass: 0.14,
        centre: at(0.1, 0.0, 0.1),
        housing,
        bulkheads: vec![
            Bulkhead { way: BulkheadDirection::Lengthwise, at: 0.001 },
            Bulkhead { way: BulkheadDirection::Transverse, at: 0.1 },
        ],
        vent: Some(at(0.1, 0.0, 0.34)),
        flood: Some(at(0.1, 0.0, 0.26)),
        range: Some([0.02, 0.97]),
        ..Tank::new(name, cylinder(Axis::X))
    };
    let place = |name: &str, medium| Place { name: name.to_owned(), z: 0.01, medium };
    let parted = solids.into_iter().zip(states.into_iter().cycle()).enumerate();
    let mut parts: Vec<Part> = parted.map(part).collect();
    parts.push(Part::weight("battery", 0.62, at(0.24, 0.0, 0.06)));
    Boat {
        name: "every shape".to_owned(),
        parts,
        tanks: [tank("outside", Housing::InTheWet), tank("inside", Housing::InsideAPart)]
            .into_iter()
            .chain(other_tanks(&cylinder(Axis::X)))
            .collect(),
        marks: vec![Mark { name: "bow".to_owned(), at: at(0.36, 0.0, 0.106) }],
        places: vec![place("on the keel", Medium::Wet), place("inside", Medium::Dry)],
    }
}

/// A tank of each kind but the open one.
fn other_tanks(cavity: &Solid) -> Vec<Tank> {
    let piston = |inlet, mass| TankKind::Piston(Piston { inlet, mass });
    let kinds = [
        piston(TankEnd::Aft, 0.085),
        piston(TankEnd::Fore, 0.0),
        TankKind::Bag,
        TankKind::Sealed(FillLimit::Pump(1.5e5)),
        TankKind::Sealed(FillLimit::Depth(1.2)),
    ];
    let tank = |kind| Tank { kind, ..Tank::new(format!("{kind:?}"), cavity.clone()) };
    kinds.map(tank).into()
}

/// Four triangles.
pub fn wedge() -> Mesh {
    Mesh::closed(
        vec![Vector3::zeros(), Vector3::x(), Vector3::y(), Vector3::z()],
        vec![[0, 2, 1], [0, 1, 3], [1, 2, 3], [0, 3, 2]],
    )
    .expect("a closed mesh")
}

/// A mesh of many triangles, which is kept apart.
pub fn large_mesh() -> MeshRecord {
    let ball = Solid::Sphere { diameter: 0.2, centre: Position::ORIGIN };
    MeshRecord::new(ball.mesh(Fineness { around: 24, along: 16 }).expect("a sphere"))
}

pub fn material() -> MaterialRecord {
    MaterialRecord {
        name: "slate".to_owned(),
        density_kg_m3: 2750.0,
        low_kg_m3: Some(2700.0),
        high_kg_m3: Some(2800.0),
        extra: none(),
    }
}

/// The record of [`boat_of_every_shape`] with all that a record can hold besides.
pub fn full_boat(id: &str) -> BoatRecord {
    let made = BoatRecord::ledger(id, &boat_of_every_shape());
    let mut boat = BoatRecord {
        id: made.id,
        name: made.name,
        quick: None,
        parts: made.parts,
        tanks: made.tanks,
        marks: made.marks,
        places: made.places,
        datum: DatumRecord::Bow,
        length_m: Some(0.92),
        dive: DiveRecord { in_turn: true, drain_s: Some(3.5), extra: none() },
        aim: AimRecord {
            fill: Some([0.55, 0.9]),
            residual_kg: Some([-0.03, -0.01]),
            least_bg_m: Some(0.004),
            least_gm_m: Some(0.0025),
            extra: none(),
        },
        extra: none(),
    };
    for tank in &mut boat.tanks {
        (tank.flood_s, tank.blow_s) = (Some(14.0), Some(6.5));
    }
    let sphere =
        |centre_m: [f64; 3]| SolidRecord::Sphere { diameter_m: 0.07, centre_m, extra: none() };
    boat.parts.push(PartRecord {
        name: "every field".to_owned(),
        group: "Hull".to_owned(),
        solid: Some(sphere([0.3, 0.0, 0.1])),
        mass_kg: Some(0.11),
        centre_m: Some([0.3, 0.0, 0.09]),
        material: Some(material()),
        wall: Some(WallRecord { thickness_m: 0.002, inside: InsideRecord::Flooded, extra: none() }),
        coat: Some(CoatRecord {
            name: "paint, dry film".to_owned(),
            density_kg_m3: 1300.0,
            thickness_m: 0.0001,
            area_m2: Some(0.01),
            extra: none(),
        }),
        status: StatusRecord::Planned,
        displaces: Some(true),
        extra: none(),
    });
    boat.parts.push(PartRecord {
        name: "by its material, dry inside".to_owned(),
        solid: Some(sphere([-0.1, 0.0, 0.1])),
        material: Some(material()),
        wall: Some(WallRecord { thickness_m: 0.002, inside: InsideRecord::Dry, extra: none() }),
        ..PartRecord::default()
    });
    boat.parts.push(PartRecord {
        name: "a mesh elsewhere".to_owned(),
        solid: Some(SolidRecord::Mesh {
            mesh: MeshRecord::new(wedge().into()),
            at_m: [0.1, 0.2, -0.3],
            extra: none(),
        }),
        mass_kg: Some(0.1),
        ..PartRecord::default()
    });
    boat
}

/// A diary in which every field of every record stands; every record that has no rule against it is
/// written out, so that a new field is not forgotten here.
pub fn full_diary() -> Diary {
    let teal = full_boat("teal");
    let mut before = teal.clone();
    "every shape, as it was".clone_into(&mut before.name);
    before.parts.push(PartRecord {
        name: "ball".to_owned(),
        mass_kg: Some(1.0),
        solid: Some(SolidRecord::Mesh { mesh: large_mesh(), at_m: [0.1, 0.0, 0.0], extra: none() }),
        ..PartRecord::default()
    });
    let (state, was) = state_of(&before);
    let numbers = QuickRecord {
        tank_m3: Some(6.4e-4),
        bow_mark_m: Some(0.12),
        stern_mark_m: Some(0.06),
        names: LiteMap::from_iter([("bow".to_owned(), "Bug".to_owned())]),
        ..quick_record()
    };
    let quick = BoatRecord::quick("grebe", "Six numbers, \"quoted\"", numbers);
    let (other_state, quick_was) = state_of(&quick);
    let (mesh, picture) = (large_mesh(), PictureBytes::new("image/jpeg", PICTURE));
    let mut with_quick = session("session-2", "grebe", "2026-05-10T08:00:00.000Z");
    with_quick.state.clone_from(&other_state);
    Diary {
        format: FORMAT.to_owned(),
        version: VERSION,
        boats: vec![teal, quick],
        sessions: vec![full_session("teal", &state), with_quick],
        checks: vec![ChecksRecord {
            id: "teal".to_owned(),
            before: checks(),
            between: checks(),
            after: checks(),
            extra: none(),
        }],
        states: LiteMap::from_iter([(state, was), (other_state, quick_was)]),
        meshes: LiteMap::from_iter([(mesh.content_name(), mesh)]),
        pictures: LiteMap::from_iter([(picture_name(PICTURE), picture)]),
        materials: vec![material()],
        draft: full_draft(),
        settings: Settings {
            theme: "night".to_owned(),
            language: "de".to_owned(),
            length: LengthUnit::Inch,
            mass: MassUnit::Ounce,
            decimal: DecimalMark::Comma,
            hand: Hand::Left,
            large_text: true,
            remind_after: Some(3),
            tilt_zero_deg: Some([0.4, -0.2]),
            phone_kg: Some(0.187),
            extra: none(),
        },
        missing: MissingRecord {
            unknown: true,
            records: vec!["boat smew".to_owned()],
            sessions: vec!["2026-05-01T08:00:00.000Z teal session-0".to_owned()],
            states: vec!["state-fedcba9876543210-2".to_owned()],
            meshes: vec!["mesh-fedcba9876543210-3".to_owned()],
            pictures: vec!["picture-fedcba9876543210-4".to_owned()],
            extra: none(),
        },
        extra: none(),
    }
}

/// What is being typed, every field of it.
fn full_draft() -> Draft {
    Draft {
        units: UnitsRecord { length: LengthUnit::Inch, mass: MassUnit::Ounce },
        boat: "teal".to_owned(),
        condition: ConditionRecord::Under,
        marks: LiteMap::from_iter([("bow".to_owned(), "−3,5".to_owned())]),
        list: "1.2".to_owned(),
        list_to_port: true,
        trim: "0.".to_owned(),
        trim_by_stern: true,
        read_at: "2026-05-09T10:20:00.000Z".to_owned(),
        of_other_state: Angles {
            list: "2".to_owned(),
            list_to_port: true,
            trim: "x".to_owned(),
            trim_by_stern: true,
            aside: vec!["trim".to_owned()],
            extra: none(),
        },
        residual: "12".to_owned(),
        residual_light: true,
        aside: vec!["residual".to_owned()],
        comes_back: Some(true),
        fill: "80".to_owned(),
        fill_in: FillUnit::Volume,
        phone_aboard: true,
        phone_at_m: Some([0.05, -0.01]),
        weight: WeightDraft {
            mass: "100".to_owned(),
            along: "212".to_owned(),
            is_aft: true,
            across: "3,".to_owned(),
            to_starboard: true,
            place: "on deck".to_owned(),
            material: WeightMaterial::Steel,
            extra: none(),
        },
        place: "inside".to_owned(),
        material: WeightMaterial::Foam,
        shift: "50".to_owned(),
        shift_part: "battery".to_owned(),
        forms: half_typed(),
        water: WaterDraft {
            kind: WaterKind::Sea,
            temperature: "14".to_owned(),
            salinity: "30".to_owned(),
            density: "1020".to_owned(),
            extra: none(),
        },
        extra: none(),
    }
}

/// A smaller diary: the demonstration boat, a quick boat, two sessions, something being typed.
pub fn diary() -> Diary {
    let demo = demo_boat().expect("fixed sizes");
    Diary {
        boats: vec![
            BoatRecord { datum: DatumRecord::Bow, ..BoatRecord::ledger("dipper", &demo) },
            BoatRecord::quick("grebe", "Six numbers, \"quoted\" and ünïcode", quick_record()),
        ],
        sessions: vec![
            session("session-1", "dipper", "2026-05-09T10:31:00.000Z"),
            session("session-2", "grebe", "2026-05-09T11:31:00.000Z"),
        ],
        draft: Draft {
            boat: "dipper".to_owned(),
            marks: LiteMap::from_iter([("bow".to_owned(), "−3,5".to_owned())]),
            list: "1.2".to_owned(),
            ..Draft::default()
        },
        settings: Settings { theme: "night".to_owned(), ..Settings::default() },
        ..Diary::default()
    }
}

/// A note, and a part that cannot be made yet.
fn half_typed() -> LiteMap<String, FormTexts> {
    let texts = |fields: &[(&str, &str)]| -> FormTexts {
        fields.iter().map(|(name, text)| ((*name).to_owned(), (*text).to_owned())).collect()
    };
    let part = texts(&[("name", "keel"), ("mass", "4,"), ("x-side", "aft")]);
    let note = texts(&[("text", "windy, and")]);
    LiteMap::from_iter([("note".to_owned(), note), ("part".to_owned(), part)])
}

#[track_caller]
pub fn round_trip(diary: &Diary) -> Diary {
    read(&write(diary)).expect("what was written can be read")
}

pub fn json_of(text: &str) -> Value {
    serde_json::from_str(text).expect("JSON")
}

/// A file with one thing in it changed.
#[track_caller]
pub fn changed(file: &Value, pointer: &str, to: Value) -> Value {
    let mut file = file.clone();
    *file.pointer_mut(pointer).unwrap_or_else(|| panic!("nothing at {pointer}")) = to;
    file
}

/// A file with one field taken out.
#[track_caller]
pub fn without(file: &Value, pointer: &str) -> Value {
    let mut file = file.clone();
    let (of, field) = pointer.rsplit_once('/').expect("a pointer to a field");
    let found = file.pointer_mut(of).and_then(Value::as_object_mut);
    let gone = found.and_then(|map| map.remove(field));
    assert!(gone.is_some(), "nothing at {pointer}");
    file
}

/// Calls `act` with every object in a file, and where it is.
pub fn for_each_object(
    value: &mut Value,
    path: &str,
    act: &mut impl FnMut(&str, &mut Map<String, Value>),
) {
    match value {
        Value::Object(map) => {
            for (key, inner) in map.iter_mut() {
                for_each_object(inner, &format!("{path}/{key}"), act);
            }
            act(path, map);
        }
        Value::Array(list) => {
            for (k, inner) in list.iter_mut().enumerate() {
                for_each_object(inner, &format!("{path}/{k}"), act);
            }
        }
        _ => {}
    }
}

/// True for an object whose keys are names, not fields: the marks and forms being typed, the states,
/// meshes and pictures by their names, what six numbers name, a solid by its shape; and for a mesh and for units, which are their
/// few words alone.
pub fn has_no_fields(path: &str, map: &Map<String, Value>) -> bool {
    let names = ["/draft/marks", "/draft/units", "/states", "/meshes", "/pictures"].contains(&path);
    let names_a_solid = path.ends_with("/solid") || path.ends_with("/cavity");
    let is_a_mesh = path.starts_with("/meshes/") && map.contains_key("faces");
    let of_six = path.ends_with("/quick/names");
    names || names_a_solid || is_a_mesh || of_six || path.starts_with("/draft/forms")
}

/// Every place in a file, as pointers.
pub fn places_in(value: &Value, path: &str, into: &mut Vec<String>) {
    into.push(path.to_owned());
    match value {
        Value::Object(map) => {
            for (key, inner) in map {
                let key = key.replace('~', "~0").replace('/', "~1");
                places_in(inner, &format!("{path}/{key}"), into);
            }
        }
        Value::Array(list) => {
            for (k, inner) in list.iter().enumerate() {
                places_in(inner, &format!("{path}/{k}"), into);
            }
        }
        _ => {}
    }
}

/// A field that no version knows.
pub fn from_the_future(path: &str) -> Value {
    json!({ "at": path, "list": [1, 2.5, null] })
}
