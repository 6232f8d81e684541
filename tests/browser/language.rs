//! The app in German: all of it, at once, and it stays, with a network and without; English where that is chosen.

use crate::access::too_wide;
use crate::driver::{FOLDER, Folder, built_app, on_a_phone, on_load, picture, resize, run};
use crate::locale::languages;
use crate::page::Page;
use crate::update::{ASK, VERSION, copy};
use thirtyfour::prelude::*;
use trimwright::boat::demo_boat;

/// A phone whose owner reads German first.
const GERMAN_PHONE: &str =
    r#"Object.defineProperty(navigator, "languages", { get: () => ["de-AT", "en"] });"#;

/// Everything that is said on the screen: texts, names for screen readers, hints in fields.
const SAID: &str = r#"
const said = [];
const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
while (walk.nextNode()) {
  const e = walk.currentNode.parentElement;
  if (!e.closest("script, style, noscript")) said.push(walk.currentNode.textContent);
}
for (const e of document.body.querySelectorAll("*")) {
  for (const name of ["aria-label", "placeholder", "title", "alt", "aria-valuetext"]) {
    if (e.hasAttribute(name)) said.push(e.getAttribute(name));
  }
}
return said.map((text) => text.trim()).filter((text) => text);
"#;

/// A text with places for figures, as its pieces between them.
struct Pattern {
    key: String,
    pieces: Vec<String>,
}

impl Pattern {
    fn of(key: &str, text: &str) -> Self {
        let mut pieces = Vec::new();
        let mut rest = text;
        while let Some((before, after)) = rest.split_once("%{") {
            pieces.push(before.to_owned());
            rest = after.split_once('}').map_or("", |(_, rest)| rest);
        }
        pieces.push(rest.to_owned());
        Self { key: key.to_owned(), pieces }
    }

    /// Letters that are always there.
    fn letters(&self) -> usize {
        self.pieces.iter().flat_map(|piece| piece.chars()).filter(|c| c.is_alphabetic()).count()
    }

    fn is(&self, said: &str) -> bool {
        let [first, rest @ ..] = self.pieces.as_slice() else { return false };
        let Some(mut left) = said.strip_prefix(first.as_str()) else { return false };
        let Some((last, middle)) = rest.split_last() else { return left.is_empty() };
        for piece in middle {
            let Some((_, after)) = left.split_once(piece.as_str()) else { return false };
            left = after;
        }
        left.ends_with(last.as_str())
    }
}

/// English sentences that are said otherwise in German.
fn english() -> Vec<Pattern> {
    let mut all = languages();
    let [english, german] = ["en", "de"].map(|code| all.remove(code).expect("it is spoken"));
    let german_texts: Vec<&String> = german.values().collect();
    english
        .iter()
        .filter(|(key, text)| german.get(*key) != Some(text) && !german_texts.contains(text))
        .map(|(key, text)| Pattern::of(key, text))
        .filter(|pattern| pattern.letters() >= 4)
        .collect()
}

/// What is said in English on this screen. Names that the builder gave are no words of the app.
async fn still_english(
    page: &Page,
    english: &[Pattern],
    names: &[String],
) -> WebDriverResult<Vec<String>> {
    let said: Vec<String> = page.run(SAID, vec![]).await?.unwrap_or_default();
    assert!(said.len() > 3, "the screen says something");
    let said = said.into_iter().filter(|text| !names.contains(text));
    let found = said.filter_map(|text| {
        let pattern = english.iter().find(|pattern| pattern.is(&text))?;
        Some(format!("{text:?} ({})", pattern.key))
    });
    Ok(found.collect())
}

/// A boat keeps its name; what it has is named in the language in which it was taken in hand.
fn names_of_the_demo() -> Vec<String> {
    vec![demo_boat().expect("the demonstration boat").name]
}

async fn language_of_page(page: &Page) -> WebDriverResult<Option<String>> {
    page.run("return document.documentElement.lang;", vec![]).await
}

#[tokio::test(flavor = "multi_thread")]
async fn on_a_german_phone_every_screen_is_german_and_fits() {
    on_a_phone(FOLDER, |page| async move {
        on_load(&page.driver, GERMAN_PHONE).await?;
        page.reload().await?;
        resize(&page.driver, 320, 568).await?;
        page.see_words("go-diary", "Tagebuch").await?;
        assert_eq!(language_of_page(&page).await?.as_deref(), Some("de"), "for screen readers");
        let english = english();
        assert!(english.len() > 300, "{} English texts to look for", english.len());
        let names = names_of_the_demo();
        let mut found = still_english(&page, &english, &names).await?;
        picture(&page.driver, "german-welcome").await?;
        page.tap("start-demo").await?;
        page.see_words("answer-main", "zugeben").await?;
        // Its marks have names in the language of the phone.
        page.see("mark-Bug-value").await?;
        page.tap("keep-reading").await?;
        page.tour(async |screen| {
            let said = still_english(&page, &english, &names).await?;
            found.extend(said.into_iter().map(|text| format!("{screen}: {text}")));
            found.extend(too_wide(&page, &format!("german-{screen}")).await?);
            picture(&page.driver, &format!("german-{screen}")).await
        })
        .await?;
        assert!(found.is_empty(), "English, or too wide:\n{}", found.join("\n"));
        Ok(())
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_language_that_is_chosen_is_spoken_at_once_and_stays() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        page.see_words("answer-main", "Add").await?;
        page.tap("go-diary").await?;
        page.tap("go-settings").await?;
        page.tap("language-de").await?;
        page.see_words("page-title", "Einstellungen").await?;
        page.see_that("language-de", "keeps the focus", |seen| seen.focused).await?;
        page.tap("go-pool").await?;
        page.see_words("answer-main", "zugeben").await?;
        page.see_that("list-value", "has its decimals after a comma", |seen| seen.value == "1,8")
            .await?;
        page.see_kept().await?;
        page.reload().await?;
        page.see_words("go-pool", "Becken").await?;
        assert_eq!(language_of_page(&page).await?.as_deref(), Some("de"), "it stays");
        page.tap("go-diary").await?;
        page.tap("go-settings").await?;
        page.tap("language-en").await?;
        page.see_words("page-title", "Settings").await.map(drop)
    })
    .await;
}

/// Whether the app's copy on the phone has the German words.
const KEPT: &str = r#"
const done = arguments[arguments.length - 1];
caches.keys()
  .then((names) => Promise.all(names.map(async (name) => (await caches.open(name)).keys())))
  .then((all) => done(all.flat().some((asked) => asked.url.includes("/words.de-"))));
"#;

impl Page {
    async fn keeps_german(&self) -> WebDriverResult<()> {
        let kept = async || Ok(self.run_async::<bool>(KEPT).await?.filter(|kept| *kept));
        self.until("the German words are kept", kept).await.map(drop)
    }

    async fn choose_german(&self) -> WebDriverResult<()> {
        self.tap("go-diary").await?;
        self.tap("go-settings").await?;
        self.tap("language-de").await
    }

    /// How often the server was asked for words.
    fn asked_for_words(&self) -> usize {
        self.server.asked().iter().filter(|path| path.contains("/words.")).count()
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn an_english_visit_does_not_ask_for_german() {
    on_a_phone(FOLDER, |page| async move {
        page.tap("start-demo").await?;
        page.is_kept_offline().await?;
        page.reload().await?;
        page.see_words("answer-main", "Add").await?;
        assert_eq!(page.asked_for_words(), 0, "{:?}", page.server.asked());
        assert_eq!(page.run_async::<bool>(KEPT).await?, Some(false), "nor is it kept");
        Ok(())
    })
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn german_that_cannot_be_loaded_is_told_and_asked_for_again() {
    const WHY: &str = "could not be loaded";
    on_a_phone(FOLDER, |mut page| async move {
        page.tap("start-demo").await?;
        page.is_kept_offline().await?;
        page.server.kill().await;
        page.choose_german().await?;
        page.see_words("file-message", WHY).await?;
        page.see_words("page-title", "Settings").await?;
        page.see_that("language-de", "is what is wanted", |seen| seen.checked).await?;
        assert_eq!(language_of_page(&page).await?.as_deref(), Some("en"), "it speaks English");
        page.see_kept().await?;

        page.reload().await?;
        page.see_words("go-pool", "Pool").await?;
        page.tap("go-pool").await?;
        page.see_words("answer-main", "Add").await?;
        page.reload().await?;
        page.see_words("pool-message", WHY).await?;
        page.choose_german().await?;
        page.see_words("file-message", WHY).await?;

        page.server.restart().await;
        page.tap("language-de").await?;
        page.see_words("page-title", "Einstellungen").await?;
        page.see_that("language-de", "keeps the focus", |seen| seen.focused).await?;
        let said = page.look("file-message").await?.map(|seen| seen.text).unwrap_or_default();
        assert!(said.is_empty(), "nothing is wrong any more: {said}");
        assert_eq!(language_of_page(&page).await?.as_deref(), Some("de"), "it speaks German");
        page.tap("go-pool").await?;
        page.see_words("answer-main", "zugeben").await.map(drop)
    })
    .await;
}

/// As on a phone that was never here, but for what was entered.
const NO_COPY: &str = r"
const done = arguments[arguments.length - 1];
navigator.serviceWorker.getRegistration()
  .then((registration) => registration.unregister())
  .then(() => caches.keys())
  .then((names) => Promise.all(names.map((name) => caches.delete(name))))
  .then(() => done(true));
";

#[tokio::test(flavor = "multi_thread")]
async fn german_is_spoken_without_a_network_once_it_was_spoken() {
    on_a_phone(FOLDER, |mut page| async move {
        page.is_kept_offline().await?;
        page.choose_german().await?;
        page.see_words("page-title", "Einstellungen").await?;
        page.keeps_german().await?;
        assert_eq!(page.asked_for_words(), 1, "for the view and for the copy");
        page.see_kept().await?;
        page.server.kill().await;
        page.reload().await?;
        page.see_words("go-pool", "Becken").await?;

        // On a first visit the words come before there is a copy of the app.
        page.server.restart().await;
        page.run_async::<bool>(NO_COPY).await?;
        page.reload().await?;
        page.see_words("go-pool", "Becken").await?;
        page.keeps_german().await?;
        page.is_kept_offline().await?;
        page.server.kill().await;
        page.load().await?;
        page.see_words("go-pool", "Becken").await.map(drop)
    })
    .await;
}

/// The addresses of words in the copy of the newer version.
const NEWER: &str = r#"
const done = arguments[arguments.length - 1];
caches.keys()
  .then((names) => caches.open(names.find((name) => name.includes(" newer-"))))
  .then((cache) => cache.keys())
  .then((all) => done(all.filter((asked) => asked.url.includes("/words.")).map((asked) => asked.url)));
"#;

#[tokio::test(flavor = "multi_thread")]
async fn a_newer_version_speaks_german_without_a_network_too() {
    const OTHER: &str = "words.de-0123456789abcdef.txt";
    let folder = Folder::new();
    copy(&built_app(), folder.path()).expect("a copy of the app");
    let worker = folder.path().join("sw.js");
    run(folder.path(), FOLDER, |mut page| async move {
        page.is_kept_offline().await?;
        page.choose_german().await?;
        page.keeps_german().await?;

        // The newer version has words of another name as well.
        let old = std::fs::read_to_string(&worker)?;
        let row = old.lines().find(|line| line.contains("./words.de-")).expect("its German words");
        let name = row.split('"').nth(1).and_then(|name| name.strip_prefix("./")).expect("a name");
        std::fs::copy(worker.with_file_name(name), worker.with_file_name(OTHER))?;
        let newer = old.replace(VERSION, "const version = \"newer-");
        std::fs::write(
            &worker,
            newer.replace(row, &format!("{row}\n{}", row.replace(name, OTHER))),
        )?;
        page.driver.execute_async(ASK, vec![]).await?;
        page.see("update-apply").await?;
        page.take_update().await?;

        page.server.kill().await;
        page.reload().await?;
        page.see_words("go-pool", "Becken").await?;
        let kept: Vec<String> = page.run_async(NEWER).await?.expect("its copy");
        let has = |name: &str| kept.iter().any(|address| address.ends_with(name));
        assert!(has(name) && has(OTHER), "by the names that they have there: {kept:?}");
        Ok(())
    })
    .await;
}
