//! Names made from contents: equal contents have equal names, wherever they were made.

/// A name for bytes of a kind.
///
/// Source: Fowler, Noll & Vo, the FNV-1a hash of 64 bits (constants of RFC 9923).
pub(super) fn content_name(kind: &str, bytes: &[u8]) -> String {
    const BASIS: u64 = 0xcbf2_9ce4_8422_2325;
    const PRIME: u64 = 0x0000_0100_0000_01b3;
    let hash = bytes.iter().fold(BASIS, |hash, &b| (hash ^ u64::from(b)).wrapping_mul(PRIME));
    format!("{kind}-{hash:016x}-{}", bytes.len())
}
