//! What `spanyard new` makes.

use super::{demo, empty, run};

#[test]
fn new_makes_a_folder_that_its_own_steps_describe() {
    let at = empty("new");
    let (code, said, _) = run(&at, &["new", "mill creek"]);
    assert_eq!(code, 0);
    assert!(said.contains("spanyard check -C 'mill creek'"), "{said}");
    let folder = at.join("mill creek");
    let steps = std::fs::read_to_string(folder.join("README.md")).unwrap();
    let numbered = (1..=10).filter(|n| steps.contains(&format!("\n{n}. "))).count();
    assert_eq!(numbered, 10);
    for name in ["spanyard.toml", "crossings.xlsx", "yards.xlsx", "rules.toml"] {
        assert!(folder.join(name).is_file(), "{name}");
        assert!(name == "spanyard.toml" || steps.contains(name), "README.md is silent on {name}");
    }
    for name in ["lists", "papers"] {
        assert!(folder.join(name).is_dir(), "{name}");
    }
    // A second time would write over what was filled in.
    let (code, _, said) = run(&at, &["new", "mill creek"]);
    assert_eq!(code, 2);
    assert!(said.contains("nothing was written"), "{said}");
}

#[test]
fn a_new_folder_can_be_checked_before_anything_is_filled_in() {
    let at = empty("blank");
    run(&at, &["new", "."]);
    let (code, said, wrong) = run(&at, &["check"]);
    assert_eq!((code, wrong.as_str()), (0, ""), "{said}");
    assert!(said.contains("crossings.xlsx"), "{said}");
}

#[test]
fn the_templates_take_what_is_filled_in() {
    // The county's tables go into the templates, the lists into their folder: the plan is the same.
    let (from, at) = (demo("filled-from"), empty("filled"));
    run(&at, &["new", "."]);
    for entry in std::fs::read_dir(from.join("lists")).unwrap().map(Result::unwrap) {
        std::fs::copy(entry.path(), at.join("lists").join(entry.file_name())).unwrap();
    }
    for name in ["rules.toml", "lots.csv", "hauls.csv"] {
        std::fs::copy(from.join(name), at.join(name)).unwrap();
    }
    let named = std::fs::read_to_string(at.join("spanyard.toml")).unwrap();
    let named = named.replace("# lots = \"lots.xlsx\"", "lots = \"lots.csv\"");
    let named = named.replace("# hauls = ", "hauls = ");
    std::fs::write(at.join("spanyard.toml"), named).unwrap();
    for name in ["crossings", "yards"] {
        let text = std::fs::read_to_string(from.join(format!("{name}.csv"))).unwrap();
        std::fs::write(at.join(format!("{name}.xlsx")), workbook(&text)).unwrap();
    }
    let plan = |folder| {
        let (code, said, wrong) = run(folder, &["plan", "--format", "csv"]);
        assert_eq!(code, 1, "{wrong}");
        said
    };
    assert_eq!(plan(&at), plan(&from));
}

/// A table as a workbook: numbers as numbers, days as days.
fn workbook(text: &str) -> Vec<u8> {
    use rust_xlsxwriter::{ExcelDateTime, Format, Workbook};
    let mut book = Workbook::new();
    let sheet = book.add_worksheet();
    let dated = Format::new().set_num_format("m/d/yyyy");
    let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(text.as_bytes());
    for (row, record) in (0..).zip(reader.records().map(Result::unwrap)) {
        for (column, cell) in (0..).zip(record.iter()) {
            let day = cell.parse::<jiff::civil::Date>().ok();
            if let Some(day) = day {
                let (year, month, day) = (day.year() as u16, day.month() as u8, day.day() as u8);
                let day = ExcelDateTime::from_ymd(year, month, day).unwrap();
                sheet.write_with_format(row, column, &day, &dated).unwrap();
            } else if let Ok(number) = cell.parse::<f64>() {
                sheet.write(row, column, number).unwrap();
            } else {
                sheet.write(row, column, cell).unwrap();
            }
        }
    }
    book.save_to_buffer().unwrap()
}
