//! Questions about the list as a whole and about its headers.

use super::{Change, Choice, Question, marked, some};
use crate::read::columns::{Content, Need};
use crate::read::dealer::List;
use crate::read::dealer::header_row::{Head, Part};
use crate::read::dealer::headers;
use crate::read::dealer::mapping::Mapping;
use crate::read::dealer::origins::Origin;
use crate::read::dealer::scheme::INVENTORY;
use crate::read::dealer::squeezed::squeezed;
use crate::read::units::Unit;

/// Our columns of members, any of which a bare "condition" may mean.
const OF_MEMBERS: [&str; 5] =
    ["main_girder", "exterior_girders", "bolsters", "cross_members", "stringers"];

impl List<'_> {
    /// The key of a header in a mapping: of several of one name with its number.
    pub(super) fn key(&self, cell: usize) -> String {
        let names = &self.head.names;
        let name = squeezed(names.cell(cell));
        let same = |other: &usize| squeezed(names.cell(*other)) == name;
        let all = (0..names.cells.len()).filter(same).count();
        let before = (0..cell).filter(same).count();
        let text = names.cell(cell);
        if all > 1 { format!("{text}#{}", before + 1) } else { text.to_owned() }
    }

    /// What must be asked of the list and its headers.
    pub(super) fn asked_of_header(&self) -> Vec<Question> {
        let mut asked = Vec::new();
        let columns = self.scheme().columns.iter().enumerate();
        let needed = columns.filter(|(_, column)| column.need == Need::Required);
        for (at, column) in needed.filter(|(at, _)| self.origins[*at] == Origin::Absent) {
            asked.push(if at == self.scheme().id {
                self.which_id()
            } else {
                constant(column.name)
            });
        }
        asked.extend(self.claimed_twice());
        for (cell, part) in self.head.parts.iter().enumerate() {
            if *part == Part::Note(false) {
                asked.extend(self.unexplained_header(cell));
            }
        }
        asked
    }

    /// Which header stands over the IDs.
    fn which_id(&self) -> Question {
        let cells = 0..self.head.parts.len();
        let headed = cells.filter(|cell| !self.head.names.cell(*cell).is_empty());
        let headers: Vec<String> = headed.map(|cell| self.key(cell)).collect();
        Question {
            id: "columns.car".to_owned(),
            asks: "Which column has the dealer's number of each car?".to_owned(),
            cells: 0,
            choices: headers.iter().map(|header| Choice::plain(header)).collect(),
            or_else: None,
            unanswered: "the list cannot be read",
            changes: Change::Which("car", headers),
        }
    }

    /// Headers that can be the same column of ours.
    fn claimed_twice(&self) -> Vec<Question> {
        let mut asked = Vec::new();
        for (at, column) in self.scheme().columns.iter().enumerate() {
            let is_it = |cell: &usize| matches!(self.head.parts.get(*cell), Some(Part::Column(column, _)) if *column == at);
            let cells: Vec<usize> = (0..self.head.parts.len()).filter(is_it).collect();
            if cells.len() < 2 {
                continue;
            }
            let headers: Vec<String> = cells.iter().map(|cell| self.key(*cell)).collect();
            let samples = cells
                .iter()
                .zip(&headers)
                .map(|(cell, header)| Choice::meaning(header, &self.samples(*cell)));
            asked.push(Question {
                id: format!("columns.{}", column.name),
                asks: format!(
                    "{} headers can be {} ({}). Which one is it? The others are carried as notes.",
                    headers.len(),
                    column.name,
                    column.about
                ),
                cells: 0,
                choices: samples.collect(),
                or_else: None,
                unanswered: "the list cannot be read",
                changes: Change::Which(column.name, headers),
            });
        }
        asked
    }

    /// The first texts of a column.
    pub(super) fn samples(&self, cell: usize) -> String {
        let range = self.head.row + 1..self.head.row + 20;
        let rows = self.grid.block(range.clone());
        let rows = range
            .zip(rows.iter())
            .filter(|(at, row)| !self.head.is_row(*at) && self.refused(*at, row).is_none());
        let mut texts: Vec<&str> = Vec::new();
        for text in rows.map(|(_, row)| row.cell(cell)).filter(|text| !text.is_empty()) {
            if !texts.contains(&text) && texts.len() < 3 {
                texts.push(text);
            }
        }
        if texts.is_empty() { "blank".to_owned() } else { some(&texts) }
    }

    /// A header that is none of ours and may be meant for one.
    fn unexplained_header(&self, cell: usize) -> Option<Question> {
        let header = self.head.names.cell(cell);
        let (choices, what) = choices(header, &self.head, &self.rules)?;
        let samples = self.samples(cell);
        Some(Question {
            id: format!("columns.{}", self.key(cell)),
            asks: format!("What is {}, with values such as {samples}?{what}", marked(header)),
            cells: 0,
            choices,
            or_else: Some("the name of another of our columns".to_owned()),
            unanswered: "it is carried as a note, and nothing is read from it",
            changes: Change::Header(self.key(cell)),
        })
    }
}

/// What an unexplained header may be, and what to ask; none where nothing is like it.
pub(in crate::read::dealer) fn choices(
    header: &str,
    head: &Head,
    rules: &Mapping,
) -> Option<(Vec<Choice>, &'static str)> {
    let words = headers::words(header);
    let scheme = rules.scheme;
    let is_free = |name: &str| {
        let at = scheme.position(name);
        !head
            .parts
            .iter()
            .any(|part| matches!(part, Part::Column(column, _) if Some(*column) == at))
    };
    let note = Choice::meaning("note", "carry it as a note");
    if headers::asked(&words).is_some() {
        let (names, what): (Vec<(&str, &str)>, _) = match words.name.as_str() {
            "condition" | "cond" => (
                OF_MEMBERS.iter().map(|name| (*name, "")).collect(),
                " A condition must be of one member.",
            ),
            name if name.contains("length") => (
                vec![("length_ft", "over the ends")],
                " The length over the ends, or that of the deck alone?",
            ),
            _ => (
                vec![("weight_lb", "without the wheel trucks")],
                " The weight with or without the wheel trucks? With them it is a note.",
            ),
        };
        let free = names.into_iter().filter(|(name, _)| is_free(name));
        let choices = free.map(|(name, means)| Choice::meaning(name, means));
        return Some((choices.chain([note]).collect(), what));
    }
    let Some(like) = headers::like(&words, scheme).filter(|name| is_free(name)) else {
        return by_unit(&words, &is_free).map(|mut choices| {
            choices.extend([note, Choice::meaning("ignore", "leave it out")]);
            (choices, "")
        });
    };
    let means = scheme.position(like).map_or("", |at| scheme.columns[at].about);
    let choices =
        vec![Choice::meaning(like, means), note, Choice::meaning("ignore", "leave it out")];
    Some((choices, ""))
}

/// The columns of ours that a header may be by its unit, where few are measured in it.
fn by_unit(words: &headers::Words, is_free: &dyn Fn(&str) -> bool) -> Option<Vec<Choice>> {
    use Unit::{CubicInches, Ksi, Pounds};
    let of = |own: Unit| words.unit.is_some_and(|unit| unit.fits(own));
    let own = [CubicInches, Ksi, Pounds].into_iter().find(|own| of(*own))?;
    let fitting = INVENTORY.columns.iter().filter(|column| {
        Unit::of_column(&column.content).is_some_and(|unit| unit.fits(own)) && is_free(column.name)
    });
    let choices: Vec<Choice> =
        fitting.map(|column| Choice::meaning(column.name, column.about)).collect();
    (!choices.is_empty()).then_some(choices)
}

/// A value that the list does not have.
fn constant(column: &'static str) -> Question {
    Question {
        id: format!("constants.{column}"),
        asks: format!("The list does not say its {column}. What is it for all its cars?"),
        cells: 0,
        choices: Vec::new(),
        or_else: Some(format!("the {column}'s name as in the yards file")),
        unanswered: "the list cannot be read",
        changes: Change::Constant(column),
    }
}

/// Whether a column of ours is one of members' conditions.
pub(super) fn is_of_members(content: Content) -> bool {
    matches!(content, Content::Condition)
}
