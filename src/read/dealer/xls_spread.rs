//! How far apart the cells of an XLS workbook stand and how much text they have, found without making
//! room for them.
//!
//! The file is a container of sectors (Microsoft's [MS-CFB]) with a stream of records ([MS-XLS]), as
//! both are published in Microsoft's open specifications (from memory). Only what leads to the cells
//! is read; a file that cannot be followed is refused, for it cannot be measured.

/// Chains end with this or a greater number.
const LAST_SECTOR: u32 = 0xFFFF_FFFA;

/// Streams below this size stand in the small sectors.
const SMALL_BELOW: u64 = 4096;

pub(super) fn u16_at(bytes: &[u8], at: usize) -> Option<u16> {
    Some(u16::from_le_bytes(bytes.get(at..at.checked_add(2)?)?.try_into().ok()?))
}

pub(super) fn u32_at(bytes: &[u8], at: usize) -> Option<u32> {
    Some(u32::from_le_bytes(bytes.get(at..at.checked_add(4)?)?.try_into().ok()?))
}

/// The container's sectors and their table.
struct Container<'b> {
    bytes: &'b [u8],
    sector: usize,
    table: Vec<u32>,
}

impl<'b> Container<'b> {
    fn sector(&self, number: u32) -> Option<&'b [u8]> {
        let start = (number as usize).checked_add(1)?.checked_mul(self.sector)?;
        // The last sector may be cut short.
        let end = start.checked_add(self.sector)?.min(self.bytes.len());
        self.bytes.get(start..end)
    }

    /// The bytes of a chain of sectors; no chain is longer than the file.
    fn chain(&self, first: u32) -> Option<Vec<u8>> {
        let mut out = Vec::new();
        let mut next = first;
        while next < LAST_SECTOR {
            out.extend_from_slice(self.sector(next)?);
            if out.len() > self.bytes.len() {
                return None;
            }
            next = *self.table.get(next as usize)?;
        }
        Some(out)
    }

    fn open(bytes: &'b [u8]) -> Option<Self> {
        let sector = 1_usize.checked_shl(u32::from(u16_at(bytes, 30)?).min(20))?;
        let mut container = Self { bytes, sector, table: Vec::new() };
        // The sectors of the table: the first 109 in the header, the others in sectors of their own.
        let mut places: Vec<u32> = (0..109).map_while(|at| u32_at(bytes, 76 + 4 * at)).collect();
        let mut more = u32_at(bytes, 68)?;
        let most = bytes.len() / sector + 1;
        for _ in 0..most {
            if more >= LAST_SECTOR {
                break;
            }
            let list = container.sector(more)?;
            let last = sector.checked_sub(4)?;
            places.extend((0..last / 4).map_while(|at| u32_at(list, 4 * at)));
            more = u32_at(list, last)?;
        }
        for place in places.into_iter().filter(|place| *place < LAST_SECTOR).take(most) {
            let list = container.sector(place)?;
            container.table.extend((0..sector / 4).map_while(|at| u32_at(list, 4 * at)));
        }
        Some(container)
    }

    /// The stream of the workbook's records.
    fn workbook(&self) -> Option<Vec<u8>> {
        let folder = self.chain(u32_at(self.bytes, 48)?)?;
        let name = |entry: &[u8]| -> Option<String> {
            let length = usize::from(u16_at(entry, 64)?).min(64).saturating_sub(2);
            let units: Vec<u16> = (0..length / 2).map_while(|at| u16_at(entry, 2 * at)).collect();
            Some(String::from_utf16_lossy(&units).to_lowercase())
        };
        let entries: Vec<&[u8]> = folder.chunks_exact(128).collect();
        let found = |word: &str| {
            entries.iter().find(|entry| name(entry).is_some_and(|name| name == word)).copied()
        };
        let entry = found("workbook").or_else(|| found("book"))?;
        let (first, size) = (u32_at(entry, 116)?, u64::from(u32_at(entry, 120)?));
        if size >= SMALL_BELOW {
            return self.chain(first);
        }
        let small = self.chain(u32_at(entries.first()?, 116)?)?;
        let table = self.chain(u32_at(self.bytes, 60)?)?;
        let mut out = Vec::new();
        let mut next = first;
        while next < LAST_SECTOR {
            let start = (next as usize).checked_mul(64)?;
            out.extend_from_slice(small.get(start..start.checked_add(64)?.min(small.len()))?);
            if out.len() > SMALL_BELOW as usize {
                return None;
            }
            next = u32_at(&table, (next as usize).checked_mul(4)?)?;
        }
        Some(out)
    }
}

/// Rows times columns of the range that a sheet states to be in use: the reader makes room for them
/// before it meets a cell. None if its end comes before its beginning.
fn stated(range: &[u8]) -> Option<u64> {
    let wide = range.len() > 10;
    let row = |at: usize| match wide {
        true => u32_at(range, 4 * at),
        false => u16_at(range, 2 * at).map(u32::from),
    };
    let column = |at: usize| u16_at(range, if wide { 8 } else { 4 } + 2 * at);
    let (first, end) = (row(0)?, row(1)?);
    let columns = u64::from(column(1)?);
    if first > end.saturating_sub(1) && end > 0 {
        return None;
    }
    Some(u64::from(end - first.min(end)) * columns)
}

/// What the reader of a workbook would make room for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Measure {
    /// Cells between the first row and column and the last ones in use, of all sheets.
    pub places: u64,
    /// Characters of the cells that take their text from the table that all share.
    pub characters: u64,
}

/// The stream of a workbook's records. None if the file cannot be followed.
pub(super) fn stream(bytes: &[u8]) -> Option<Vec<u8>> {
    Container::open(bytes)?.workbook()
}

/// Measures a workbook. None if the file cannot be followed.
pub(super) fn measure(bytes: &[u8]) -> Option<Measure> {
    const BEGIN: u16 = 0x0809;
    const STATED: u16 = 0x0200;
    const SHARED: u16 = 0x00FC;
    const GOES_ON: u16 = 0x003C;
    const OF_SHARED: u16 = 0x00FD;
    const SEVERAL: [u16; 2] = [0x00BD, 0x00BE];
    const ONE: [u16; 10] =
        [0x0006, 0x0406, 0x0206, 0x0201, 0x0203, 0x0204, 0x0205, 0x027E, 0x00FD, 0x00D6];
    let stream = stream(bytes)?;
    let mut found = Measure::default();
    let (mut most, mut rows, mut columns) = (0_u64, 0_u64, 0_u64);
    let mut shared: Vec<&[u8]> = Vec::new();
    let mut lengths = None;
    let mut at = 0;
    let mut before = 0;
    while let (Some(sort), Some(length)) = (u16_at(&stream, at), u16_at(&stream, at + 2)) {
        let start = at + 4;
        let end = start + usize::from(length);
        if sort == BEGIN {
            found.places += most;
            (most, rows, columns) = (0, 0, 0);
        } else if sort == STATED {
            most = most.max(stated(stream.get(start..end)?)?);
        } else if sort == SHARED || (sort == GOES_ON && before == SHARED) {
            shared.push(stream.get(start..end)?);
        } else if (ONE.contains(&sort) || SEVERAL.contains(&sort)) && length >= 6 {
            let last = if SEVERAL.contains(&sort) { end - 2 } else { start + 2 };
            if let (Some(row), Some(first), Some(last)) =
                (u16_at(&stream, start), u16_at(&stream, start + 2), u16_at(&stream, last))
            {
                rows = rows.max(u64::from(row) + 1);
                columns = columns.max(u64::from(first.max(last)) + 1);
                most = most.max(rows * columns);
            }
            if sort == OF_SHARED
                && let Some(text) = u32_at(&stream, start + 6)
            {
                let lengths = lengths.get_or_insert_with(|| lengths_of(&shared));
                let length = lengths.get(text as usize).copied().unwrap_or_default();
                found.characters += u64::from(length);
            }
        }
        // A record that goes on with another one is of its kind.
        before = if sort == GOES_ON { before } else { sort };
        at = end;
    }
    found.places += most;
    Some(found)
}

/// Characters of each text of the shared table, whose record and its continuations these are; of as
/// many as can be followed. A text that goes on in the next record has a byte of flags there again.
fn lengths_of(records: &[&[u8]]) -> Vec<u16> {
    let mut lengths = Vec::new();
    let (mut record, mut at) = (0, 8);
    while let Some(bytes) = records.get(record) {
        let (Some(length), Some(&flags)) = (u16_at(bytes, at), bytes.get(at + 2)) else {
            (record, at) = (record + 1, 0);
            continue;
        };
        at += 3;
        let (mut runs, mut extra) = (0, 0);
        if flags & 8 != 0 {
            runs = usize::from(u16_at(bytes, at).unwrap_or_default());
            at += 2;
        }
        if flags & 4 != 0 {
            extra = u32_at(bytes, at).unwrap_or_default() as usize;
            at += 4;
        }
        lengths.push(length);
        let (mut left, mut wide) = (usize::from(length), flags & 1 != 0);
        loop {
            let size = if wide { 2 } else { 1 };
            let room = records.get(record).map_or(0, |bytes| bytes.len().saturating_sub(at) / size);
            let here = left.min(room);
            (left, at) = (left - here, at + here * size);
            if left == 0 || record >= records.len() {
                break;
            }
            record += 1;
            wide = records.get(record).and_then(|bytes| bytes.first()).is_some_and(|f| f & 1 != 0);
            at = 1;
        }
        // What belongs to the text behind it may go on too, without flags.
        let mut skip = runs.saturating_mul(4).saturating_add(extra);
        while let Some(bytes) = records.get(record) {
            let here = skip.min(bytes.len().saturating_sub(at));
            (skip, at) = (skip - here, at + here);
            if skip == 0 {
                break;
            }
            (record, at) = (record + 1, 0);
        }
    }
    lengths
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_spread_of_two_sheets() {
        for (bytes, expected) in [
            (&include_bytes!("../../../tests/read/list.xls")[..], Some(25)),
            (include_bytes!("../../../tests/read/far.xls"), Some(65_536 * 256)),
            (b"\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1", None),
        ] {
            assert_eq!(measure(bytes).map(|found| found.places), expected);
        }
    }

    #[test]
    fn texts_of_the_shared_table_go_on_from_record_to_record() {
        // Two texts in all; the first with two runs, its characters cut after two of four, then wide.
        let first = b"\x02\0\0\0\x02\0\0\0\x04\0\x08\x02\0ab";
        let second = b"\x01c\x00d\x0012345678\x03\x00\x00xyz";
        assert_eq!(lengths_of(&[first, second]), [4, 3]);
        assert_eq!(lengths_of(&[&first[..]]), [4]);
        assert_eq!(lengths_of(&[]), [0_u16; 0]);
    }

    proptest::proptest! {
        #[test]
        fn no_change_is_too_strange(changes in proptest::collection::vec((0_usize..6000, 0_u8..=255), 1..30)) {
            let mut bytes = include_bytes!("../../../tests/read/list.xls").to_vec();
            for (at, byte) in changes {
                let at = at % bytes.len();
                bytes[at] = byte;
            }
            let _ = measure(&bytes);
        }
    }
}
