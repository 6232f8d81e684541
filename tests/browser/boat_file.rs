//! One boat as a file: shared where the phone can, saved where it cannot, the same on another one.

use crate::driver::{FOLDER, Folder, on_a_phone, on_load, picture, resize};
use crate::page::Page;
use serde::Deserialize;
use std::path::Path;
use thirtyfour::prelude::*;
use trimwright::boat::{Boat, Mark, Part, demo_boat};
use trimwright::diary::{BoatRecord, Diary, read, write};
use trimwright::frame::Position;
use trimwright::geometry::Solid;

/// A phone that can share files, and takes this one.
const CAN_SHARE: &str = r"
window.shared = [];
navigator.canShare = (what) => what.files?.length === 1;
navigator.share = async (what) => {
  const [file] = what.files;
  window.shared.push({ name: file.name, kind: file.type, text: await file.text() });
};
";
/// A person who closes the sheet of apps to share with.
const CLOSES_THE_SHEET: &str = r#"
navigator.canShare = () => true;
navigator.share = async () => { throw new DOMException("closed", "AbortError"); };
"#;
/// A phone that has the interface and shares no files of this kind.
const CANNOT_SHARE: &str = r#"
navigator.canShare = () => false;
navigator.share = async () => { throw new TypeError("never asked"); };
"#;

#[derive(Debug, Deserialize)]
struct Shared {
    name: String,
    kind: String,
    text: String,
}

/// The list of boats, with a changed demonstration boat in it: its battery weighs 745 g.
async fn set_up(page: &Page) -> WebDriverResult<()> {
    page.tap("start-demo").await?;
    page.tap("go-boat").await?;
    page.tap("part-1").await?;
    page.fill("form-mass", "745").await?;
    page.finish().await?;
    page.tap("bench-boats").await
}

/// Whether a file's text holds that boat, whole.
fn check(text: &str) -> BoatRecord {
    let diary = read(text).expect("it can be opened");
    assert_eq!((diary.boats.len(), diary.sessions.len()), (1, 0), "one boat, nothing else");
    let record = diary.boats.into_iter().next().expect("a boat");
    let (boat, demo) = (record.boat().expect("a good boat"), demo_boat().expect("fixed sizes"));
    assert_eq!((boat.parts.len(), boat.tanks.len()), (demo.parts.len(), 1), "its parts and tank");
    let battery = boat.parts.get(1).expect("its battery").mass;
    assert!((battery - 0.745).abs() < 1e-12, "as it was changed: {battery} kg");
    assert_eq!(boat.marks, demo.marks, "its marks");
    record
}

#[tokio::test(flavor = "multi_thread")]
async fn a_boat_is_shared_as_a_file_where_the_phone_can() {
    on_a_phone(FOLDER, |page| async move {
        on_load(&page.driver, CAN_SHARE).await?;
        page.reload().await?;
        set_up(&page).await?;
        page.tap(&page.share_button("Dipper").await?).await?;
        page.see_words("boat-message", "Shared.").await?;
        let shared: Vec<Shared> = page.run("return window.shared;", vec![]).await?.expect("a list");
        let [file] = shared.as_slice() else { panic!("one file: {shared:?}") };
        assert_eq!(
            (file.name.as_str(), file.kind.as_str()),
            ("trimwright-dipper.json", "text/plain")
        );
        check(&file.text);
        picture(&page.driver, "boat-shared").await
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_closed_sheet_is_an_answer_too() {
    on_a_phone(FOLDER, |page| async move {
        on_load(&page.driver, CLOSES_THE_SHEET).await?;
        page.reload().await?;
        set_up(&page).await?;
        page.tap(&page.share_button("Dipper").await?).await?;
        // No file instead, and no claim that anybody has it.
        page.see_words("boat-message", "Not shared").await.map(drop)
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_phone_that_shares_no_files_saves_it() {
    on_a_phone(FOLDER, |page| async move {
        let folder = Folder::new();
        on_load(&page.driver, CANNOT_SHARE).await?;
        page.reload().await?;
        set_up(&page).await?;
        let button = page.share_button("Dipper").await?;
        check(&page.download(&button, folder.path()).await?);
        page.see_words("boat-message", "Saved as trimwright-dipper.json").await.map(drop)
    })
    .await;
}

/// Saves the boat's file on one phone.
async fn saved(to: &Path) {
    on_a_phone(FOLDER, async |page| {
        set_up(&page).await?;
        let button = page.share_button("Dipper").await?;
        let folder = Folder::new();
        std::fs::write(to, page.download(&button, folder.path()).await?)?;
        Ok(())
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn the_file_opened_on_another_phone_is_the_same_boat() {
    let folder = Folder::new();
    let file = folder.path().join("from-a-friend.json");
    saved(&file).await;
    let text = std::fs::read_to_string(&file).expect("it was saved");
    on_a_phone(FOLDER, |page| async move {
        page.take_in_file(&file).await?;
        page.see_words("file-message", "1 new").await?;
        page.tap("go-boat").await?;
        picture(&page.driver, "boat-opened").await?;
        take_in_hand(&page).await?;
        let here = page.boat_file("Dipper", folder.path()).await?;
        assert_eq!(here, check(&text), "the same boat, to the last digit");
        Ok(())
    })
    .await;
}

/// A plank of half the water's density: either broad side may be up, by its symmetry.
fn plank() -> String {
    let (size, centre) = ([0.6, 0.2, 0.04], Position::ORIGIN);
    let part =
        Part::solid("plank", 0.5 * 998.0 * 0.6 * 0.2 * 0.04, centre, Solid::Box { size, centre });
    let at = |x: f64| Mark { name: format!("at {x}"), at: Position::new(x, 0.0, 0.0) };
    let boat = Boat {
        name: "Plank".to_owned(),
        parts: vec![part],
        marks: vec![at(-0.2), at(0.2)],
        ..Boat::default()
    };
    write(&Diary { boats: vec![BoatRecord::ledger("plank", &boat)], ..Diary::default() })
}

#[tokio::test(flavor = "multi_thread")]
async fn the_result_says_how_else_a_boat_can_lie() {
    let folder = Folder::new();
    on_a_phone(FOLDER, |page| async move {
        let file = folder.path().join("plank.json");
        std::fs::write(&file, plank())?;
        page.take_in_file(&file).await?;
        page.tap("go-boat").await?;
        page.see("share-plank").await?;
        let take = "document.querySelector('.row .row-main').click(); return null;";
        page.run::<()>(take, vec![]).await?;
        page.tap("bench-results").await?;
        page.see_words("facts-others", "keel up").await?;
        picture(&page.driver, "result-other-attitudes").await?;
        let upright = drawn(&page).await?;
        page.tap("show-other-0").await?;
        let words = page.see_words("show-other-0", "as it lies").await?;
        assert_eq!(words.attributes["aria-pressed"], "true", "it is shown");
        let is_so = async || Ok(Some(drawn(&page).await?).filter(|now| *now != upright));
        let turned = page.until("the drawing shows it so", is_so).await?;
        assert!(turned.0.contains("keel up"), "in words: {turned:?}");
        assert!(upright.1.abs() < 0.5, "it floats upright: {upright:?}");
        assert!((turned.1.abs() - 180.0).abs() < 0.5, "turned over: {turned:?}");
        page.see_that("as-it-lies", "is where the page went", |s| s.in_view && s.focused).await?;
        turns_no_more(&page).await?;
        picture(&page.driver, "result-other-drawn-390").await?;
        resize(&page.driver, 320, 568).await?;
        turns_no_more(&page).await?;
        picture(&page.driver, "result-other-drawn-320").await?;
        let row = "find('show-other-0').scrollIntoView({ block: 'center' }); return null;";
        page.run::<()>(row, vec![]).await?;
        picture(&page.driver, "result-other-row-320").await?;
        page.tap("as-it-lies").await?;
        page.see_words("show-other-0", "show it").await?;
        assert_eq!(drawn(&page).await?, upright, "as it lies again");
        // Another part of the bench shows it as it lies.
        page.tap("show-other-0").await?;
        page.tap("bench-parts").await?;
        let is_back = async || Ok((drawn(&page).await? == upright).then_some(()));
        page.until("the drawing shows it as it lies", is_back).await
    })
    .await;
}

/// Waits until the drawing stands still.
async fn turns_no_more(page: &Page) -> WebDriverResult<()> {
    let ended = "const done = arguments[arguments.length - 1];
        Promise.all(document.getAnimations().map((a) => a.finished)).then(() => done(null));";
    page.run_async::<()>(ended).await.map(drop)
}

/// What the drawing says of the boat, and by how many degrees its end view is turned.
async fn drawn(page: &Page) -> WebDriverResult<(String, f64)> {
    let script = r#"
        const svg = document.querySelector(".drawing svg");
        const turn = svg.querySelectorAll(".boat")[1].style.transform.match(/rotate\((.*?)deg/);
        return [svg.getAttribute("aria-label"), Number(turn[1])];"#;
    Ok(page.run(script, vec![]).await?.expect("a drawing"))
}

/// Goes to the list of boats, wherever the app shows it.
async fn take_in_hand(page: &Page) -> WebDriverResult<()> {
    if page.look("bench-boats").await?.is_some() {
        page.tap("bench-boats").await?;
    }
    Ok(())
}
