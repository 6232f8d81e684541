//! The words of the app, as they stand in `locale/`.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

/// The texts of a language by their keys.
pub(crate) type Words = BTreeMap<String, String>;

/// All languages by their codes: the last part of a file's name before its ending.
pub(crate) fn languages() -> BTreeMap<String, Words> {
    let mut all: BTreeMap<String, Words> = BTreeMap::new();
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("locale");
    for file in fs::read_dir(folder).expect("a folder of words") {
        let path = file.expect("a file of it").path();
        let stem = path.file_stem().expect("a name").to_string_lossy().into_owned();
        let (_, language) = stem.rsplit_once('.').expect("a subject and a language");
        let words = all.entry(language.to_owned()).or_default();
        let text = fs::read_to_string(&path).unwrap_or_else(|e| panic!("{stem}: {e}"));
        let tables: toml::Table = text.parse().unwrap_or_else(|e| panic!("{stem}: {e}"));
        for (table, texts) in tables {
            let texts = texts.as_table().unwrap_or_else(|| panic!("{stem}: [{table}] is a table"));
            for (key, value) in texts {
                let key = format!("{table}.{key}");
                let value = value.as_str().unwrap_or_else(|| panic!("{stem}: {key} is a text"));
                let before = words.insert(key.clone(), value.to_owned());
                assert_eq!(before, None, "{key} is there twice in {language}");
            }
        }
    }
    all
}
