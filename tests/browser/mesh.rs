//! A mesh from a file: how long a large one takes and whether the screen stays alive, what becomes
//! of it, and damaged files.

use crate::bench::Foot;
use crate::driver::{FOLDER, Folder, on_a_phone, picture, short_or_long};
use crate::page::Page;
use serde::Deserialize;
use std::f64::consts::TAU;
use thirtyfour::prelude::*;

/// The large mesh, how many meridians and bands: in a short run, 20,000 triangles, and in a long one,
/// 200,000.
pub(crate) const LARGE: [[u32; 2]; 2] = [[100, 101], [500, 201]];
/// Its length and its diameter, mm.
const LENGTH: f64 = 800.0;
const DIAMETER: f64 = 100.0;

type Corner = [f32; 3];

/// An ellipsoid of revolution as the triangles of an STL file: `around` meridians, `rings` bands.
pub(crate) fn hull(around: u32, rings: u32) -> Vec<[Corner; 3]> {
    let corner = |ring: u32, k: u32| -> Corner {
        let (down, turn) = (
            f64::from(ring) / f64::from(rings) * TAU / 2.0,
            f64::from(k % around) / f64::from(around) * TAU,
        );
        // The ends are one point each, to the last digit.
        let radius = if ring == 0 || ring == rings { 0.0 } else { down.sin() };
        let place = [
            -LENGTH / 2.0 * down.cos(),
            DIAMETER / 2.0 * radius * turn.cos(),
            DIAMETER / 2.0 * radius * turn.sin(),
        ];
        #[expect(clippy::cast_possible_truncation, reason = "STL files have single precision")]
        place.map(|c| c as f32)
    };
    let mut triangles = Vec::new();
    for ring in 0..rings {
        for k in 0..around {
            let [a, b, c, d] = [(ring, k), (ring + 1, k), (ring + 1, k + 1), (ring, k + 1)]
                .map(|(r, k)| corner(r, k));
            if ring > 0 {
                triangles.push([a, d, b]);
            }
            if ring + 1 < rings {
                triangles.push([b, d, c]);
            }
        }
    }
    triangles
}

/// A file of a mesh that is kept apart from its boat.
pub(crate) fn large_file() -> Vec<u8> {
    binary(&hull(40, 20))
}

/// A binary STL file.
pub(crate) fn binary(triangles: &[[Corner; 3]]) -> Vec<u8> {
    let mut bytes = vec![0; 80];
    bytes.extend(u32::try_from(triangles.len()).expect("a few").to_le_bytes());
    for triangle in triangles {
        bytes.extend([0; 12]);
        bytes.extend(triangle.iter().flatten().flat_map(|c| c.to_le_bytes()));
        bytes.extend([0; 2]);
    }
    bytes
}

/// A text STL file as a program writes it whose decimals are divided by commas.
fn with_commas(triangles: &[[Corner; 3]]) -> String {
    let mut text = "solid it\n".to_owned();
    for triangle in triangles {
        text += "facet normal 0,0 0,0 1,0\nouter loop\n";
        for corner in triangle {
            let corner = corner.map(|c| format!("{c:.3}").replace('.', ","));
            text += "vertex ";
            text += &corner.join(" ");
            text += "\n";
        }
        text += "endloop\nendfacet\n";
    }
    text + "endsolid it\n"
}

/// Watches what begins with an event at one thing and ends when another is there: how long it
/// takes, the longest time in which nothing else had its turn, and how often progress was shown.
const WATCH: &str = r#"
const [at, event, until] = arguments;
const found = (window.watched = { started: null, took: null, blocked: 0, progress: 0 });
let turn = null;
const channel = new MessageChannel();
const tick = () => {
  const now = performance.now();
  if (found.started !== null && turn !== null) found.blocked = Math.max(found.blocked, now - turn);
  turn = now;
  if (found.took === null) channel.port2.postMessage(0);
};
channel.port1.onmessage = tick;
new MutationObserver(() => {
  if (find("mesh-progress")) found.progress++;
  if (found.took === null && find(until)) found.took = performance.now() - found.started;
}).observe(document.body, { childList: true, subtree: true, characterData: true });
find(at).addEventListener(event, () => (found.started = performance.now()), true);
tick();
return null;
"#;

/// What [`WATCH`] saw, milliseconds.
#[derive(Debug, Clone, Copy, Deserialize)]
struct Watched {
    took: f64,
    blocked: f64,
    progress: u32,
}

/// Watches from an event at one thing until another is there.
async fn watch(page: &Page, [at, event, until]: [&str; 3]) -> WebDriverResult<()> {
    let what = vec![at.into(), event.into(), until.into()];
    page.run::<()>(WATCH, what).await.map(drop)
}

/// What was seen, once it is over.
async fn watched(page: &Page) -> WebDriverResult<Watched> {
    let over = "return window.watched.took === null ? null : window.watched;";
    page.until("what is watched is over", async || page.run(over, vec![]).await).await
}

/// The demonstration boat on the bench.
async fn set_up(page: &Page) -> WebDriverResult<Foot> {
    page.tap("start-demo").await?;
    page.tap("go-boat").await?;
    page.see("part-13").await?;
    page.foot().await
}

/// The record of the boat as it is kept.
const BOAT_RECORD: &str = r#"
const done = arguments[arguments.length - 1];
const open = indexedDB.open("trimwright");
open.onsuccess = () => {
  const asked = open.result.transaction("record").objectStore("record").getAll();
  asked.onsuccess = () => {
    open.result.close();
    done(asked.result.find((text) => String(text).includes('"boats"')) ?? null);
  };
};
"#;

#[tokio::test(flavor = "multi_thread")]
async fn a_hull_of_many_triangles_is_read_in_steps_and_kept() {
    on_a_phone(FOLDER, |page| async move {
        let folder = Folder::new();
        let [around, rings] = short_or_long(LARGE[0], LARGE[1]);
        let triangles = hull(around, rings);
        let wanted = short_or_long(20_000, 200_000);
        assert_eq!(triangles.len(), wanted, "the mesh that the aim is about");
        let file = folder.path().join("printed hull.stl");
        std::fs::write(&file, binary(&triangles))?;

        let before = set_up(&page).await?;
        watch(&page, ["mesh-file", "change", "mesh-preview"]).await?;
        page.give_file("mesh-file", &file).await?;
        page.see("mesh-preview").await?;
        let read = watched(&page).await?;
        println!("FIGURE stl_200k_import {:.0} ms 2000", read.took);
        println!("FIGURE stl_200k_longest_block {:.0} ms 50", read.blocked);
        assert!(read.progress > 0, "progress was shown: {read:?}");
        page.see_words("mesh-size", &format!("800 × 100 × 100 mm, {wanted} triangles")).await?;
        picture(&page.driver, "mesh-preview").await?;
        page.tap("mesh-cm").await?;
        page.see_words("mesh-size", "8000 × 1000 × 1000 mm").await?;
        page.tap("mesh-mm").await?;
        page.tap("mesh-flooded").await?;
        page.fill("mesh-wall", "1.2").await?;
        watch(&page, ["mesh-use", "click", "form-readout"]).await?;
        page.tap("mesh-use").await?;
        let made = watched(&page).await?;
        println!("FIGURE stl_200k_part {:.0} ms -", made.took);
        println!("FIGURE stl_200k_part_block {:.0} ms -", made.blocked);

        // The surface of a prolate spheroid (closed form) is 1988 cm²; 1.2 mm of it less its
        // curvature, of PLA with 1240 kg/m³, are about 292 g.
        page.see_words("form-readout", " g").await?;
        let grams = grams_in(&page.see("form-readout").await?.text);
        assert!((287.0..297.0).contains(&grams), "a shell of {grams} g");
        page.finish().await?;
        page.see_words("part-14", "printed hull").await?;
        let with_hull = page.foot().await?;
        assert_ne!(with_hull, before, "the hull counts");

        // The list goes to where it was left; a tap meanwhile would hit what passes under it.
        tokio::time::sleep(std::time::Duration::from_millis(500)).await;
        page.tap("bench-boats").await?;
        let record = page.boat_file("Dipper", folder.path()).await?;
        page.see_foot_of(&record.boat().expect("a good boat")).await?;

        // It is kept in the browser's database beside the boat's record, which only names it.
        let names_it = async || {
            let text: Option<String> = page.run_async(BOAT_RECORD).await?;
            Ok(text.filter(|text| text.contains("kept_mesh")))
        };
        let text = page.until("the mesh is kept", names_it).await?;
        assert!(text.len() < 100_000, "{} letters of text hold no mesh", text.len());
        page.reload().await?;
        page.tap("go-pool").await?;
        page.see("answer-main").await?;
        page.tap("go-boat").await?;
        page.tap("bench-parts").await?;
        page.see_words("part-14", "printed hull").await?;
        page.see_words("bench-figures", &with_hull.figures).await?;
        assert_eq!(page.foot().await?, with_hull, "after a reload");
        page.tap("part-14").await?;
        assert!((grams_in(&page.see("form-readout").await?.text) - grams).abs() < 1e-9, "its mass");
        page.tap("go-pool").await?;
        page.enter_mark("bow", Some(4.0)).await?;
        page.see("answer-place").await?;
        picture(&page.driver, "mesh-pool").await
    })
    .await;
}

/// The number that a readout begins with.
fn grams_in(readout: &str) -> f64 {
    let number = readout.split_whitespace().next().and_then(|word| word.parse().ok());
    number.unwrap_or_else(|| panic!("no grams in {readout:?}"))
}

#[tokio::test(flavor = "multi_thread")]
async fn damaged_files_are_refused_with_the_reason_and_the_boat_stays() {
    on_a_phone(FOLDER, |page| async move {
        let folder = Folder::new();
        let good = hull(12, 6);
        let open = binary(good.get(1..).expect("more than one"));
        let mut cut = binary(&good);
        cut.truncate(cut.len() - 333);
        let before = set_up(&page).await?;
        for (name, bytes, words) in [
            ("open.stl", open, "open edges: 3"),
            ("cut.stl", cut, "cut short"),
            ("commas.stl", with_commas(&good).into_bytes(), "numbers with a comma"),
        ] {
            let file = folder.path().join(name);
            std::fs::write(&file, bytes)?;
            page.give_file("mesh-file", &file).await?;
            page.see_words("mesh-problem", words).await?;
            page.see_no("mesh-preview").await?;
            assert_eq!(page.foot().await?, before, "after {name}");
        }
        picture(&page.driver, "mesh-refused").await?;
        page.see_no("part-14").await?;
        let file = folder.path().join("good.stl");
        std::fs::write(&file, binary(&good))?;
        page.give_file("mesh-file", &file).await?;
        page.see("mesh-preview").await?;
        page.see_no("mesh-problem").await?;
        page.tap("mesh-leave").await?;
        page.see_no("mesh-preview").await?;
        assert_eq!(page.foot().await?, before, "nothing was taken");
        Ok(())
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_file_in_metres_is_taken_to_be_in_metres() {
    on_a_phone(FOLDER, |page| async move {
        let folder = Folder::new();
        let [around, rings] = LARGE[0];
        let metres = |corner: Corner| corner.map(|at| at / 1000.0);
        let triangles: Vec<_> = hull(around, rings).into_iter().map(|t| t.map(metres)).collect();
        let file = folder.path().join("hull in metres.stl");
        std::fs::write(&file, binary(&triangles))?;
        set_up(&page).await?;
        page.give_file("mesh-file", &file).await?;
        page.see_words("mesh-size", "800 × 100 × 100 mm").await.map(drop)
    })
    .await;
}
