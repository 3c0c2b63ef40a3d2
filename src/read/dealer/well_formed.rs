//! Whether a part of a packed workbook is whole XML, found by one walk that keeps nothing. Readers
//! that meet the end of a cut file in the middle of a cell have been seen to wait for more for ever.

use std::io::BufRead;

use quick_xml::Reader;
use quick_xml::events::Event;

/// Most elements inside one another; a sheet has ten.
const MOST_DEEP: usize = 200;

/// What is wrong with a part.
#[derive(Debug, PartialEq, Eq)]
pub(super) enum Fault {
    /// It is no whole XML, and why.
    Malformed(String),
    /// It has more elements than may be.
    TooMany,
}

/// Walks through a part that may have so many elements.
pub(super) fn walk(part: impl BufRead, most: u64) -> Result<(), Fault> {
    let mut reader = Reader::from_reader(part);
    let (mut buffer, mut depth, mut elements) = (Vec::new(), 0_usize, 0_u64);
    loop {
        buffer.clear();
        match reader.read_event_into(&mut buffer) {
            Err(error) => return Err(Fault::Malformed(error.to_string())),
            Ok(Event::Start(_)) => {
                (depth, elements) = (depth + 1, elements + 1);
                if depth > MOST_DEEP {
                    return Err(Fault::Malformed("its elements are nested too deeply".to_owned()));
                }
            }
            Ok(Event::Empty(_)) => elements += 1,
            Ok(Event::End(_)) => depth = depth.saturating_sub(1),
            Ok(Event::Eof) if depth > 0 => {
                return Err(Fault::Malformed("a part of it is cut off".to_owned()));
            }
            Ok(Event::Eof) => return Ok(()),
            Ok(_) => {}
        }
        if elements > most {
            return Err(Fault::TooMany);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn whole_cut_and_crooked_parts() {
        let cut = || Err(Fault::Malformed("a part of it is cut off".to_owned()));
        assert_eq!(walk(&b"<?xml version=\"1.0\"?><a><b c='>'/>x &amp; y</a>"[..], 9), Ok(()));
        assert_eq!(walk(&b"<a><b>text"[..], 9), cut());
        assert_eq!(walk(&b"<a>"[..], 9), cut());
        for crooked in [&b"<a></b>"[..], b"<a><b", b"<a><!-- ", b"</a>"] {
            assert!(matches!(walk(crooked, 9), Err(Fault::Malformed(_))), "{crooked:?}");
        }
        assert_eq!(walk(&b"<a><b/><b/></a>"[..], 2), Err(Fault::TooMany));
        let deep = "<a>".repeat(1_000);
        assert!(matches!(walk(deep.as_bytes(), 9_999), Err(Fault::Malformed(_))));
    }
}
