//! How far apart the cells of an XLS workbook stand, found without making room for them.
//!
//! The file is a container of sectors (Microsoft's [MS-CFB]) with a stream of records ([MS-XLS]), as
//! both are published in Microsoft's open specifications (from memory). Only what leads to the cells
//! is read; a file that cannot be followed is refused, for it cannot be measured.

/// Chains end with this or a greater number.
const LAST_SECTOR: u32 = 0xFFFF_FFFA;

/// Streams below this size stand in the small sectors.
const SMALL_BELOW: u64 = 4096;

fn u16_at(bytes: &[u8], at: usize) -> Option<u16> {
    Some(u16::from_le_bytes(bytes.get(at..at.checked_add(2)?)?.try_into().ok()?))
}

fn u32_at(bytes: &[u8], at: usize) -> Option<u32> {
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

/// Most cells between the first row and column and the last ones in use of any sheet. None if the
/// file cannot be followed.
pub(super) fn spread(bytes: &[u8]) -> Option<u64> {
    const BEGIN: u16 = 0x0809;
    const STATED: u16 = 0x0200;
    const SEVERAL: [u16; 2] = [0x00BD, 0x00BE];
    const ONE: [u16; 10] =
        [0x0006, 0x0406, 0x0206, 0x0201, 0x0203, 0x0204, 0x0205, 0x027E, 0x00FD, 0x00D6];
    let stream = Container::open(bytes)?.workbook()?;
    let (mut most, mut rows, mut columns) = (0_u64, 0_u64, 0_u64);
    let mut at = 0;
    while let (Some(sort), Some(length)) = (u16_at(&stream, at), u16_at(&stream, at + 2)) {
        let start = at + 4;
        let end = start + usize::from(length);
        if sort == BEGIN {
            (rows, columns) = (0, 0);
        } else if sort == STATED {
            most = most.max(stated(stream.get(start..end)?)?);
        } else if (ONE.contains(&sort) || SEVERAL.contains(&sort)) && length >= 6 {
            let last = if SEVERAL.contains(&sort) { end - 2 } else { start + 2 };
            if let (Some(row), Some(first), Some(last)) =
                (u16_at(&stream, start), u16_at(&stream, start + 2), u16_at(&stream, last))
            {
                rows = rows.max(u64::from(row) + 1);
                columns = columns.max(u64::from(first.max(last)) + 1);
                most = most.max(rows * columns);
            }
        }
        at = end;
    }
    Some(most)
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
            assert_eq!(spread(bytes), expected);
        }
    }

    proptest::proptest! {
        #[test]
        fn no_change_is_too_strange(changes in proptest::collection::vec((0_usize..6000, 0_u8..=255), 1..30)) {
            let mut bytes = include_bytes!("../../../tests/read/list.xls").to_vec();
            for (at, byte) in changes {
                let at = at % bytes.len();
                bytes[at] = byte;
            }
            let _ = spread(&bytes);
        }
    }
}
