//! What pages are made of: frame, tables, forms, problems.

use askama::Template;
use spanyard::check::Check;
use spanyard::read::Problem;
use spanyard::report::page::Drawn;
use spanyard::words::for_page;

use super::exchange::Answer;

/// What stands around every page.
#[derive(Default)]
pub struct Frame {
    pub title: String,
    pub folder: String,
    pub stations: Vec<Station>,
    pub notices: Vec<Notice>,
    /// Whether the page loads itself again where scripts are off.
    pub refresh: bool,
    /// Whether what the page lacks is being worked out, so that it is asked for again.
    pub again: bool,
}

/// A page in the line of pages.
pub struct Station {
    pub name: &'static str,
    pub path: &'static str,
    pub here: bool,
}

/// A line above the page.
pub struct Notice {
    /// `alert`, `notice` or `done`.
    pub kind: &'static str,
    pub words: String,
    pub href: String,
    pub link: String,
}

impl Notice {
    pub fn new(kind: &'static str, words: impl Into<String>) -> Self {
        Self { kind, words: words.into(), href: String::new(), link: String::new() }
    }

    pub fn link(self, href: impl Into<String>, link: &str) -> Self {
        Self { href: href.into(), link: link.to_owned(), ..self }
    }
}

/// A cell of a table.
#[derive(Clone, Default)]
pub struct Cell {
    pub words: String,
    pub href: String,
    pub number: bool,
    pub head: bool,
}

/// Words in a cell.
pub fn text(words: impl Into<String>) -> Cell {
    Cell { words: words.into(), ..Cell::default() }
}

/// A figure in a cell.
pub fn figure(words: impl ToString) -> Cell {
    Cell { words: words.to_string(), number: true, ..Cell::default() }
}

/// What a row is about.
pub fn head(words: impl Into<String>) -> Cell {
    Cell { words: words.into(), head: true, ..Cell::default() }
}

impl Cell {
    /// The same, which leads somewhere.
    pub fn to(self, href: impl Into<String>) -> Self {
        Self { href: href.into(), ..self }
    }
}

/// A row.
#[derive(Clone, Default)]
pub struct Row {
    pub class: &'static str,
    pub cells: Vec<Cell>,
}

/// The head of a column.
#[derive(Clone)]
pub struct Head {
    pub words: String,
    pub number: bool,
}

/// A table.
#[derive(Clone, Default)]
pub struct Table {
    pub caption: String,
    pub class: &'static str,
    pub head: Vec<Head>,
    pub rows: Vec<Row>,
}

impl Table {
    /// An empty table; the heads of figures begin with `#`.
    pub fn new(caption: impl Into<String>, head: &[&'static str]) -> Self {
        let head = head.iter().map(|words| {
            let (words, number) = words.strip_prefix('#').map_or((*words, false), |w| (w, true));
            Head { words: words.to_owned(), number }
        });
        Self { caption: caption.into(), class: "", head: head.collect(), rows: Vec::new() }
    }

    pub fn row(&mut self, cells: Vec<Cell>) {
        self.rows.push(Row { class: "", cells });
    }

    pub fn classed(&mut self, class: &'static str, cells: Vec<Cell>) {
        self.rows.push(Row { class, cells });
    }
}

/// The columns of a table of checks.
pub const CHECK: [&str; 6] = ["Check", "Asked of", "Found", "Required", "Margin", "Remark"];

/// A check as a row.
pub fn check_row(check: &Check, subject: &str, found: &str) -> Row {
    let margin = check.margin.as_ref().map(ToString::to_string).unwrap_or_default();
    let code = check.code.id();
    let bars = check.outcome.bars();
    let class = if bars { "bad" } else { "" };
    let cells = vec![
        head(format!("{code} {}", check.title())).to(format!("/why?code={code}")),
        text(subject),
        text(check.measured.to_string()).to(found),
        text(check.limit.to_string()),
        text(margin),
        text(check.note.clone()),
    ];
    Row { class, cells }
}

/// A part of a long table.
#[derive(Default)]
pub struct Pager {
    pub page: usize,
    pub pages: usize,
    pub before: String,
    pub next: String,
}

impl Pager {
    /// The page asked for, from 1, and the rows on it.
    pub fn of(
        rows: usize,
        each: usize,
        asked: usize,
        href: impl Fn(usize) -> String,
    ) -> (Self, std::ops::Range<usize>) {
        let pages = rows.div_ceil(each).max(1);
        let page = asked.clamp(1, pages);
        let before = if page > 1 { href(page - 1) } else { String::new() };
        let next = if page < pages { href(page + 1) } else { String::new() };
        let first = (page - 1) * each;
        (Self { page, pages, before, next }, first..(first + each).min(rows))
    }
}

/// A choice of a form.
#[derive(Clone, Default)]
pub struct Choice {
    pub value: String,
    pub words: String,
    pub chosen: bool,
}

impl Choice {
    pub fn new(value: impl Into<String>, words: impl Into<String>, chosen: &str) -> Self {
        let value = value.into();
        let chosen = value == chosen;
        Self { chosen, words: words.into(), value }
    }
}

/// A field of a form.
#[derive(Clone, Default)]
pub struct Input {
    /// `text`, `needed`, `number`, `date`, `hidden` or `choice`.
    pub kind: &'static str,
    pub name: String,
    pub label: String,
    pub value: String,
    /// What stands there in gray while it is empty.
    pub hint: String,
    pub options: Vec<Choice>,
}

impl Input {
    pub fn new(kind: &'static str, name: &str, label: &str, value: impl Into<String>) -> Self {
        let (name, label) = (name.to_owned(), label.to_owned());
        let hint = if kind == "date" { "2026-06-01".to_owned() } else { String::new() };
        Self { kind, name, label, value: value.into(), hint, options: Vec::new() }
    }

    pub fn choice(name: &str, label: &str, options: Vec<Choice>) -> Self {
        Self { options, ..Self::new("choice", name, label, "") }
    }
}

/// A form.
pub struct Form {
    pub post: bool,
    pub action: &'static str,
    pub button: &'static str,
    pub inputs: Vec<Input>,
}

/// A problem of a file.
pub struct Fault {
    pub place: String,
    pub name: String,
    pub text: String,
    pub wrong: String,
    pub instead: String,
    pub code: &'static str,
    pub before: String,
    pub marked: String,
    pub after: String,
}

/// Problems as shown; more of them than anybody reads are counted only.
pub fn faults(problems: &[Problem]) -> Vec<Fault> {
    const MOST: usize = 200;
    problems.iter().take(MOST).map(fault).collect()
}

fn fault(problem: &Problem) -> Fault {
    let place = match problem.cell_of_sheet() {
        Some(cell) => format!("{} {cell}", problem.file),
        None if problem.line > 0 => {
            format!("{} line {}, column {}", problem.file, problem.line, problem.column)
        }
        None => problem.file.to_string(),
    };
    let cut = |text: &str, from: usize, to: usize| -> String {
        text.chars().skip(from).take(to.saturating_sub(from)).collect()
    };
    let excerpt = problem.excerpt.as_ref();
    let part = |from: usize, to: usize| {
        excerpt.map(|excerpt| cut(&excerpt.text, from, to)).unwrap_or_default()
    };
    let (from, to) = excerpt.map_or((0, 0), |excerpt| (excerpt.from, excerpt.to));
    Fault {
        place,
        name: problem.name.clone(),
        text: problem.text.clone(),
        wrong: problem.wrong.clone(),
        instead: problem.instead.clone(),
        code: problem.code.id(),
        before: part(0, from),
        marked: part(from, to),
        after: part(to, usize::MAX),
    }
}

/// A page of words, forms and tables.
#[derive(Template)]
#[template(path = "desk/tables.html")]
pub struct Tables {
    pub frame: Frame,
    pub title: String,
    pub words: Vec<String>,
    pub figures: Vec<Drawn>,
    /// Places and their names, as a line of links.
    pub links: Vec<(String, String)>,
    pub forms: Vec<Form>,
    pub tables: Vec<Table>,
    pub closing: Vec<String>,
}

impl Tables {
    pub fn new(frame: Frame, title: impl Into<String>) -> Self {
        Self {
            frame,
            title: title.into(),
            words: Vec::new(),
            figures: Vec::new(),
            links: Vec::new(),
            forms: Vec::new(),
            tables: Vec::new(),
            closing: Vec::new(),
        }
    }
}

/// A page that says what is wrong.
#[derive(Template)]
#[template(path = "desk/problem.html")]
pub struct Wrong {
    pub frame: Frame,
    pub title: String,
    pub words: Vec<String>,
    pub back: String,
    pub problems: Vec<Fault>,
}

/// A page made of a template. It is written to memory, which does not fail.
pub fn page(template: &impl Template) -> Answer {
    Answer::Page(for_page(template.render().unwrap_or_default()))
}
