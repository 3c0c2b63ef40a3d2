//! The agency's mark at the head of its papers, carried in the page itself: a page needs no other file.

use std::fmt::Write;

/// More bytes than these are no mark for a letterhead.
const MOST: usize = 300_000;

/// Why a file is no mark.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NotALogo {
    /// Neither of the three kinds of picture.
    #[error("is no PNG, JPEG or SVG picture")]
    Kind,
    /// Too large.
    #[error("is larger than {} kB", MOST / 1000)]
    Large,
}

/// A picture as the address that a page carries it in. What it is, is told by its bytes, not its name.
///
/// # Errors
/// When it is no picture of a kind that every browser shows, or too large.
pub fn data_address(bytes: &[u8]) -> Result<String, NotALogo> {
    if bytes.len() > MOST {
        return Err(NotALogo::Large);
    }
    let kind = match bytes {
        [0x89, b'P', b'N', b'G', ..] => "png",
        [0xff, 0xd8, 0xff, ..] => "jpeg",
        // A picture shown as an image runs no script and loads nothing.
        _ if String::from_utf8_lossy(bytes).contains("<svg") => "svg+xml",
        _ => return Err(NotALogo::Kind),
    };
    Ok(format!("data:image/{kind};base64,{}", base64(bytes)))
}

/// Base 64 of RFC 4648.
fn base64(bytes: &[u8]) -> String {
    const DIGITS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut text = String::with_capacity(bytes.len().div_ceil(3) * 4);
    for group in bytes.chunks(3) {
        let byte = |at: usize| group.get(at).copied().map_or(0, u32::from);
        let bits = byte(0) << 16 | byte(1) << 8 | byte(2);
        for digit in 0..4 {
            let index = (bits >> (18 - 6 * digit)) & 63;
            let letter = char::from(DIGITS[index as usize]);
            // Writing to a text cannot fail.
            let _ = write!(text, "{}", if digit > group.len() { '=' } else { letter });
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The test vectors of RFC 4648, 10, from memory.
    #[test]
    fn base64_as_published() {
        for (text, expected) in [
            ("", ""),
            ("f", "Zg=="),
            ("fo", "Zm8="),
            ("foo", "Zm9v"),
            ("foob", "Zm9vYg=="),
            ("fooba", "Zm9vYmE="),
            ("foobar", "Zm9vYmFy"),
        ] {
            assert_eq!(base64(text.as_bytes()), expected);
        }
    }

    #[test]
    fn a_picture_is_known_by_its_bytes() {
        let of = |bytes: &[u8]| data_address(bytes).map(|text| text[..16].to_owned());
        assert_eq!(of(b"\x89PNG\r\n\x1a\n").as_deref(), Ok("data:image/png;b"));
        assert_eq!(of(b"\xff\xd8\xff\xe0").as_deref(), Ok("data:image/jpeg;"));
        assert_eq!(of(b"<?xml?><svg></svg>").as_deref(), Ok("data:image/svg+x"));
        assert_eq!(of(b"plain text"), Err(NotALogo::Kind));
        assert_eq!(of(&vec![0; 300_001]), Err(NotALogo::Large));
    }
}
