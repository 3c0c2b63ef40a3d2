//! Files that want to use up the memory or the time, and bytes of any kind.

use std::io::{Cursor, Read as _, Write as _};

use proptest::prelude::*;
use spanyard::read::{SourceText, Sources, check, draft_mapping, read};

use crate::read::county::{TODAY, good, sources};

const MAPPING: &str = "encoding = \"windows-1252\"\n[constants]\ndealer = \"Sallowby Steel and Rail\"\nyard = \"Sallowby Spur\"\n";

fn inventory(name: &str, bytes: impl Into<Vec<u8>>) -> Sources {
    Sources { inventories: vec![SourceText::new(name, bytes)], lots: None, ..sources() }
}

fn only(files: &Sources) -> String {
    let problems = read(files, TODAY).expect_err("a problem");
    assert_eq!(problems.len(), 1, "{problems}");
    problems.to_string()
}

#[test]
fn a_million_rows_are_refused_before_they_are_read() {
    let expected = "cars.csv: D19 has 1,000,001 lines, and 200,000 is the most; split the list, or delete what is not part of it";
    for head in ["car,dealer,yard\n", "Car no.,Vendor,Yard name\n"] {
        let text = head.to_owned() + &"A,Drumfell Reclaim,Upper Drum\n".repeat(1_000_000);
        assert_eq!(only(&inventory("cars.csv", text)), expected);
    }
}

/// A packed file with these parts.
pub fn packed(parts: &[(&str, &[u8])]) -> Vec<u8> {
    let mut archive = zip::ZipWriter::new(Cursor::new(Vec::new()));
    let options = zip::write::SimpleFileOptions::default();
    for (name, bytes) in parts {
        archive.start_file(*name, options).unwrap();
        archive.write_all(bytes).unwrap();
    }
    archive.finish().unwrap().into_inner()
}

#[test]
fn a_workbook_that_unpacks_to_200_mb_is_refused() {
    let zeros = vec![b' '; 200 << 20];
    let bomb = packed(&[("xl/worksheets/sheet1.xml", &zeros)]);
    drop(zeros);
    assert!(bomb.len() < 1 << 20, "it should be small: {}", bomb.len());
    let expected =
        "cars.xlsx: D19 unpacks to more than 64 MB; save the one sheet with the cars as CSV";
    assert_eq!(only(&inventory("cars.xlsx", bomb)), expected);
    // The same with a size stated falsely, in the central directory and before the part.
    let mut liar = packed(&[("xl/worksheets/sheet1.xml", &vec![b' '; 200 << 20])]);
    let size = u32::to_le_bytes(200 << 20);
    let at: Vec<_> = (0..liar.len() - 4).filter(|at| liar[*at..*at + 4] == size).collect();
    assert!(!at.is_empty());
    for at in at {
        liar[at..at + 4].copy_from_slice(&u32::to_le_bytes(100));
    }
    let problem = only(&inventory("cars.xlsx", liar));
    assert!(
        problem.starts_with("cars.xlsx: D19 ") || problem.starts_with("cars.xlsx: D01 "),
        "{problem}"
    );
}

#[test]
fn cells_far_apart_cost_nothing() {
    let mut book = rust_xlsxwriter::Workbook::new();
    let sheet = book.add_worksheet();
    sheet.write(0, 0, "Car no.").unwrap();
    sheet.write(1_048_575, 16_383, "x").unwrap();
    let bytes = book.save_to_buffer().unwrap();
    let expected = "cars.xlsx:Sheet1!XFD1048576: D19 `x` stands beyond column 1,000, and 1,000 columns are the most; delete the columns that no car needs, or correct what separates the cells";
    assert_eq!(only(&inventory("cars.xlsx", bytes)), expected);
    // Within the columns, and still more room than any list takes.
    let mut book = rust_xlsxwriter::Workbook::new();
    let sheet = book.add_worksheet();
    for row in 0..9_000 {
        sheet.write(row, 999, "x").unwrap();
    }
    let expected =
        "cars.xlsx: D19 has cells too far apart; save the one sheet with the cars as CSV";
    assert_eq!(only(&inventory("cars.xlsx", book.save_to_buffer().unwrap())), expected);
}

#[test]
fn a_header_of_a_million_cells_is_refused_at_once() {
    let most = "stands beyond column 1,000, and 1,000 columns are the most; delete the columns that no car needs, or correct what separates the cells";
    for (head, separator, column) in [
        ("car,dealer,yard", ',', 2_011),
        ("Car no.;Vendor;Yard name", ';', 2_020),
        ("Car no.\tVendor\tYard name", '\t', 2_020),
    ] {
        let wide = head.to_owned() + &format!("{separator}a").repeat(999_997);
        let text = format!("{wide}\n{}\n", wide.replace('a', "1"));
        let expected = format!("cars.csv:1:{column}: D19 `a` {most}");
        let files = inventory("cars.csv", text);
        let start = std::time::Instant::now();
        assert_eq!(only(&files), expected);
        if separator != ',' {
            let problem = draft_mapping(&files.inventories[0]).unwrap_err();
            assert_eq!(problem.to_string(), expected);
        }
        // Minutes if all the names were looked up, where nothing is optimized.
        assert!(start.elapsed().as_secs() < 60, "{separator}: {:?}", start.elapsed());
    }
    // A row that is too wide under a header that is not.
    let text = format!("Car no.,Vendor,Yard name\nA,B,C{}\n", ",1".repeat(1_000));
    let expected = format!("cars.csv:2:2001: D19 `1` {most}");
    assert_eq!(only(&inventory("cars.csv", text)), expected);
    // As many columns as may be.
    let text = format!("car,dealer,yard{}\n", ",x_a".repeat(997));
    assert!(good(&inventory("cars.csv", text)).inputs.cars.is_empty());
}

#[test]
fn a_text_of_blank_cells_is_refused_before_it_is_read() {
    let text = "car,dealer,yard\n".to_owned() + &",".repeat(20_000_000);
    let expected = "cars.csv: D19 has more than 20,000,000 cells; split the list, or delete what is not part of it";
    assert_eq!(only(&inventory("cars.csv", text)), expected);
}

/// A small workbook, with what spreadsheets do to cells.
fn workbook() -> Vec<u8> {
    use rust_xlsxwriter::{ExcelDateTime, Format, Formula, Workbook};
    let mut book = Workbook::new();
    let sheet = book.add_worksheet().set_name("List").unwrap();
    for (column, header) in (0..).zip([
        "Car no.",
        "Length (ft)",
        "Valid until",
        "Price",
        "Vendor",
        "Yard name",
        "Wrecked",
    ]) {
        sheet.write(2, column, header).unwrap();
    }
    let dated = Format::new().set_num_format("d mmm yyyy");
    for (row, id) in [(3, 123.0), (4, 4567.0)] {
        sheet.write(row, 0, id).unwrap();
        sheet.write_formula(row, 1, Formula::new("=30*2").set_result("60")).unwrap();
        sheet.write(row, 4, "Drumfell Reclaim").unwrap();
        sheet.write(row, 5, "Upper Drum").unwrap();
        sheet.write(row, 6, false).unwrap();
    }
    sheet.write_with_format(3, 2, ExcelDateTime::from_ymd(2026, 8, 15).unwrap(), &dated).unwrap();
    sheet.write(4, 2, 46_249).unwrap();
    book.add_worksheet().set_name("Terms").unwrap().write(0, 0, "=cmd").unwrap();
    book.save_to_buffer().unwrap()
}

#[test]
fn a_workbook_with_formulas_dates_and_numbers_for_ids() {
    let reading = good(&inventory("cars.xlsx", workbook()));
    let cars = &reading.inputs.cars;
    assert_eq!(cars.len(), 2);
    for car in cars {
        assert_eq!(car.length.map(|length| length.0), Some(60.0));
        assert_eq!(car.quote_expires, Some(jiff::civil::date(2026, 8, 15)));
        assert_eq!(car.wrecked, Some(false));
    }
    let warnings: Vec<_> = reading.warnings.iter().map(ToString::to_string).collect();
    assert_eq!(
        warnings,
        [
            "cars.xlsx: D21 has a sheet Terms without known headers, which was not read; say `sheet = \"List\"` in the mapping if that is meant",
            "cars.xlsx:List!A4: D20 car: `123` and 1 more IDs are kept as numbers, which lose their leading zeros; compare with the stencils, and format the column as text",
            "cars.xlsx:List!C5: D20 quote_expires: `46249` is a bare number in a column of days and is taken as 2026-08-15; format the cell as a date",
        ]
    );
}

/// A workbook with one sheet, whose rows are these.
fn sheet_of(rows: &str) -> Vec<u8> {
    const RELATIONS: &str = "http://schemas.openxmlformats.org/package/2006/relationships";
    const OFFICE: &str = "http://schemas.openxmlformats.org/officeDocument/2006/relationships";
    const MAIN: &str = "http://schemas.openxmlformats.org/spreadsheetml/2006/main";
    let relation = |kind: &str, target: &str| {
        format!(
            "<Relationships xmlns=\"{RELATIONS}\"><Relationship Id=\"r1\" Type=\"{OFFICE}/{kind}\" Target=\"{target}\"/></Relationships>"
        )
    };
    let book = format!(
        "<workbook xmlns=\"{MAIN}\" xmlns:r=\"{OFFICE}\"><sheets><sheet name=\"S\" sheetId=\"1\" r:id=\"r1\"/></sheets></workbook>"
    );
    let sheet = format!("<worksheet xmlns=\"{MAIN}\"><sheetData>{rows}</sheetData></worksheet>");
    packed(&[
        ("_rels/.rels", relation("officeDocument", "xl/workbook.xml").as_bytes()),
        ("xl/workbook.xml", book.as_bytes()),
        ("xl/_rels/workbook.xml.rels", relation("worksheet", "worksheets/s.xml").as_bytes()),
        ("xl/worksheets/s.xml", sheet.as_bytes()),
    ])
}

#[test]
fn a_formula_that_nobody_worked_out_is_no_empty_cell() {
    let row = |length: &str| {
        let text = |text: &str| format!("<c t=\"inlineStr\"><is><t>{text}</t></is></c>");
        let cells = |texts: [&str; 3]| texts.map(text).concat();
        let header = cells(["Car no.", "Vendor", "Yard name"]) + &text("Length (ft)");
        let car = cells(["S-1", "Drumfell Reclaim", "Upper Drum"]);
        sheet_of(&format!("<row>{header}</row><row>{car}{length}</row>"))
    };
    let problem = "cars.xlsx:S!D2: D04 length_ft: `=30*2` is a formula without a value; open the workbook in a spreadsheet and save it, or write the value";
    for cell in ["<c><f>30*2</f></c>", "<c><f>30*2</f><v></v></c>", "<c><f>30*2</f><v/></c>"] {
        assert_eq!(only(&inventory("cars.xlsx", row(cell))), problem, "{cell}");
    }
    // An empty text is a value, as IF(...; "") gives it.
    for (cell, length) in [
        ("<c><f>30*2</f><v>60</v></c>", Some(60.0)),
        ("<c t=\"str\"><f>IF(A2=1,60,\"\")</f><v></v></c>", None),
        ("<c/>", None),
    ] {
        let reading = good(&inventory("cars.xlsx", row(cell)));
        assert_eq!(reading.inputs.cars[0].length.map(|length| length.0), length, "{cell}");
    }
}

/// A workbook with the sheets Visible and Hidden, a list of one car on some of them.
fn with_hidden_sheet(lists: &[&str]) -> Vec<u8> {
    let mut book = rust_xlsxwriter::Workbook::new();
    for name in ["Visible", "Hidden"] {
        let sheet = book.add_worksheet().set_name(name).unwrap();
        sheet.set_hidden(name == "Hidden").write(0, 0, "Dear county").unwrap();
        if !lists.contains(&name) {
            continue;
        }
        let cells = [
            ["Car no.", "Length (ft)", "Price", "Vendor", "Yard name"],
            [name, "60", "", "Drumfell Reclaim", "Upper Drum"],
        ];
        for (row, cells) in (1..).zip(cells) {
            for (column, cell) in (0..).zip(cells) {
                sheet.write(row, column, cell).unwrap();
            }
        }
    }
    book.save_to_buffer().unwrap()
}

#[test]
fn a_hidden_sheet_is_told_and_never_read_unasked() {
    let reading = good(&inventory("cars.xlsx", with_hidden_sheet(&["Visible", "Hidden"])));
    let ids: Vec<_> = reading.inputs.cars.iter().map(|car| car.id.as_str()).collect();
    assert_eq!(ids, ["Visible"]);
    let told = "cars.xlsx: D21 has a hidden sheet Hidden with known headers, which was not read; say `sheet = \"Visible\"` in the mapping if that is meant";
    assert!(reading.warnings.iter().any(|warning| warning.to_string() == told));
    assert_eq!(
        only(&inventory("cars.xlsx", with_hidden_sheet(&["Hidden"]))),
        "cars.xlsx: D21 has known headers in the hidden sheet Hidden alone; unhide and read it; say `sheet = \"Hidden\"` in a mapping if it is the list"
    );
}

#[test]
fn an_ods_file_is_read_and_one_with_its_cells_far_apart_is_refused() {
    let cell = |text: &str| {
        format!(
            "<table:table-cell office:value-type=\"string\"><text:p>{text}</text:p></table:table-cell>"
        )
    };
    let row = |repeated: u32, cells: &[&str]| {
        let cells: String = cells.iter().map(|text| cell(text)).collect();
        format!(
            "<table:table-row table:number-rows-repeated=\"{repeated}\">{cells}</table:table-row>"
        )
    };
    let book = |rows: &str| {
        let content = format!(
            "<?xml version=\"1.0\"?><office:document-content xmlns:office=\"urn:oasis:names:tc:opendocument:xmlns:office:1.0\" \
             xmlns:table=\"urn:oasis:names:tc:opendocument:xmlns:table:1.0\" xmlns:text=\"urn:oasis:names:tc:opendocument:xmlns:text:1.0\">\
             <office:body><office:spreadsheet><table:table table:name=\"List\">{rows}</table:table></office:spreadsheet></office:body>\
             </office:document-content>"
        );
        let manifest = b"<?xml version=\"1.0\"?><manifest:manifest xmlns:manifest=\"urn:oasis:names:tc:opendocument:xmlns:manifest:1.0\"/>";
        packed(&[
            ("mimetype", b"application/vnd.oasis.opendocument.spreadsheet"),
            ("META-INF/manifest.xml", manifest),
            ("content.xml", content.as_bytes()),
        ])
    };
    let head = row(1, &["Car no.", "Vendor", "Yard name", "Length"]);
    let car = row(1, &["A-1", "Drumfell Reclaim", "Upper Drum", "60'-6\""]);
    let reading = good(&inventory("cars.ods", book(&format!("{head}{car}"))));
    assert_eq!(reading.inputs.cars[0].length.map(|length| length.0), Some(60.5));
    assert_eq!(reading.inputs.cars[0].place.to_string(), "cars.ods:List:2");
    let far =
        format!("{head}{}{car}", row(1_000_000, &["x", "x", "x", "x", "x", "x", "x", "x", "x"]));
    let expected =
        "cars.ods: D19 has more than 200000 rows; save the one sheet with the cars as CSV";
    assert_eq!(only(&inventory("cars.ods", book(&far))), expected);
    let expected = "cars.ods: D19 has a cell of more than 32767 characters; save the one sheet with the cars as CSV";
    assert_eq!(
        only(&inventory("cars.ods", book(&format!("{head}{}", row(1, &[&"x".repeat(32_768)]))))),
        expected
    );
    // A formula that nobody worked out, a sheet that is not displayed, a note on a cell.
    let sheet = format!(
        "{head}<table:table-row>{}{}{}<table:table-cell table:formula=\"of:=30*2\"/></table:table-row>",
        cell("A-1"),
        cell("Drumfell Reclaim"),
        cell("Upper Drum"),
    );
    let problem = only(&inventory("cars.ods", book(&sheet)));
    assert!(
        problem.starts_with("cars.ods:List!D2: D04 length_ft: `=30*2` is a formula"),
        "{problem}"
    );
    let noted = format!(
        "{head}{}",
        row(1, &["A-1", "Drumfell Reclaim", "Upper Drum", "60 ft"]).replace(
            "<text:p>60 ft",
            "<office:annotation><text:p>ask him</text:p></office:annotation><text:p>60<text:s/>ft"
        )
    );
    let reading = good(&inventory("cars.ods", book(&noted)));
    assert_eq!(reading.inputs.cars[0].length.map(|length| length.0), Some(60.0));
}

#[test]
fn an_xls_file_is_read_and_one_with_its_cells_far_apart_is_refused() {
    // Written by a common library for XLS: a merged title, a header, a row of units, one car.
    let reading = good(&inventory("cars.xls", include_bytes!("list.xls").to_vec()));
    let car = &reading.inputs.cars[0];
    assert_eq!(car.length.map(|length| length.0), Some(60.5));
    assert_eq!(car.quote_expires, Some(jiff::civil::date(2026, 8, 15)));
    assert_eq!(car.place.to_string(), "cars.xls:List:5");
    // One cell in the first row and one in the last row and column.
    let expected = "cars.xls: D19 has cells too far apart; save the one sheet with the cars as CSV";
    assert_eq!(only(&inventory("cars.xls", include_bytes!("far.xls").to_vec())), expected);
}

/// `list.xls` with other bytes in the first of its records that begins so, behind this many of them.
fn spoilt_xls(record: &[u8], behind: usize, bytes: &[u8]) -> Vec<u8> {
    let mut book = include_bytes!("list.xls").to_vec();
    let at = book.windows(record.len()).position(|window| window == record).unwrap() + behind;
    book[at..at + bytes.len()].copy_from_slice(bytes);
    book
}

/// The reader of XLS panics on the first and would make room for 2^32 rows on the second, which ends
/// a program at once.
#[test]
fn a_workbook_that_breaks_its_reader_is_a_clean_problem() {
    let folder = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("hostile");
    std::fs::create_dir_all(&folder).unwrap();
    const BROKEN: &str = "D01 cannot be read as a workbook: its parts";
    for (name, book, expected) in [
        // The record of a sheet [MS-XLS 2.4.28], which begins with where the sheet stands.
        ("sheet.xls", spoilt_xls(&[0x85, 0], 4, &u32::to_le_bytes(0x00FF_FFFF)), BROKEN),
        // The record of the rows and columns in use [MS-XLS 2.4.90].
        ("rows.xls", spoilt_xls(&[0, 2, 14, 0], 8, &u32::to_le_bytes(u32::MAX)), "D19 has cells"),
        ("back.xls", spoilt_xls(&[0, 2, 14, 0], 4, &u32::to_le_bytes(u32::MAX)), BROKEN),
    ] {
        let path = folder.join(name);
        std::fs::write(&path, book).unwrap();
        let mut command = std::process::Command::new(env!("CARGO_BIN_EXE_spanyard"));
        let output = command.arg("check").arg(&path).output().unwrap();
        let (stdout, stderr) =
            (String::from_utf8(output.stdout).unwrap(), String::from_utf8(output.stderr).unwrap());
        assert_eq!((output.status.code(), stderr.as_str()), (Some(2), ""), "{name}");
        assert!(stdout.contains(expected), "{name}: {stdout}");
    }
}

#[test]
fn a_file_of_nothing_but_faults_is_not_read_to_its_end() {
    let text =
        String::from("car,dealer,yard,width_ft,length_ft\n") + &"A,b,c,x,x\n".repeat(190_000);
    let problems = read(&inventory("cars.csv", text), TODAY).expect_err("a problem");
    assert!(problems.len() < 200_100, "{}", problems.len());
    assert!(problems.iter().any(|problem| problem.code.to_string() == "D19"));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    /// Dealers' lists of any bytes never panic, whether for the reader or for the draft.
    #[test]
    fn no_bytes_are_too_strange(
        bytes in proptest::collection::vec(any::<u8>(), 0..300),
        typed in "[ ,;\t\"\n0-9'ft./½-]{0,120}",
        mapped in any::<bool>(),
    ) {
        let heads: [&[u8]; 5] = [b"", b"Car no.,Length (ft),Price\n", b"Car no.;Length;Avail.\n", b"\xFF\xFE", b"PK\x03\x04"];
        for head in heads {
            for tail in [&bytes[..], typed.as_bytes()] {
                let bytes = [head, tail].concat();
                let mut files = inventory("list.csv", bytes);
                if mapped {
                    files.mappings = vec![SourceText::new("list.mapping.toml", MAPPING)];
                }
                let checked = check(&files, TODAY);
                // Nothing gets lost: without a problem, each row is a car or has its reason.
                if let Ok(reading) = read(&files, TODAY) {
                    let file = &reading.files[0];
                    prop_assert_eq!(file.rows, reading.inputs.cars.len() + file.not_taken.len());
                }
                prop_assert!(checked.files[0].rows < 1000);
                let _ = draft_mapping(&files.inventories[0]);
            }
        }
    }

    /// Sound workbooks with bytes changed, packed and within their packing, give an answer and never
    /// a panic.
    #[test]
    fn no_workbook_is_too_broken(
        changes in proptest::collection::vec((any::<proptest::sample::Index>(), any::<u8>()), 1..20),
    ) {
        let spoilt = |bytes: &mut [u8]| {
            for (at, byte) in &changes {
                if !bytes.is_empty() {
                    bytes[at.index(bytes.len())] = *byte;
                }
            }
        };
        let (mut xlsx, mut xls) = (workbook(), include_bytes!("list.xls").to_vec());
        let mut archive = zip::ZipArchive::new(Cursor::new(xlsx.clone())).unwrap();
        let parts: Vec<(String, Vec<u8>)> = (0..archive.len())
            .map(|at| {
                let mut part = archive.by_index(at).unwrap();
                let (name, mut bytes) = (part.name().unwrap().into_owned(), Vec::new());
                part.read_to_end(&mut bytes).unwrap();
                if name.contains("sheet1") || name.contains("sharedStrings") {
                    spoilt(&mut bytes);
                }
                (name, bytes)
            })
            .collect();
        let parts: Vec<_> = parts.iter().map(|(name, bytes)| (name.as_str(), &bytes[..])).collect();
        let repacked = packed(&parts);
        spoilt(&mut xlsx);
        spoilt(&mut xls);
        for (name, bytes) in [("cars.xlsx", xlsx), ("cars.xlsx", repacked), ("cars.xls", xls)] {
            let files = inventory(name, bytes);
            let _ = read(&files, TODAY);
            let _ = draft_mapping(&files.inventories[0]);
        }
    }
}
