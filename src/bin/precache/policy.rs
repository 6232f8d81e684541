//! The page's Content-Security-Policy: which scripts and styles that stand in the page itself may
//! run. Trunk writes one of them, with names that change, so the policy is completed after it.

use crate::sha256::named;

/// Blanks of the policy in `index.html`, and the elements whose contents they allow.
const BLANKS: [(&str, &str); 2] = [("'INLINE-SCRIPTS'", "script"), ("'INLINE-STYLES'", "style")];

/// The page with the blanks of its policy filled; what is wrong if it has none.
pub(crate) fn fill_policy(page: &str) -> Result<String, String> {
    let mut filled = page.to_owned();
    for (blank, tag) in BLANKS {
        if page.matches(blank).count() != 1 {
            return Err(format!("index.html must have the blank {blank} once, in its policy"));
        }
        let allowed: Vec<String> =
            inline(page, tag).map(|text| format!("'{}'", named(text.as_bytes()))).collect();
        filled = filled.replace(blank, &allowed.join(" "));
    }
    Ok(filled)
}

/// The contents of the elements of a kind that have them in the page, not in a file.
fn inline<'a>(page: &'a str, tag: &str) -> impl Iterator<Item = &'a str> {
    let (open, close) = (format!("<{tag}"), format!("</{tag}"));
    let mut rest = page;
    std::iter::from_fn(move || {
        let start = rest.find(&open)? + open.len();
        let (attributes, after) = rest[start..].split_once('>')?;
        let (contents, after) = after.split_once(&close)?;
        rest = after;
        Some((attributes, contents))
    })
    .filter(|(attributes, _)| !attributes.contains(" src="))
    .map(|(_, contents)| contents)
}

#[cfg(test)]
mod tests {
    use super::*;

    const PAGE: &str = "<meta content=\"script-src 'self' 'INLINE-SCRIPTS'; style-src \
        'INLINE-STYLES'\"><style>p{}</style><script type=module src=a.js></script>\
        <script type=module>abc</script><script></script>";

    #[test]
    fn each_script_and_style_in_the_page_is_allowed_by_its_contents() {
        let filled = fill_policy(PAGE).unwrap();
        // Source: the digests of "abc" and of nothing, as in `sha256.rs`, in base64.
        let scripts = "script-src 'self' 'sha256-ungWv48Bz+pBQUDeXa4iI7ADYaOWF3qctBD/YfIAFa0=' \
            'sha256-47DEQpj8HBSa+/TImW+5JCeuQeRkm5NMpJWZG3hSuFU=';";
        assert!(filled.contains(scripts), "{filled}");
        let style = format!("style-src '{}'\"", named(b"p{}"));
        assert!(filled.contains(&style), "{filled}");
    }

    #[test]
    fn a_page_without_a_policy_is_refused() {
        let open = PAGE.replace("'INLINE-SCRIPTS'", "'unsafe-inline'");
        assert!(fill_policy(&open).is_err(), "a page that allows everything");
    }
}
