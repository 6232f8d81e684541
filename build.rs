//! Lays the words of `locale/` out as they are in the app: the keys in their order, and for each language the texts in
//! that order, one to a line.

fn main() {
    println!("cargo:rerun-if-changed=locale");
    #[cfg(feature = "web")]
    words::lay_out();
}

#[cfg(feature = "web")]
mod words {
    use std::collections::BTreeMap;
    use std::fs;
    use std::path::{Path, PathBuf};

    /// The texts of a language by their keys.
    type Words = BTreeMap<String, String>;

    /// Writes `words/keys` and `words/CODE` of each language where Cargo wants what is made.
    pub(super) fn lay_out() {
        let folder =
            PathBuf::from(std::env::var_os("OUT_DIR").expect("Cargo sets it")).join("words");
        fs::create_dir_all(&folder).expect("a folder of our own");
        let languages = languages();
        let keys: Vec<&String> = languages["en"].keys().collect();
        write(&folder.join("keys"), keys.iter().map(|key| key.as_str()));
        for (code, words) in &languages {
            assert!(words.keys().eq(keys.iter().copied()), "{code} has not the keys of English");
            write(&folder.join(code), words.values().map(String::as_str));
        }
    }

    fn write<'a>(file: &Path, lines: impl Iterator<Item = &'a str>) {
        fs::write(file, lines.collect::<Vec<_>>().join("\n")).expect("a file of our own");
    }

    /// All languages by their codes: the last part of a file's name before its ending.
    fn languages() -> BTreeMap<String, Words> {
        let mut all: BTreeMap<String, Words> = BTreeMap::new();
        for file in fs::read_dir("locale").expect("the words") {
            let path = file.expect("a file of them").path();
            let name = path.display().to_string();
            let code = name.trim_end_matches(".toml").rsplit('.').next().unwrap_or_default();
            let words = all.entry(code.to_owned()).or_default();
            let text = fs::read_to_string(&path).unwrap_or_else(|e| panic!("{name}: {e}"));
            let tables: toml::Table = text.parse().unwrap_or_else(|e| panic!("{name}: {e}"));
            for (table, texts) in tables {
                for (key, text) in texts.as_table().into_iter().flatten() {
                    let text = text.as_str().filter(|text| !text.contains('\n'));
                    let text =
                        text.unwrap_or_else(|| panic!("{name}: {table}.{key} is no line of text"));
                    words.insert(format!("{table}.{key}"), text.to_owned());
                }
            }
        }
        all
    }
}
