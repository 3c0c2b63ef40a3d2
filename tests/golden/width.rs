//! No line of a report for people is wider than asked, in any command at any width.

use unicode_width::UnicodeWidthStr;

use crate::testkit::run;

/// Every command that prints a report, with what it needs beside the files.
const REPORTS: &[&[&str]] = &[
    &["check"],
    &["match"],
    &["match", "--car", "UD-08"],
    &["match", "--crossing", "B-16"],
    &["match", "--car", "SS-111", "--crossing", "B-30"],
    &["rate", "--car", "UD-08", "--crossing", "B-07"],
    &["plan"],
    &["plan", "--full"],
    &["plan", "--crossing", "B-16", "B-38"],
    &["plan", "--budget", "300000"],
    &["prices", "--within", "600"],
    &["want"],
    &["spare"],
];

/// The narrowest that reports are made for, odd ones, those of terminals, and more than anything needs.
const WIDTHS: &[&str] = &["40", "57", "80", "100", "120", "200"];

/// Every line keeps the width, and holds no character that moves the cursor.
fn keeps(width: &str, args: &[&str], text: &str) {
    let most: usize = width.parse().unwrap();
    assert!(text.lines().count() > 3, "{args:?} printed {text:?}");
    for line in text.lines() {
        assert!(line.width() <= most, "{args:?} at {width}: {} wide\n{line}", line.width());
        assert!(!line.contains(char::is_control), "{args:?}: {line:?}");
    }
}

#[test]
fn no_line_of_any_report_is_wider_than_asked() {
    std::thread::scope(|scope| {
        for args in REPORTS {
            scope.spawn(move || {
                for width in WIDTHS {
                    let text = run::stdout(&run::demo(&[args, &["--width", width][..]].concat()));
                    keeps(width, args, &text);
                }
            });
        }
    });
}

#[test]
fn no_line_of_what_needs_no_files_is_wider_than_asked() {
    for args in [&["explain"][..], &["explain", "S05"], &["vehicles"]] {
        for width in WIDTHS {
            let args = [args, &["--width", width]].concat();
            let output = run::spanyard_in(std::path::Path::new("."), &args);
            keeps(width, &args, &run::stdout(&output));
        }
    }
}
