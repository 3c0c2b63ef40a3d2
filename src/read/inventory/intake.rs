//! The rows of an inventory on their way in: read in parts at the same time, and taken in order. What
//! comes of them does not depend on the parts.

use std::ops::ControlFlow;

use super::ids::Ids;
use super::{Cars, Context, Inventory as C, car};
use crate::check::Code;
use crate::model::car::Car;
use crate::model::place::RowPlace;
use crate::parallel::in_order;
use crate::read::parts::{Pace, Part, Parted};
use crate::read::problem::{Findings, Problem};
use crate::read::table::{Mark, Row, Table, Taken, Went};

impl Parted for Table<'_, C> {
    type Part = Part;

    fn parts(&self, pace: &Pace) -> Vec<Part> {
        self.parts_of(pace.bytes)
    }

    fn rows(
        &self,
        part: &Part,
        findings: &mut Findings,
        take: impl FnMut(&mut Row<'_, C>),
    ) -> Went {
        self.rows_of(part, findings, take)
    }

    fn problem(&self, mark: Mark, column: C, code: Code, [wrong, instead]: [String; 2]) -> Problem {
        let mut quiet = Findings::default();
        let problem = self.row_at(mark, &mut quiet, |row, _| {
            row.of_cell(column, code, wrong.clone(), instead.clone())
        });
        problem.unwrap_or_else(|| Problem::of_file(code, self.file.clone(), wrong, instead))
    }
}

/// What the rows of one part give by themselves.
#[derive(Default)]
struct Batch {
    findings: Findings,
    went: Went,
    ids: Ids,
    cars: Vec<Car>,
    /// All cars that were named, whether anything came of them or not.
    named: Vec<Named>,
}

struct Named {
    dealer: String,
    id: String,
    place: RowPlace,
    mark: Mark,
}

/// Reads the rows of an inventory and adds its cars.
pub(super) fn read<F: Parted>(
    file: &F,
    context: &Context<'_>,
    cars: &mut Cars,
    findings: &mut Findings,
) -> Taken {
    let parts = file.parts(&context.pace);
    let mut intake =
        Intake { file, context, cars, findings, ids: Ids::default(), went: Went::default() };
    let work = |part: &F::Part| batch(file, part, context);
    in_order(context.pace.threads, &parts, work, |part, batch| intake.take(part, batch));
    let Intake { findings, ids, went, .. } = intake;
    ids.report(findings);
    let rows = went.rows + went.not_taken.len();
    Taken { rows, reached: true, not_taken: went.not_taken }
}

fn batch<F: Parted>(file: &F, part: &F::Part, context: &Context<'_>) -> Batch {
    let Batch { mut findings, mut ids, mut cars, mut named, .. } = Batch::default();
    let went = file.rows(part, &mut findings, |row| {
        ids.add(row);
        cars.extend(car(row, context, |row, dealer, id| {
            let (dealer, id) = (dealer.to_owned(), id.to_owned());
            named.push(Named { dealer, id, place: row.place(), mark: row.mark() });
        }));
    });
    Batch { findings, went, ids, cars, named }
}

/// What was taken in so far.
struct Intake<'i, F> {
    file: &'i F,
    context: &'i Context<'i>,
    cars: &'i mut Cars,
    findings: &'i mut Findings,
    ids: Ids,
    went: Went,
}

impl<F: Parted> Intake<'_, F> {
    fn take(&mut self, part: &F::Part, batch: Batch) -> ControlFlow<()> {
        // Every name may turn out to be one too many.
        if self.findings.has_room_for(batch.findings.len() + batch.named.len()) {
            self.add(batch);
        } else {
            self.read(part);
        }
        if self.went.stopped { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
    }

    fn add(&mut self, batch: Batch) {
        let Batch { findings, went, ids, mut cars, named } = batch;
        for Named { dealer, id, place, mark } in named {
            if let Some(first) = self.cars.seen.add(&dealer, &id, place) {
                let text = listed_already(&dealer, &first);
                let problem = self.file.problem(mark, C::Car, Code::Duplicate, text);
                self.findings.problems.push(problem);
            }
        }
        self.findings.add(findings);
        self.ids.add_all(ids);
        self.cars.list.append(&mut cars);
        self.went.add(went);
    }

    /// Reads a part again, row by row: somewhere in it there will be too many faults to go on.
    fn read(&mut self, part: &F::Part) {
        let Cars { list, seen } = &mut *self.cars;
        let went = self.file.rows(part, self.findings, |row| {
            self.ids.add(row);
            list.extend(car(row, self.context, |row: &mut Row<'_, C>, dealer, id| {
                if let Some(first) = seen.add(dealer, id, row.place()) {
                    let [wrong, instead] = listed_already(dealer, &first);
                    row.problem(C::Car, Code::Duplicate, wrong, instead);
                }
            }));
        });
        self.went.add(went);
    }
}

/// What is wrong with a car that is listed twice, and what to do.
fn listed_already(dealer: &str, first: &RowPlace) -> [String; 2] {
    let wrong = format!("is a car that {dealer} lists already at {first}");
    let instead = "give each car its own ID, or merge identical cars into one row with a quantity";
    [wrong, instead.to_owned()]
}
