//! SHA-256, and its digests as a browser writes them. Here and not from a crate, because this tool is
//! compiled alone; a wrong digest would only make a browser refuse what the build wrote.
//!
//! Source: NIST FIPS 180-4, *Secure Hash Standard*, 2015, sections 4.1.2, 4.2.2, 5.3.3 and 6.2.2.

/// The first 32 bits of the fractional parts of the square roots of the first eight primes.
const START: [u32; 8] = [
    0x6a09e667, 0xbb67ae85, 0x3c6ef372, 0xa54ff53a, 0x510e527f, 0x9b05688c, 0x1f83d9ab, 0x5be0cd19,
];

/// Those of the cube roots of the first sixty-four.
const ROUNDS: [u32; 64] = [
    0x428a2f98, 0x71374491, 0xb5c0fbcf, 0xe9b5dba5, 0x3956c25b, 0x59f111f1, 0x923f82a4, 0xab1c5ed5,
    0xd807aa98, 0x12835b01, 0x243185be, 0x550c7dc3, 0x72be5d74, 0x80deb1fe, 0x9bdc06a7, 0xc19bf174,
    0xe49b69c1, 0xefbe4786, 0x0fc19dc6, 0x240ca1cc, 0x2de92c6f, 0x4a7484aa, 0x5cb0a9dc, 0x76f988da,
    0x983e5152, 0xa831c66d, 0xb00327c8, 0xbf597fc7, 0xc6e00bf3, 0xd5a79147, 0x06ca6351, 0x14292967,
    0x27b70a85, 0x2e1b2138, 0x4d2c6dfc, 0x53380d13, 0x650a7354, 0x766a0abb, 0x81c2c92e, 0x92722c85,
    0xa2bfe8a1, 0xa81a664b, 0xc24b8b70, 0xc76c51a3, 0xd192e819, 0xd6990624, 0xf40e3585, 0x106aa070,
    0x19a4c116, 0x1e376c08, 0x2748774c, 0x34b0bcb5, 0x391c0cb3, 0x4ed8aa4a, 0x5b9cca4f, 0x682e6ff3,
    0x748f82ee, 0x78a5636f, 0x84c87814, 0x8cc70208, 0x90befffa, 0xa4506ceb, 0xbef9a3f7, 0xc67178f2,
];

const BASE64: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";

/// The digest of some bytes.
pub(crate) fn sha256(bytes: &[u8]) -> [u8; 32] {
    let mut padded = bytes.to_vec();
    padded.push(0x80);
    while padded.len() % 64 != 56 {
        padded.push(0);
    }
    padded.extend((8 * bytes.len() as u64).to_be_bytes());
    let mut state = START;
    for block in padded.chunks_exact(64) {
        compress(&mut state, block);
    }
    let mut digest = [0; 32];
    for (place, word) in digest.chunks_exact_mut(4).zip(state) {
        place.copy_from_slice(&word.to_be_bytes());
    }
    digest
}

/// A digest as integrity attributes and policies have it.
pub(crate) fn named(bytes: &[u8]) -> String {
    format!("sha256-{}", base64(&sha256(bytes)))
}

fn compress(state: &mut [u32; 8], block: &[u8]) {
    let mut words = [0_u32; 64];
    for (word, bytes) in words.iter_mut().zip(block.chunks_exact(4)) {
        *word = bytes.iter().fold(0, |word, byte| (word << 8) | u32::from(*byte));
    }
    for t in 16..64 {
        let (early, late) = (words[t - 15], words[t - 2]);
        let early = early.rotate_right(7) ^ early.rotate_right(18) ^ (early >> 3);
        let late = late.rotate_right(17) ^ late.rotate_right(19) ^ (late >> 10);
        words[t] = sum([words[t - 16], early, words[t - 7], late]);
    }
    let [mut a, mut b, mut c, mut d, mut e, mut f, mut g, mut h] = *state;
    for (constant, word) in ROUNDS.into_iter().zip(words) {
        let turned = e.rotate_right(6) ^ e.rotate_right(11) ^ e.rotate_right(25);
        let first = sum([h, turned, (e & f) ^ (!e & g), constant, word]);
        let turned = a.rotate_right(2) ^ a.rotate_right(13) ^ a.rotate_right(22);
        let second = turned.wrapping_add((a & b) ^ (a & c) ^ (b & c));
        (h, g, f, e) = (g, f, e, d.wrapping_add(first));
        (d, c, b, a) = (c, b, a, first.wrapping_add(second));
    }
    for (word, added) in state.iter_mut().zip([a, b, c, d, e, f, g, h]) {
        *word = word.wrapping_add(added);
    }
}

fn sum<const N: usize>(words: [u32; N]) -> u32 {
    words.into_iter().fold(0, u32::wrapping_add)
}

fn base64(bytes: &[u8]) -> String {
    let mut text = String::new();
    for three in bytes.chunks(3) {
        let bits =
            (0..3).fold(0, |bits, k| (bits << 8) | three.get(k).map_or(0, |b| usize::from(*b)));
        for k in 0..4 {
            let letter = char::from(BASE64[(bits >> (18 - 6 * k)) & 63]);
            text.push(if k > three.len() { '=' } else { letter });
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: NIST, *Cryptographic Standards and Guidelines: Examples with Intermediate Values*,
    /// SHA-256; and FIPS 180-2, appendix B.3, for a million letters.
    #[test]
    fn digests_are_those_of_the_published_examples() {
        let million = "a".repeat(1_000_000);
        for (text, digest) in [
            ("", "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"),
            ("abc", "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"),
            (
                "abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq",
                "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1",
            ),
            (&million, "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0"),
        ] {
            let got = sha256(text.as_bytes()).map(|byte| format!("{byte:02x}")).concat();
            assert_eq!(got, digest, "of {} letters", text.len());
        }
    }

    /// Source: RFC 4648, section 10.
    #[test]
    fn base64_is_that_of_the_published_examples() {
        for (text, written) in [
            ("", ""),
            ("f", "Zg=="),
            ("fo", "Zm8="),
            ("foo", "Zm9v"),
            ("foob", "Zm9vYg=="),
            ("fooba", "Zm9vYmE="),
            ("foobar", "Zm9vYmFy"),
        ] {
            assert_eq!(base64(text.as_bytes()), written, "{text}");
        }
    }
}
