//! Cells of a county's workbook changed where they stand.

use std::collections::BTreeMap;
use std::io::{Cursor, Read as _};

use rust_xlsxwriter::{Color, ExcelDateTime, Format, Formula, Workbook};
use spanyard::folder::{NotKept, with_rows};
use spanyard::read::{FileKind, SourceText, as_written};

/// A workbook as an office keeps it: a title, the county's own words, a column of its own, a day kept as
/// a number, colors, and a second sheet.
fn office(formula: bool) -> SourceText {
    let mut book = Workbook::new();
    let bold = Format::new().set_bold().set_background_color(Color::RGB(0xE4E0D6));
    let day = Format::new().set_num_format("mm/dd/yyyy");
    let sheet = book.add_worksheet().set_name("Bridges & more").unwrap();
    sheet.write(0, 0, "Bridges to replace").unwrap();
    let header = ["Bridge ID", "Road", "Span (ft)", "Width (ft)", "Foreman", "Needed by"];
    for (at, words) in (0_u16..).zip(header) {
        sheet.write_with_format(2, at, words, &bold).unwrap();
    }
    for (row, (id, road, span)) in
        (3_u32..).zip([("B-1", "Mill Lane", 40.0), ("B-2", "Ford Road", 52.5)])
    {
        sheet.write(row, 0, id).unwrap();
        sheet.write(row, 1, road).unwrap();
        sheet.write(row, 2, span).unwrap();
        sheet.write(row, 3, 16).unwrap();
        sheet.write(row, 4, "P. <Kern>").unwrap();
        let needed = ExcelDateTime::from_ymd(2026, 9, 15).unwrap();
        sheet.write_with_format(row, 5, &needed, &day).unwrap();
    }
    if formula {
        sheet.write_formula(3, 7, Formula::new("=C4*2").set_result("80")).unwrap();
    }
    let other = book.add_worksheet().set_name("Notes").unwrap();
    other.write(0, 0, "Ask the foreman").unwrap();
    SourceText::new("bridges.xlsx", book.save_to_buffer().unwrap())
}

fn rows(source: &SourceText) -> Vec<Vec<String>> {
    let table = as_written(source, FileKind::Crossings).unwrap().unwrap();
    table.rows.into_iter().map(|row| row.cells).collect()
}

/// The parts of a workbook by name.
fn parts(bytes: &[u8]) -> BTreeMap<String, Vec<u8>> {
    let mut archive = zip::ZipArchive::new(Cursor::new(bytes)).unwrap();
    let names: Vec<String> = archive.file_names().flatten().map(Into::into).collect();
    let all = names.into_iter().map(|name| {
        let mut bytes = Vec::new();
        archive.by_name(&name).unwrap().read_to_end(&mut bytes).unwrap();
        (name, bytes)
    });
    all.collect()
}

#[test]
fn only_the_cells_that_changed_are_written() {
    let source = office(false);
    let table = as_written(&source, FileKind::Crossings).unwrap().unwrap();
    assert_eq!(table.sheet.as_deref(), Some("Bridges & more"));
    assert_eq!(table.header_row, 3);
    let ours: Vec<_> = table.columns.iter().map(|column| column.column).collect();
    let span = ours.iter().position(|ours| *ours == Some("span_ft")).unwrap();
    let foreman = table.columns.iter().position(|column| column.header == "Foreman").unwrap();
    let mut wanted = rows(&source);
    assert_eq!(wanted[1][span], "52.5");
    wanted[1][span] = "48".to_owned();
    wanted[0][1] = "Mill & Ford Lane <old>".to_owned();
    let mut new = vec![String::new(); wanted[0].len()];
    new[0] = "B-3".to_owned();
    new[foreman] = "P. Kern".to_owned();
    new[span] = "36.50".to_owned();
    wanted.push(new);
    let bytes = with_rows(&source, FileKind::Crossings, &wanted).unwrap();
    let after = SourceText::new("bridges.xlsx", bytes.as_slice());
    assert_eq!(rows(&after), wanted);
    let (before, after) = (parts(&source.bytes), parts(&bytes));
    let changed: Vec<_> = before.keys().filter(|name| before[*name] != after[*name]).collect();
    assert_eq!(changed, ["xl/worksheets/sheet1.xml"]);
    assert_eq!(before.len(), after.len());
    let sheet = |parts: &BTreeMap<String, Vec<u8>>| {
        String::from_utf8(parts["xl/worksheets/sheet1.xml"].clone()).unwrap()
    };
    let (before, after) = (sheet(&before), sheet(&after));
    // The day of the second row is still a day in its own format, and its span still a number.
    let cell = |sheet: &str, at: &str| {
        let from = sheet.find(&format!("r=\"{at}\"")).unwrap();
        sheet[from..].split("</c>").next().unwrap().to_owned()
    };
    assert_eq!(cell(&before, "F5"), cell(&after, "F5"));
    assert!(cell(&after, "C5").ends_with("<v>48</v>"), "{}", cell(&after, "C5"));
}

#[test]
fn an_emptied_row_is_gone_and_nothing_changed_is_nothing_written() {
    let source = office(false);
    let mut wanted = rows(&source);
    assert_eq!(with_rows(&source, FileKind::Crossings, &wanted).unwrap(), source.bytes);
    wanted[0].iter_mut().for_each(String::clear);
    let bytes = with_rows(&source, FileKind::Crossings, &wanted).unwrap();
    let left = rows(&SourceText::new("bridges.xlsx", bytes));
    assert_eq!(left, wanted[1..]);
}

#[test]
fn what_cannot_be_kept_is_left_alone() {
    let source = office(true);
    let mut wanted = rows(&source);
    wanted[0][1] = "Another road".to_owned();
    let refused = with_rows(&source, FileKind::Crossings, &wanted);
    assert!(matches!(refused, Err(NotKept::Formulas)), "{refused:?}");
    let text = SourceText::new("a.csv", "crossing,road\nB-1,Mill Lane\n");
    let refused = with_rows(&text, FileKind::Crossings, &[]);
    assert!(matches!(refused, Err(NotKept::OtherSort)), "{refused:?}");
    let refused = with_rows(&SourceText::new("a.xlsx", "PK\x03\x04 cut"), FileKind::Crossings, &[]);
    assert!(matches!(refused, Err(NotKept::Broken(_))), "{refused:?}");
}
