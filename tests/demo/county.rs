//! The files of `data-demo`, with single cells changed. Two of its inventories are dealers' own
//! lists; their tidy twins in tests/demo/tidy stand for them here, and `messes` shows that they say
//! the same.

use std::fs;
use std::path::{Path, PathBuf};

use jiff::civil::date;
use spanyard::assemble::{PlanOptions, make_plan};
use spanyard::model::inputs::{CarIx, CrossingIx, Inputs};
use spanyard::model::plan::{Plan, Served};
use spanyard::read::{SourceText, Sources, read};
use spanyard::survey::Survey;

/// The three inventories.
const INVENTORIES: [&str; 3] = ["drumfell.csv", "sallowby.csv", "orlhaven.csv"];

/// The folder of the demonstration.
pub fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("data-demo")
}

/// The county's files as text, by name.
#[derive(Clone)]
pub struct County {
    files: Vec<(&'static str, String)>,
}

impl County {
    /// The files as they are.
    pub fn new() -> Self {
        let tidy = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/demo/tidy");
        let path = |name: &str| match name {
            "sallowby.csv" | "orlhaven.csv" => tidy.join(name),
            "drumfell.csv" => folder().join("lists").join(name),
            _ => folder().join(name),
        };
        let names = INVENTORIES.into_iter().chain([
            "yards.csv",
            "lots.csv",
            "crossings.csv",
            "hauls.csv",
            "rules.toml",
        ]);
        let files = names.map(|name| (name, fs::read_to_string(path(name)).unwrap()));
        Self { files: files.collect() }
    }

    /// The text of one file.
    pub fn text(&self, name: &str) -> &str {
        &self.files.iter().find(|file| file.0 == name).unwrap().1
    }

    /// The same county with another text for one file.
    pub fn with_text(mut self, name: &str, text: String) -> Self {
        self.files.iter_mut().find(|file| file.0 == name).unwrap().1 = text;
        self
    }

    /// The same county with one cell changed: in the file, the row that holds `id`, the column.
    pub fn with(self, file: &str, id: &str, column: &str, value: &str) -> Self {
        let (header, mut rows) = self.rows(file);
        let column = header.iter().position(|name| name == column).unwrap();
        let mut found = rows.iter_mut().filter(|row| row.iter().any(|cell| cell == id));
        found.next().unwrap()[column] = value.to_owned();
        assert!(found.next().is_none(), "{id} stands in more than one row of {file}");
        self.with_rows(file, &header, &rows)
    }

    /// The same county with one cell of a car changed, whoever sells it.
    pub fn with_car(self, id: &str, column: &str, value: &str) -> Self {
        let file = match id.split_once('-').unwrap().0 {
            "UD" => "drumfell.csv",
            "SS" => "sallowby.csv",
            _ => "orlhaven.csv",
        };
        self.with(file, id, column, value)
    }

    /// Header and rows of a file.
    pub fn rows(&self, file: &str) -> (Vec<String>, Vec<Vec<String>>) {
        let mut reader =
            csv::ReaderBuilder::new().has_headers(false).from_reader(self.text(file).as_bytes());
        let mut rows = reader.deserialize().map(Result::unwrap);
        (rows.next().unwrap(), rows.collect())
    }

    /// The same county with these rows in a file.
    pub fn with_rows(self, file: &str, header: &[String], rows: &[Vec<String>]) -> Self {
        let mut writer = csv::Writer::from_writer(Vec::new());
        writer.write_record(header).unwrap();
        rows.iter().for_each(|row| writer.write_record(row).unwrap());
        let text = String::from_utf8(writer.into_inner().unwrap()).unwrap();
        self.with_text(file, text)
    }

    /// The validated inputs.
    pub fn inputs(&self) -> Inputs {
        let source = |name: &'static str| SourceText::new(name, self.text(name));
        let sources = Sources {
            inventories: INVENTORIES.map(source).to_vec(),
            mappings: Vec::new(),
            yards: Some(source("yards.csv")),
            lots: Some(source("lots.csv")),
            crossings: Some(source("crossings.csv")),
            hauls: Some(source("hauls.csv")),
            rules: Some(source("rules.toml")),
            ..Sources::default()
        };
        // The rules state the order date, so the day of reading must not matter.
        let reading = read(&sources, date(1999, 12, 31));
        reading.unwrap_or_else(|problems| panic!("{problems}")).inputs
    }

    /// The plan.
    pub fn plan(&self) -> Planned {
        self.plan_with(&PlanOptions::default())
    }

    /// The plan with a budget or the like.
    pub fn plan_with(&self, options: &PlanOptions) -> Planned {
        let inputs = self.inputs();
        let plan = make_plan(&inputs, &Survey::new(&inputs), options);
        Planned { plan: plan.unwrap_or_else(|rejected| panic!("{rejected}")), inputs }
    }
}

/// A plan with what it was made from.
pub struct Planned {
    pub inputs: Inputs,
    pub plan: Plan,
}

impl Planned {
    /// The bridge of a crossing, if it gets one.
    pub fn served(&self, crossing: &str) -> Option<&Served> {
        let ix = crossing_ix(&self.inputs, crossing);
        self.plan.crossings.iter().find(|plan| plan.crossing == ix).unwrap().served()
    }

    /// The cars of a crossing's decks, in order across each deck; empty when it goes without.
    pub fn cars(&self, crossing: &str) -> Vec<Vec<&str>> {
        let decks = self.served(crossing).map(|served| served.decks.as_slice()).unwrap_or_default();
        let names = |deck: &spanyard::model::plan::Deck| {
            deck.cars.iter().map(|placed| self.inputs.car(placed.car).id.as_str()).collect()
        };
        decks.iter().map(names).collect()
    }

    /// Crossings served.
    pub fn served_ids(&self) -> Vec<&str> {
        let ids = self.inputs.crossings.iter().map(|crossing| crossing.id.as_str());
        ids.filter(|id| self.served(id).is_some()).collect()
    }

    /// Every car that is placed, once per car, in order of crossings.
    pub fn placed(&self) -> Vec<&str> {
        let ids = self.inputs.crossings.iter().flat_map(|crossing| self.cars(&crossing.id));
        ids.flatten().collect()
    }

    /// Lots bought.
    pub fn lots(&self) -> Vec<&str> {
        let lots = self.plan.purchases.iter().flat_map(|yard| &yard.lots);
        lots.map(|bought| self.inputs.lot(bought.lot).name.as_str()).collect()
    }
}

/// The index of a crossing.
pub fn crossing_ix(inputs: &Inputs, id: &str) -> CrossingIx {
    CrossingIx(inputs.crossings.iter().position(|crossing| crossing.id == id).unwrap())
}

/// The index of a car; the demonstration's IDs are unique across dealers.
pub fn car_ix(inputs: &Inputs, id: &str) -> CarIx {
    CarIx(inputs.cars.iter().position(|car| car.id == id).unwrap())
}
