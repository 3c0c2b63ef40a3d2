//! The demonstration's plan with everything a report needs, made once.

use std::sync::OnceLock;

use spanyard::assemble::{PlanOptions, make_plan};
use spanyard::model::inputs::Inputs;
use spanyard::model::plan::Plan;
use spanyard::report::facts::PlanReport;
use spanyard::report::facts::matching::Matching;
use spanyard::report::provenance::{HashedFile, PageContext, Paper};
use spanyard::survey::Survey;

use crate::testkit::demo;

/// The inputs and plan of the demonstration, never freed: tests borrow them.
pub fn county() -> &'static PlanReport<'static> {
    static COUNTY: OnceLock<PlanReport<'static>> = OnceLock::new();
    COUNTY.get_or_init(|| {
        let inputs = demo::inputs();
        let survey = Survey::new(&inputs);
        let plan = make_plan(&inputs, &survey, &PlanOptions::default()).unwrap();
        report(inputs, plan)
    })
}

/// A report of any inputs and plan, never freed.
pub fn report(inputs: Inputs, plan: Plan) -> PlanReport<'static> {
    let inputs: &'static Inputs = Box::leak(Box::new(inputs));
    let survey: &'static Survey = Box::leak(Box::new(Survey::new(inputs)));
    let matching = Box::leak(Box::new(Matching::new(inputs, survey)));
    PlanReport { inputs, plan: Box::leak(Box::new(plan)), matching, files: &[] }
}

/// The origin that the tests print.
pub fn context(report: &PlanReport<'_>) -> PageContext {
    let files = vec![HashedFile::new("data-demo/crossings.csv", b"rows")];
    PageContext::new(report, files, "spanyard plan --report \"x.html\"", Paper::Letter)
}

/// The report with every text of the files replaced by markup and quotes.
pub fn hostile() -> PlanReport<'static> {
    const EVIL: &str = "<script>alert('x')</script>\"&\u{1b}";
    let mut inputs = county().inputs.clone();
    for (number, car) in inputs.cars.iter_mut().enumerate() {
        car.id = format!("{EVIL}{number}");
        car.dealer = EVIL.to_owned();
        car.section = car.section.take().map(|section| format!("{EVIL}{section}"));
        car.notes = Some(format!("=HYPERLINK(\"x\"){EVIL}"));
    }
    for yard in &mut inputs.yards {
        yard.name = format!("{EVIL}{}", yard.name);
        yard.dealer = EVIL.to_owned();
    }
    for lot in &mut inputs.lots {
        lot.name = format!("=1+1{EVIL}");
    }
    for crossing in &mut inputs.crossings {
        crossing.id = format!("{EVIL}{}", crossing.id);
        crossing.road = format!("-{EVIL}");
    }
    report(inputs, county().plan.clone())
}
