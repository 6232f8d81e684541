//! The bytes of a picture, in the file as text.

use super::content_name::content_name;
use super::field_tables::fields;
use super::fields::Extra;
use base64::Engine;
use base64::engine::general_purpose::STANDARD;

/// A picture's bytes.
#[derive(Debug, Clone, PartialEq)]
pub struct PictureBytes {
    /// What they are: a media type, `image/jpeg`.
    pub kind: String,
    /// The bytes in base64 (RFC 4648, section 4).
    pub base64: String,
    /// Fields of other versions.
    pub extra: Extra,
}

fields!(PictureBytes {
    needs kind,
    needs base64,
    .. extra
});

impl PictureBytes {
    /// Bytes of a kind.
    pub fn new(kind: impl Into<String>, bytes: &[u8]) -> Self {
        Self { kind: kind.into(), base64: STANDARD.encode(bytes), extra: Extra::new() }
    }

    /// The bytes; none when the text is not base64.
    pub fn bytes(&self) -> Option<Vec<u8>> {
        STANDARD.decode(&self.base64).ok()
    }
}

/// A name made of a picture's bytes: equal pictures have equal names.
pub fn picture_name(bytes: &[u8]) -> String {
    content_name("picture", bytes)
}
