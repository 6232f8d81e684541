//! A whole boat entered by hand: what it costs, and that its figures are those of the core.

use crate::driver::{FOLDER, Folder, on_a_phone, picture};
use crate::page::Page;
use thirtyfour::prelude::*;

/// A part as it is typed.
struct Typed {
    shape: &'static str,
    fields: &'static [(&'static str, &'static str)],
    /// What is chosen as its material, where the one before was of another.
    of: Option<&'static str>,
    /// Whether there is one on each side.
    twice: bool,
}

const fn typed(shape: &'static str, fields: &'static [(&'static str, &'static str)]) -> Typed {
    Typed { shape, fields, of: None, twice: false }
}

/// Our own Grebe, 0.9 m: a dry hull, what is in it, a casing and a sail of plate, a keel of lead.
const PARTS: [Typed; 15] = [
    typed(
        "turned",
        &[
            ("name", "hull"),
            ("group", "hull"),
            ("table", "0 12\n60 40\n150 78\n250 98\n650 98\n760 88\n850 50\n900 0"),
            ("z", "78"),
            ("mass", "1180"),
        ],
    ),
    typed(
        "weight",
        &[("name", "battery"), ("group", "drive"), ("x", "690"), ("z", "55"), ("mass", "640")],
    ),
    typed("weight", &[("name", "motor"), ("x", "215"), ("z", "70"), ("mass", "330")]),
    typed("weight", &[("name", "receiver"), ("x", "300"), ("z", "85"), ("mass", "45")]),
    typed("weight", &[("name", "servos"), ("x", "150"), ("z", "80"), ("mass", "62")]),
    typed("weight", &[("name", "pump"), ("x", "560"), ("z", "60"), ("mass", "185")]),
    typed("weight", &[("name", "controller"), ("x", "265"), ("z", "80"), ("mass", "55")]),
    typed(
        "weight",
        &[("name", "trim lead"), ("group", "trim"), ("x", "441"), ("z", "40"), ("mass", "568")],
    ),
    Typed {
        of: Some("lead"),
        ..typed(
            "box",
            &[
                ("name", "keel bar"),
                ("length", "460"),
                ("width", "14"),
                ("height", "14"),
                ("x", "450"),
                ("z", "14"),
            ],
        )
    },
    Typed {
        of: Some("XPS board"),
        ..typed(
            "box",
            &[
                ("name", "foam"),
                ("length", "180"),
                ("width", "36"),
                ("height", "12"),
                ("x", "455"),
                ("z", "137"),
            ],
        )
    },
    Typed {
        of: Some("ABS"),
        ..typed(
            "box",
            &[
                ("name", "casing top"),
                ("group", "outside"),
                ("length", "560"),
                ("width", "44"),
                ("height", "2"),
                ("x", "455"),
                ("z", "146"),
            ],
        )
    },
    Typed {
        twice: true,
        ..typed(
            "box",
            &[
                ("name", "casing port"),
                ("length", "560"),
                ("width", "2"),
                ("height", "26"),
                ("x", "455"),
                ("y", "20"),
                ("z", "132"),
            ],
        )
    },
    Typed {
        twice: true,
        ..typed(
            "box",
            &[
                ("name", "sail port"),
                ("length", "130"),
                ("width", "2"),
                ("height", "70"),
                ("x", "520"),
                ("y", "14"),
                ("z", "180"),
            ],
        )
    },
    Typed {
        twice: true,
        ..typed(
            "box",
            &[
                ("name", "plane port"),
                ("length", "40"),
                ("width", "60"),
                ("height", "3"),
                ("x", "45"),
                ("y", "70"),
                ("z", "78"),
            ],
        )
    },
    typed(
        "box",
        &[
            ("name", "rudder"),
            ("length", "40"),
            ("width", "3"),
            ("height", "110"),
            ("x", "25"),
            ("z", "78"),
        ],
    ),
];

/// The tank, a cylinder: what is typed of it.
const TANK: [(&str, &str); 6] = [
    ("name", "tank"),
    ("length", "215"),
    ("diameter", "80"),
    ("x", "460"),
    ("z", "78"),
    ("mass", "140"),
];

/// Places of the marks forward of the stern.
const MARKS: [&str; 3] = ["150", "455", "750"];

/// What an entry takes, counted.
#[derive(Debug, Clone, Copy, Default)]
struct Cost {
    taps: u32,
    keys: u32,
    fields: u32,
}

impl Cost {
    /// Seconds by the keystroke-level model (Card, Moran & Newell 1980, Comm. ACM 23:396): 1.1 to
    /// point at something and 1.35 to think before each field and each tap. A key on a phone's
    /// glass takes 0.35: own assumption, slower than their average typist's 0.28.
    fn seconds(self) -> f64 {
        let [taps, keys, fields] = [self.taps, self.keys, self.fields].map(f64::from);
        1.1 * taps + 0.35 * keys + 1.35 * (fields + taps)
    }
}

/// What was counted so far; `fields` are those typed into.
fn cost(page: &Page, fields: u32) -> Cost {
    Cost { taps: page.n_taps(), keys: page.n_keys(), fields }
}

async fn enter_part(page: &Page, part: &Typed) -> WebDriverResult<()> {
    page.tap(&format!("shape-{}", part.shape)).await?;
    page.see_that("form-name", "is typed into", |seen| seen.focused).await?;
    page.type_row(part.fields).await?;
    if let Some(material) = part.of {
        page.choose("form-material", material).await?;
    } else if page.look("material-as-before").await?.is_some_and(|seen| seen.shown) {
        page.tap("material-as-before").await?;
    }
    if part.twice {
        page.tap("line-mirror").await?;
    }
    Ok(())
}

#[tokio::test(flavor = "multi_thread")]
async fn an_18_part_boat_is_entered_by_hand() {
    on_a_phone(FOLDER, |page| async move {
        let mut fields = 3;
        page.tap("start-bench").await?;
        page.type_row(&[("name", "Grebe"), ("length", "900"), ("waterline", "105")]).await?;
        page.tap("boat-begin").await?;
        let mut spent = vec![("begin", cost(&page, fields))];
        page.tap("add-part").await?;
        for (k, part) in PARTS.iter().enumerate() {
            enter_part(&page, part).await?;
            fields += u32::try_from(part.fields.len()).expect("a few");
            if k + 1 < PARTS.len() {
                page.tap("form-next").await?;
            } else {
                page.finish().await?;
            }
            let name = part.fields.first().map_or("", |(_, name)| name);
            spent.push((name, cost(&page, fields)));
        }
        page.see("part-17").await?;
        page.see_no("part-18").await?;
        page.see_no("no-drawing").await?;

        page.tap("bench-tanks").await?;
        page.tap("add-tank").await?;
        page.type_row(&TANK).await?;
        fields += u32::try_from(TANK.len()).expect("a few");
        page.finish().await?;
        spent.push(("tank", cost(&page, fields)));
        page.tap("bench-marks").await?;
        for (k, x) in MARKS.iter().enumerate() {
            page.tap(&format!("mark-{k}")).await?;
            // From the name the "next" key goes to the place and selects what is in it.
            page.tap("form-name").await?;
            page.type_row(&[("x", x)]).await?;
            page.finish().await?;
        }
        fields += 3;
        spent.push(("marks", cost(&page, fields)));
        picture(&page.driver, "ledger-marks").await?;
        for line in told(&spent) {
            println!("{line}");
        }

        let folder = Folder::new();
        page.tap("bench-boats").await?;
        let record = page.boat_file("Grebe", folder.path()).await?;
        assert_eq!((record.parts.len(), record.tanks.len()), (18, 1), "in the file: {record:?}");
        page.see_foot_of(&record.boat().expect("a good boat")).await?;
        picture(&page.driver, "ledger-boats").await
    })
    .await;
}

/// What the whole entry took, and what each step of it did, a line each.
fn told(spent: &[(&str, Cost)]) -> Vec<String> {
    let mut before = Cost::default();
    let mut lines = Vec::new();
    for (name, now) in spent {
        let step = Cost {
            taps: now.taps - before.taps,
            keys: now.keys - before.keys,
            fields: now.fields - before.fields,
        };
        let seconds = step.seconds();
        lines.push(format!("{name}: {} taps, {} keys, {seconds:.0} s", step.taps, step.keys));
        before = *now;
    }
    lines.push(format!("FIGURE ledger_taps {} taps -", before.taps));
    lines.push(format!("FIGURE ledger_keys {} keys -", before.keys));
    lines.push(format!("FIGURE ledger_minutes {:.1} min 10", before.seconds() / 60.0));
    lines
}
