//! What the sheets of an XLSX workbook hide and strike through, which the workbook reader does not
//! tell. Names of parts, elements and attributes are those of ECMA-376, part 1, from memory.

use std::collections::HashMap;
use std::io::{BufRead, BufReader, Cursor, Read as _};

use quick_xml::events::{BytesStart, Event};
use quick_xml::{Reader, XmlVersion};
use zip::ZipArchive;

use super::kept::Marks;

type Archive<'b> = ZipArchive<Cursor<&'b [u8]>>;

/// The marks of all sheets, by name. What cannot be followed has none: the file was walked through
/// before, and the workbook reader tells what is wrong with it.
pub(super) fn marks(bytes: &[u8], most: u64) -> HashMap<String, Marks> {
    let mut found = HashMap::new();
    let Ok(mut archive) = ZipArchive::new(Cursor::new(bytes)) else { return found };
    let mut sheets = Vec::new();
    each(&mut archive, "xl/workbook.xml", most, |element| {
        if element.local_name().as_ref() == "sheet" {
            sheets.extend(attribute(element, "name").zip(attribute_like(element, "id")));
        }
    });
    let mut targets = HashMap::new();
    each(&mut archive, "xl/_rels/workbook.xml.rels", most, |element| {
        targets.extend(attribute(element, "Id").zip(attribute(element, "Target")));
    });
    let styles = struck_styles(&mut archive, most);
    let texts = struck_texts(&mut archive, most);
    for (name, id) in sheets {
        let Some(target) = targets.get(&id) else { continue };
        let path = match target.strip_prefix('/') {
            Some(path) => path.to_owned(),
            None => format!("xl/{}", target.trim_start_matches("./")),
        };
        found.insert(name, of_sheet(&mut archive, &path, most, (&styles, &texts)));
    }
    found
}

/// Hands over each element of a part as it begins.
fn each(archive: &mut Archive<'_>, path: &str, most: u64, mut take: impl FnMut(&BytesStart<'_>)) {
    events(archive, path, most, |event| {
        if let Event::Start(element) | Event::Empty(element) = event {
            take(element);
        }
    });
}

/// Hands over each event of a part, up to the first that is no XML.
fn events(archive: &mut Archive<'_>, path: &str, most: u64, mut take: impl FnMut(&Event<'_>)) {
    let named = |archive: &mut Archive<'_>, at: usize| {
        let part = archive.by_index(at).ok()?;
        part.name().ok().map(|name| name.eq_ignore_ascii_case(path))
    };
    let Some(at) = (0..archive.len()).find(|&at| named(archive, at) == Some(true)) else { return };
    let Ok(part) = archive.by_index(at) else { return };
    walk(BufReader::new(part.take(most)), &mut take);
}

fn walk(part: impl BufRead, take: &mut impl FnMut(&Event<'_>)) {
    let mut reader = Reader::from_reader(part);
    let mut buffer = Vec::new();
    loop {
        buffer.clear();
        match reader.read_event_into(&mut buffer) {
            Ok(Event::Eof) | Err(_) => return,
            Ok(event) => take(&event),
        }
    }
}

fn attribute(element: &BytesStart<'_>, name: &str) -> Option<String> {
    let found = element.try_get_attribute(name).ok()??;
    found.normalized_value(XmlVersion::Implicit1_0).ok().map(Into::into)
}

/// The attribute of this name in any namespace.
fn attribute_like(element: &BytesStart<'_>, name: &str) -> Option<String> {
    let mut all = element.attributes().flatten();
    let found = all.find(|one| one.key.local_name().as_ref() == name)?;
    found.normalized_value(XmlVersion::Implicit1_0).ok().map(Into::into)
}

fn number(element: &BytesStart<'_>, name: &str) -> Option<u32> {
    attribute(element, name)?.parse().ok()
}

/// Whether an attribute or element says yes; alone it does.
fn is_on(value: Option<&str>) -> bool {
    !matches!(value, Some("0" | "false" | "off"))
}

/// For each cell style, whether its text is struck through.
fn struck_styles(archive: &mut Archive<'_>, most: u64) -> Vec<bool> {
    let (mut fonts, mut styles) = (Vec::new(), Vec::new());
    let (mut in_fonts, mut in_cells) = (false, false);
    events(archive, "xl/styles.xml", most, |event| {
        let (element, begins) = match event {
            Event::Start(element) | Event::Empty(element) => (element, true),
            Event::End(end) => {
                match end.local_name().as_ref() {
                    "fonts" => in_fonts = false,
                    "cellXfs" => in_cells = false,
                    _ => {}
                }
                return;
            }
            _ => return,
        };
        match element.local_name().as_ref() {
            "fonts" => in_fonts = begins,
            "cellXfs" => in_cells = begins,
            "font" if in_fonts => fonts.push(false),
            "strike" if in_fonts => {
                let on = is_on(attribute(element, "val").as_deref());
                if let Some(last) = fonts.last_mut() {
                    *last = on;
                }
            }
            "xf" if in_cells => {
                let font = number(element, "fontId").unwrap_or_default() as usize;
                styles.push(fonts.get(font).copied().unwrap_or_default());
            }
            _ => {}
        }
    });
    styles
}

/// For each shared text, whether every piece of it is struck through.
fn struck_texts(archive: &mut Archive<'_>, most: u64) -> Vec<bool> {
    let mut texts = Vec::new();
    let mut pieces = Pieces::default();
    events(archive, "xl/sharedStrings.xml", most, |event| {
        if let Event::Start(element) | Event::Empty(element) = event
            && element.local_name().as_ref() == "si"
        {
            pieces = Pieces::default();
        }
        pieces.take(event);
        let ends = match event {
            Event::End(end) => end.local_name().as_ref() == "si",
            Event::Empty(element) => element.local_name().as_ref() == "si",
            _ => false,
        };
        if ends {
            texts.push(pieces.all_struck());
        }
    });
    texts
}

/// The pieces of a text, of which some may be struck through.
#[derive(Default)]
struct Pieces {
    in_properties: bool,
    struck: bool,
    all: usize,
    of_them_struck: usize,
}

impl Pieces {
    fn take(&mut self, event: &Event<'_>) {
        match event {
            Event::Start(element) | Event::Empty(element) => match element.local_name().as_ref() {
                "r" => self.struck = false,
                "rPr" => self.in_properties = matches!(event, Event::Start(_)),
                "strike" if self.in_properties => {
                    self.struck = is_on(attribute(element, "val").as_deref());
                }
                "t" => {
                    self.all += 1;
                    self.of_them_struck += usize::from(self.struck);
                }
                _ => {}
            },
            Event::End(end) if end.local_name().as_ref() == "rPr" => self.in_properties = false,
            _ => {}
        }
    }

    fn all_struck(&self) -> bool {
        self.all > 0 && self.all == self.of_them_struck
    }
}

/// Row and column of a reference like `C7`, from 0.
fn place(reference: &str) -> Option<(u32, u32)> {
    let digits = reference.find(|c: char| c.is_ascii_digit())?;
    let (letters, row) = reference.split_at(digits);
    let column = letters.bytes().try_fold(0_u32, |column, letter| {
        let letter = letter.to_ascii_uppercase();
        let value = letter.is_ascii_uppercase().then(|| u32::from(letter - b'A') + 1)?;
        column.checked_mul(26)?.checked_add(value)
    })?;
    Some((row.parse::<u32>().ok()?.checked_sub(1)?, column.checked_sub(1)?))
}

fn of_sheet(
    archive: &mut Archive<'_>,
    path: &str,
    most: u64,
    (styles, texts): (&[bool], &[bool]),
) -> Marks {
    /// More columns than this no list has.
    const MOST_COLUMNS: u32 = 2_000;
    let mut marks = Marks::default();
    let (mut row, mut column) = (0, 0);
    // The cell that is open: its place, and whether its text is one of the shared ones.
    let mut cell = None;
    let mut in_value = false;
    let mut pieces = Pieces::default();
    events(archive, path, most, |event| {
        let element = match event {
            Event::Start(element) | Event::Empty(element) => element,
            Event::Text(text) if in_value => {
                if let (Some((at, true)), Ok(shared)) = (cell, text.trim().parse::<usize>())
                    && texts.get(shared) == Some(&true)
                {
                    marks.struck.insert(at);
                }
                return;
            }
            Event::End(end) => {
                match end.local_name().as_ref() {
                    "row" => (row, column) = (row + 1, 0),
                    "v" => in_value = false,
                    "is" => {
                        if let (Some((at, _)), true) = (cell, pieces.all_struck()) {
                            marks.struck.insert(at);
                        }
                    }
                    _ => pieces.take(event),
                }
                return;
            }
            _ => return,
        };
        let name = element.local_name();
        let empty = matches!(event, Event::Empty(_));
        match name.as_ref() {
            "col" => {
                let hidden = attribute(element, "hidden").is_some_and(|on| is_on(Some(&on)))
                    || attribute(element, "width").is_some_and(|width| width.parse() == Ok(0.0));
                if let (true, Some(first), Some(last)) =
                    (hidden, number(element, "min"), number(element, "max"))
                {
                    let columns = first.saturating_sub(1)..last.min(MOST_COLUMNS);
                    marks.hidden_columns.extend(columns);
                }
            }
            "row" => {
                row = number(element, "r").map_or(row, |row| row.saturating_sub(1));
                column = 0;
                let hidden = attribute(element, "hidden").is_some_and(|on| is_on(Some(&on)))
                    || attribute(element, "ht").is_some_and(|height| height.parse() == Ok(0.0));
                if hidden {
                    marks.hidden_rows.insert(row);
                }
                if empty {
                    row += 1;
                }
            }
            "c" => {
                let at = attribute(element, "r").and_then(|at| place(&at)).unwrap_or((row, column));
                column = at.1 + 1;
                let style = number(element, "s").unwrap_or_default() as usize;
                if styles.get(style) == Some(&true) {
                    marks.struck.insert(at);
                }
                let shared = attribute(element, "t").as_deref() == Some("s");
                cell = Some((at, shared));
            }
            "v" => in_value = !empty,
            "is" => pieces = Pieces::default(),
            _ => pieces.take(event),
        }
    });
    marks
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn references_of_cells() {
        for (reference, expected) in [
            ("A1", Some((0, 0))),
            ("C7", Some((6, 2))),
            ("AB12", Some((11, 27))),
            ("A0", None),
            ("7", None),
            ("A", None),
            ("é1", None),
        ] {
            assert_eq!(place(reference), expected, "{reference}");
        }
    }

    #[test]
    fn a_text_is_struck_where_all_its_pieces_are() {
        for (xml, expected) in [
            ("<si><r><rPr><strike/></rPr><t>P3</t></r></si>", true),
            ("<si><r><rPr><strike val=\"0\"/></rPr><t>P3</t></r></si>", false),
            ("<si><r><rPr><strike/></rPr><t>9500</t></r><r><t> 8900</t></r></si>", false),
            ("<si><t>P3</t></si>", false),
        ] {
            let mut pieces = Pieces::default();
            walk(xml.as_bytes(), &mut |event| pieces.take(event));
            assert_eq!(pieces.all_struck(), expected, "{xml}");
        }
    }
}
