//! The rows of an inventory on their way in: read in parts at the same time, and taken in order. What
//! comes of them does not depend on the parts.

use std::ops::ControlFlow;

use super::ids::Ids;
use super::{Cars, Context, Inventory as C, car};
use crate::check::Code;
use crate::model::car::Car;
use crate::model::place::RowPlace;
use crate::parallel::in_order;
use crate::read::lines::one_line;
use crate::read::names::Key;
use crate::read::parted::Parted;
use crate::read::parts::Mark;
use crate::read::parts::{Pace, Part};
use crate::read::problem::{Findings, Problem};
use crate::read::row::Row;
use crate::read::table::{Table, Taken, Went};

impl Parted for Table<'_, C> {
    type Part = Part;

    fn parts(&self, pace: &Pace) -> Vec<Part> {
        self.parts_of(pace.bytes)
    }

    fn rows_about(&self, part: &Part) -> usize {
        self.rows_about(part)
    }

    fn rows(
        &self,
        part: &Part,
        findings: &mut Findings,
        take: impl FnMut(&mut Row<'_, C>),
    ) -> Went {
        self.rows_of(part, findings, take)
    }

    fn row_at<T>(&self, mark: Mark, mut look: impl FnMut(&mut Row<'_, C>) -> T) -> Option<T> {
        self.first_row(mark, &mut Findings::default(), |row, _| look(row))
    }

    fn place(&self, mark: Mark) -> RowPlace {
        RowPlace { file: self.file.clone(), line: mark.line }
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
    /// Dealer and lot of each row of a lot that cannot be read.
    unread: Vec<(String, String)>,
}

/// A car by dealer and ID.
struct Named {
    key: Key,
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
    let (ids, went) = (Ids::default(), Went::default());
    let mut intake = Intake { file, context, cars, findings, left: parts.len(), ids, went };
    let work = |part: &F::Part| batch(file, part, context);
    in_order(context.pace.threads, &parts, work, |part, batch| intake.take(part, batch));
    let Intake { findings, ids, went, .. } = intake;
    ids.report(findings);
    let rows = went.rows + went.not_taken.len();
    Taken { rows, reached: true, not_taken: went.not_taken }
}

fn batch<F: Parted>(file: &F, part: &F::Part, context: &Context<'_>) -> Batch {
    let Batch { mut findings, mut ids, mut cars, mut named, mut unread, .. } = Batch::default();
    let rows = file.rows_about(part);
    cars.reserve(rows);
    named.reserve(rows);
    let went = file.rows(part, &mut findings, |row| {
        ids.add(row);
        let car = car(row, context, |row, dealer, id| {
            named.push(Named { key: Key::new(dealer, id), mark: row.mark() });
        });
        unread.extend(lot_unread(row));
        cars.extend(car.filter(|_| row.is_sound()));
    });
    Batch { findings, went, ids, cars, named, unread }
}

/// What was taken in so far.
struct Intake<'i, F> {
    file: &'i F,
    context: &'i Context<'i>,
    cars: &'i mut Cars,
    findings: &'i mut Findings,
    /// Parts that were not taken in yet.
    left: usize,
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
        self.left = self.left.saturating_sub(1);
        if self.went.stopped { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
    }

    fn add(&mut self, batch: Batch) {
        let Batch { findings, went, ids, mut cars, named, unread } = batch;
        self.cars.unread.extend(unread);
        // The parts that follow are much like this one.
        self.cars.list.reserve(cars.len().saturating_mul(self.left));
        self.cars.seen.reserve(named.len().saturating_mul(self.left));
        for Named { key, mark } in named {
            if let Some(first) = self.cars.seen.add_key(key, self.file.place(mark)) {
                let problem = self.file.row_at(mark, |row| listed_already(row, &first));
                self.findings.of_rows.extend(problem);
                self.cars.doubled.extend([first, self.file.place(mark)]);
            }
        }
        self.findings.add(findings);
        self.ids.add_all(ids);
        self.cars.list.append(&mut cars);
        self.went.add(went);
    }

    /// Reads a part again, row by row: somewhere in it there will be too many faults to go on.
    fn read(&mut self, part: &F::Part) {
        let Cars { list, seen, doubled, unread } = &mut *self.cars;
        let went = self.file.rows(part, self.findings, |row| {
            self.ids.add(row);
            let car = car(row, self.context, |row: &mut Row<'_, C>, dealer, id| {
                if let Some(first) = seen.add(dealer, id, row.place()) {
                    let problem = listed_already(row, &first);
                    row.findings.problems.push(problem);
                    doubled.extend([first, row.place()]);
                }
            });
            unread.extend(lot_unread(row));
            list.extend(car.filter(|_| row.is_sound()));
        });
        self.went.add(went);
    }
}

/// Dealer and lot of a row that cannot be read, if it is of a lot.
fn lot_unread(row: &Row<'_, C>) -> Option<(String, String)> {
    let lot = row.cell(C::Lot).map(one_line).filter(|lot| !lot.is_empty() && !row.is_sound())?;
    Some((one_line(row.cell(C::Dealer)?).into_owned(), lot.into_owned()))
}

/// What is wrong with the row of a car that is listed already.
fn listed_already(row: &Row<'_, C>, first: &RowPlace) -> Problem {
    let dealer = one_line(row.cell(C::Dealer).unwrap_or_default());
    let wrong = format!("is a car that {dealer} lists already at {first}");
    let instead = "give each car its own ID, or merge identical cars into one row with a quantity";
    row.of_cell(C::Car, Code::Duplicate, wrong, instead.to_owned())
}
