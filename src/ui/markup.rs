//! Markup written as text. Where there are many like elements that change together, one by one would
//! cost the app too much; they are written as a text that the browser reads.
//!
//! This is the only way for such a text into the page: `<g inner_html=move || …></g>` takes nothing else. Nothing that it is
//! made of, a builder's name least of all, can end the attribute or the text that it is in.

use std::fmt::{self, Display, Write};
use std::ops::AddAssign;

/// Elements and words, as markup.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Markup(String);

/// An attribute's name and its value.
pub(crate) type Attr<'a> = (&'static str, &'a dyn Display);

impl Markup {
    /// Words, whatever is in them.
    pub(crate) fn words(words: &str) -> Self {
        let mut text = String::new();
        escape(&mut text, &words);
        Self(text)
    }

    /// An element with what is in it.
    pub(crate) fn element(tag: &'static str, attributes: &[Attr<'_>], inside: &Self) -> Self {
        let mut text = format!("<{tag}");
        for (name, value) in attributes {
            text.extend([" ", name, "=\""]);
            escape(&mut text, value);
            text.push('"');
        }
        text.extend([">", &inside.0, "</", tag, ">"]);
        Self(text)
    }

    /// An element with nothing in it.
    pub(crate) fn empty(tag: &'static str, attributes: &[Attr<'_>]) -> Self {
        Self::element(tag, attributes, &Self::default())
    }

    /// As the browser reads it.
    pub(crate) fn into_string(self) -> String {
        self.0
    }

    #[cfg(test)]
    pub(crate) fn as_str(&self) -> &str {
        &self.0
    }
}

impl AddAssign for Markup {
    fn add_assign(&mut self, more: Self) {
        self.0.push_str(&more.0);
    }
}

impl FromIterator<Self> for Markup {
    fn from_iter<I: IntoIterator<Item = Self>>(pieces: I) -> Self {
        Self(pieces.into_iter().map(|piece| piece.0).collect())
    }
}

fn escape(into: &mut String, value: &dyn Display) {
    // Writing to a text cannot fail.
    let _written = write!(Escaping(into), "{value}");
}

/// Writes what it is given so that nothing in it is taken for markup.
struct Escaping<'a>(&'a mut String);

impl Write for Escaping<'_> {
    fn write_str(&mut self, text: &str) -> fmt::Result {
        let mut rest = text;
        while let Some(at) = rest.find(['&', '<', '>', '"', '\'']) {
            let (plain, special) = rest.split_at(at);
            let instead = match special.as_bytes().first() {
                Some(b'&') => "&amp;",
                Some(b'<') => "&lt;",
                Some(b'>') => "&gt;",
                Some(b'"') => "&quot;",
                _ => "&#39;",
            };
            self.0.extend([plain, instead]);
            rest = &special[1..];
        }
        self.0.push_str(rest);
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const NAME: &str = "Bob's \"fast\" <b>&amp;</b>";
    const HARMLESS: &str = "Bob&#39;s &quot;fast&quot; &lt;b&gt;&amp;amp;&lt;/b&gt;";

    #[test]
    fn a_name_ends_neither_the_attribute_nor_the_text_that_it_is_in() {
        let made = Markup::element("text", &[("class", &NAME), ("x", &1.5)], &Markup::words(NAME));
        assert_eq!(
            made.as_str(),
            format!("<text class=\"{HARMLESS}\" x=\"1.5\">{HARMLESS}</text>")
        );
    }

    #[test]
    fn a_value_written_in_pieces_is_made_harmless_piece_by_piece() {
        let made = Markup::empty("g", &[("id", &format_args!("a{}b{:.1}", "\"<", 2.0))]);
        assert_eq!(made.as_str(), "<g id=\"a&quot;&lt;b2.0\"></g>");
    }

    #[test]
    fn elements_lie_in_one_another_and_beside_one_another() {
        let mut made: Markup = ["a", "b"].map(Markup::words).into_iter().collect();
        made += Markup::element("p", &[], &Markup::empty("i", &[]));
        assert_eq!(made.as_str(), "ab<p><i></i></p>");
    }
}
