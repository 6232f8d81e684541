//! For how long the page answers nothing: the longest task of its thread in each flow, as the browser itself
//! notes it, on a processor four times slower. Figures, not tests: what is asserted is that each flow comes to its end.

use crate::driver::{FOLDER, Folder, on_a_phone, on_load, run_for, short_or_long, slow_down};
use crate::many::{SESSIONS, diary};
use crate::mesh::{LARGE, binary, hull};
use crate::page::Page;
use serde::Deserialize;
use serde_json::json;
use std::time::Duration;
use thirtyfour::prelude::*;

/// How many times slower the processor is, in a short run and in a long one.
const SLOWER: [f64; 2] = [1.0, 4.0];
/// Longest that a test of a large diary may take.
const LIMIT: Duration = Duration::from_secs(400);
/// Longest that a flow may take.
const PATIENCE: Duration = Duration::from_secs(150);
/// How often something is typed or tapped: in a short run, and in a long one.
const ROUNDS: [usize; 2] = [3, 12];

/// Notes the long tasks of a page from its very beginning.
const NOTE: &str = r#"
window.longTasks = [];
window.longTaskWatch = new PerformanceObserver((list) => longTasks.push(...list.getEntries()));
longTaskWatch.observe({ type: "longtask", buffered: true });
"#;

/// Acts, waits until it is over, and for what still follows; what tasks were long from the act on, or, where
/// there is none, from the page's beginning. `act` and `over` are bodies of functions. It looks at names only:
/// a look that lays out the page would be a task of its own.
const FLOW: &str = r#"
const [act, over, rounds, done] = arguments;
// Made at once: later the page's own policy lets no text be run.
const body = (text) => new Function("find", "n", text);
const [begin, isOver] = [act && body(act), body(over)];
const wait = (ms) => new Promise((go) => setTimeout(go, ms));
(async () => {
  await wait(100);
  longTaskWatch.takeRecords();
  if (act) longTasks.length = 0;
  const from = act ? performance.now() : 0;
  let to = from;
  for (let n = 0; n < rounds; n++) {
    if (begin) begin(find, n);
    await wait(20);
    while (!isOver(find, n)) await wait(20);
    to = performance.now();
    await wait(act ? 300 : 1000);
  }
  await wait(600);
  longTasks.push(...longTaskWatch.takeRecords());
  done({ took: to - from, tasks: longTasks.map((e) => [e.startTime - from, e.duration]) });
})().catch((why) => done({ took: 0, tasks: [], why: String(why) }));
"#;

/// What [`FLOW`] saw, milliseconds.
#[derive(Debug, Deserialize)]
struct Flow {
    took: f64,
    /// When each began, and how long it was.
    tasks: Vec<[f64; 2]>,
    /// What went wrong.
    why: Option<String>,
}

/// Goes through a flow of `name` on a slow processor and prints its longest task: `act` begins it, so many
/// times, and it is over each time when `over` returns true.
async fn flow(
    page: &Page,
    name: &str,
    act: &str,
    over: &str,
    rounds: usize,
) -> WebDriverResult<()> {
    slow_down(&page.driver, short_or_long(SLOWER[0], SLOWER[1])).await?;
    seen(page, name, json!(act), over, rounds).await
}

/// What was seen of a flow that has begun already with the page, where `act` is null.
#[expect(clippy::print_stdout, reason = "what is measured is printed")]
async fn seen(
    page: &Page,
    name: &str,
    act: serde_json::Value,
    over: &str,
    rounds: usize,
) -> WebDriverResult<()> {
    let with = vec![act, json!(over), json!(rounds)];
    let seen: Flow = page.run_async_with(FLOW, with).await?.expect("what was seen");
    slow_down(&page.driver, 1.0).await?;
    let Flow { took, mut tasks, why } = seen;
    assert_eq!(why, None, "the flow {name}");
    tasks.sort_by(|a, b| b[1].total_cmp(&a[1]));
    // A task of less than 50 ms is none to the browser.
    let longest = tasks.first().map_or(0.0, |[_, length]| *length);
    println!("FIGURE longest_task_{name}_4x {longest:.0} ms 50");
    let list = tasks.iter().take(8).map(|[at, length]| format!("{length:.0} ms at {at:.0}"));
    let list: Vec<String> = list.collect();
    println!("{name}: took {took:.0} ms, long tasks {}: {}", tasks.len(), list.join(", "));
    Ok(())
}

/// Opens the app anew with its long tasks noted.
async fn watched(page: &Page) -> WebDriverResult<()> {
    page.driver.set_script_timeout(PATIENCE).await?;
    on_load(&page.driver, NOTE).await?;
    page.load().await
}

/// Gives a field for files the file that was put into the page before, as a person's choice does.
const GIVE: &str = r#"
    const field = find(field_id);
    const all = new DataTransfer();
    all.items.add(window.givenFile);
    field.files = all.files;
    field.dispatchEvent(new Event("change", { bubbles: true }));
"#;

/// Puts a file of the server's machine into the page, to be given to a field later.
async fn put_file(page: &Page, file: &std::path::Path) -> WebDriverResult<()> {
    let field = r#"
        const field = document.createElement("input");
        field.type = "file";
        field.dataset.testid = "put-file";
        field.onchange = () => { window.givenFile = field.files[0]; field.remove(); };
        document.body.append(field);
        return null;
    "#;
    page.run::<()>(field, vec![]).await?;
    let put = page.driver.find(By::Testid("put-file")).await?;
    put.send_keys(file.to_string_lossy().into_owned()).await?;
    let is_there = "return window.givenFile ? true : null;";
    page.until("the file is in the page", async || page.run::<bool>(is_there, vec![]).await)
        .await?;
    Ok(())
}

fn give(field: &str) -> String {
    GIVE.replace("field_id", &format!("{field:?}"))
}

#[tokio::test(flavor = "multi_thread")]
async fn a_diary_of_thousands_of_sessions_is_taken_in_opened_and_saved() {
    run_for(LIMIT, async |page, _tabs| {
        let folder = Folder::new();
        let file = folder.path().join("many.json");
        let n = short_or_long(SESSIONS[0], SESSIONS[1]);
        std::fs::write(&file, diary(n))?;
        watched(page).await?;
        page.go_to_files().await?;
        for name in ["", "again_"] {
            put_file(page, &file).await?;
            let there = "return !!find('preview');";
            flow(page, &format!("look_{name}10k"), &give("import"), there, 1).await?;
            let gone = "return !find('preview') && find('file-message')?.textContent !== '';";
            let take = "find('take-in').click();";
            flow(page, &format!("merge_{name}10k"), take, gone, 1).await?;
        }
        let saved = r#"return find("file-message")?.textContent.includes(".json");"#;
        flow(page, "export_10k", r#"find("export").click();"#, saved, 1).await?;
        slow_down(&page.driver, short_or_long(SLOWER[0], SLOWER[1])).await?;
        page.load().await?;
        seen(page, "start_10k", serde_json::Value::Null, "return !!find('go-diary');", 1).await?;
        let rows = r#"
            const rows = [...document.querySelectorAll(".session-row .seen")];
            return rows.length > 5 && rows[0].textContent.includes("list");
        "#;
        flow(page, "diary_10k", r#"find("go-diary").click();"#, rows, 1).await
    })
    .await;
}

/// Types one of a few figures into a field, in each round another one.
fn types(field: &str, figures: &str) -> String {
    format!(
        "const field = find({field:?}); field.value = {figures}[n % 3];
         field.dispatchEvent(new InputEvent('input', {{ bubbles: true }}));"
    )
}

#[tokio::test(flavor = "multi_thread")]
async fn a_hull_of_many_triangles_is_taken_and_counted_with() {
    on_a_phone(FOLDER, |page| async move {
        let folder = Folder::new();
        let [around, rings] = short_or_long(LARGE[0], LARGE[1]);
        let file = folder.path().join("printed hull.stl");
        std::fs::write(&file, binary(&hull(around, rings)))?;
        watched(&page).await?;
        let rounds = short_or_long(ROUNDS[0], ROUNDS[1]);
        page.tap("start-demo").await?;
        page.tap("go-boat").await?;
        page.see("part-13").await?;
        put_file(&page, &file).await?;
        let views = "return document.querySelectorAll('.mesh-view').length === 2;";
        flow(&page, "stl_200k_import", &give("mesh-file"), views, 1).await?;
        let turn = "find('mesh-roll').click();";
        flow(&page, "stl_200k_turn", turn, views, 1).await?;
        page.tap("mesh-flooded").await?;
        page.fill("mesh-wall", "1.2").await?;
        let made = "return (find('form-readout')?.textContent ?? '').includes('g');";
        flow(&page, "stl_200k_part", "find('mesh-use').click();", made, 1).await?;
        let typed = types("form-z", "[70, 72, 74]");
        flow(&page, "stl_200k_move", &typed, "return true;", 3).await?;
        page.finish().await?;
        page.tap("part-1").await?;
        page.see("form-mass").await?;
        let typed = types("form-mass", "[500, 520, 540]");
        flow(&page, "stl_200k_key", &typed, "return true;", rounds).await?;
        page.finish().await?;
        flow(&page, "stl_200k_pool", "find('go-pool').click();", "return !!find('answer');", 1)
            .await?;
        let tap = r#"find(n % 2 ? "mark-stern-more" : "mark-stern-less").click();"#;
        flow(&page, "stl_200k_answer", tap, "return true;", rounds).await
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_way_with_its_cures_and_leans_is_followed() {
    on_a_phone(FOLDER, |page| async move {
        watched(&page).await?;
        let followed = r#"
            const e = find("dive-progress");
            return !!find("dive-headline") && (e === null || e.hidden);
        "#;
        // Heron has 18 parts and dives upright; Coot leans midway and has many cures.
        for (name, template) in [("heron", 0), ("coot", 3)] {
            if template == 0 {
                page.tap("start-bench").await?;
                page.tap("boat-leave").await?;
            } else {
                page.tap("go-boat").await?;
                page.tap("bench-boats").await?;
            }
            page.tap(&format!("template-{template}")).await?;
            let go = "find('go-dive').click();";
            flow(&page, &format!("way_{name}"), go, followed, 1).await?;
            let turn = "find('dive-up').click();";
            flow(&page, &format!("way_up_{name}"), turn, followed, 1).await?;
            let turn = "find('dive-down').click();";
            flow(&page, &format!("way_down_{name}"), turn, followed, 1).await?;
        }
        for (k, (fill, lean)) in [(30.0, "21"), (40.0, "19"), (50.0, "14")].iter().enumerate() {
            page.set_fill(*fill).await?;
            page.fill("seen-lean", lean).await?;
            let note = "find('seen-note').click();";
            flow(&page, &format!("leans_{}", k + 1), note, followed, 1).await?;
        }
        Ok(())
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn what_is_typed_and_turned_is_followed() {
    on_a_phone(FOLDER, |page| async move {
        watched(&page).await?;
        let rounds = short_or_long(ROUNDS[0], ROUNDS[1]);
        page.tap("start-demo").await?;
        page.see("answer-main").await?;
        let typed = types("mark-stern-value", "[3, 5, 8]");
        flow(&page, "type_pool", &typed, "return true;", rounds).await?;
        flow(&page, "go_boat", "find('go-boat').click();", "return !!find('part-1');", 1).await?;
        flow(&page, "open_part", "find('part-1').click();", "return !!find('form-mass');", 1)
            .await?;
        let typed = types("form-mass", "[500, 520, 540]");
        flow(&page, "type_boat", &typed, "return true;", rounds).await?;
        page.finish().await?;
        let go = "find('bench-results').click();";
        flow(&page, "results", go, "return !!find('view-plan');", 1).await?;
        let view = "find(['view-plan', 'view-side'][n % 2]).click();";
        flow(&page, "drawing_turned", view, "return true;", rounds).await
    })
    .await;
}
