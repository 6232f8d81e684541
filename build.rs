//! Lays the words of `locale/` out as they are in the app: the keys in their order, and for each language the texts in
//! that order, one to a line. A list that is a file of its own begins with its name, in which is a digest of it and of
//! the keys: a list of other keys goes by another name.

#[cfg(feature = "web")]
#[path = "src/bin/precache/sha256.rs"]
#[expect(dead_code, reason = "the other tool of the build writes digests in base64")]
mod sha256;

fn main() {
    println!("cargo:rerun-if-changed=locale");
    println!("cargo:rerun-if-changed=src/bin/precache/sha256.rs");
    #[cfg(feature = "web")]
    words::lay_out();
}

#[cfg(feature = "web")]
mod words {
    use crate::sha256::sha256;
    use std::collections::BTreeMap;
    use std::fmt::Write as _;
    use std::fs;
    use std::path::{Path, PathBuf};

    /// The texts of a language by their keys.
    type Words = BTreeMap<String, String>;

    /// The language that is in the program itself.
    const FIRST: &str = "en";

    /// Writes `words/keys` and `words/CODE` of English where Cargo wants what is made, and `words/CODE.txt` and
    /// `words/CODE.name` of every other language.
    pub(super) fn lay_out() {
        let folder =
            PathBuf::from(std::env::var_os("OUT_DIR").expect("Cargo sets it")).join("words");
        fs::create_dir_all(&folder).expect("a folder of our own");
        let languages = languages();
        let keys = lines(languages[FIRST].keys());
        write(&folder.join("keys"), &keys);
        for (code, words) in &languages {
            assert!(words.keys().eq(languages[FIRST].keys()), "{code} has not the keys of English");
            let texts = lines(words.values());
            if code == FIRST {
                write(&folder.join(code), &texts);
            } else {
                let name = format!("words.{code}-{}.txt", digest(&format!("{keys}\n{texts}")));
                write(&folder.join(format!("{code}.txt")), &format!("{name}\n{texts}"));
                write(&folder.join(format!("{code}.name")), &name);
            }
        }
    }

    fn write(file: &Path, text: &str) {
        fs::write(file, text).expect("a file of our own");
    }

    fn lines<'a>(all: impl Iterator<Item = &'a String>) -> String {
        all.map(String::as_str).collect::<Vec<_>>().join("\n")
    }

    /// Enough of a text's digest to tell two lists apart.
    fn digest(text: &str) -> String {
        sha256(text.as_bytes()).iter().take(8).fold(String::new(), |mut all, byte| {
            write!(all, "{byte:02x}").expect("a text takes what is written");
            all
        })
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
