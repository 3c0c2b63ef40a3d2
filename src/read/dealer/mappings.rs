//! Which mapping is for which inventory.

use super::mapping::Mapping;
use crate::check::Code;
use crate::read::problem::{Findings, Problem};
use crate::read::text::SourceText;
use crate::read::{FileKind, Sources};

/// The mappings of a run.
pub(in crate::read) struct Mappings<'s> {
    list: Vec<(&'s SourceText, Option<Mapping>, Findings)>,
    /// Whether one could not be opened.
    unopened: bool,
}

impl<'s> Mappings<'s> {
    /// Reads them; one that is for no inventory, and two for the same one, are problems.
    pub fn read(sources: &'s Sources) -> Self {
        let inventories = &sources.inventories;
        let mut list: Vec<_> = sources
            .mappings
            .iter()
            .map(|source| {
                let mut findings = Findings::default();
                let mapping = Mapping::read(source, &mut findings);
                (source, mapping, findings)
            })
            .collect();
        let problem = |source: &SourceText, wrong: String, instead: &str| {
            Problem::of_file(Code::MappingMalformed, source.name.clone(), wrong, instead)
        };
        let mut taken: Vec<Option<&SourceText>> = vec![None; inventories.len()];
        for (source, mapping, findings) in &mut list {
            let Some(mapping) = mapping else { continue };
            let mut used = sources.unopened.iter().any(|(kind, problem)| {
                *kind == FileKind::Inventory && mapping.is_for(&source.name, &problem.file)
            });
            for (inventory, taken) in inventories.iter().zip(&mut taken) {
                if mapping.is_for(&source.name, &inventory.name) {
                    used = true;
                    if let Some(first) = taken.replace(source) {
                        let wrong = format!("is for {}, and so is {}", inventory.name, first.name);
                        findings.problems.push(problem(
                            source,
                            wrong,
                            "give one mapping for each inventory",
                        ));
                    }
                }
            }
            if !used {
                let wrong = "is for none of the inventories".to_owned();
                let instead = "name it NAME.mapping.toml after the inventory NAME.csv or NAME.xlsx, or write `inventory = \"NAME.csv\"` in it";
                findings.problems.push(problem(source, wrong, instead));
            }
        }
        Self { list, unopened: sources.lacks(FileKind::Mapping) }
    }

    /// The one that is for this inventory.
    pub fn of(&self, inventory: &SourceText) -> Option<(&SourceText, &Mapping)> {
        self.list.iter().find_map(|(source, mapping, _)| {
            let mapping = mapping.as_ref()?;
            mapping.is_for(&source.name, &inventory.name).then_some((*source, mapping))
        })
    }

    /// Whether one could not be opened or read, and may have been for any inventory.
    pub fn has_unread(&self) -> bool {
        self.unopened || self.list.iter().any(|(_, mapping, _)| mapping.is_none())
    }

    /// What is wrong with each.
    pub fn into_findings(self) -> impl Iterator<Item = (&'s SourceText, Findings)> {
        self.list.into_iter().map(|(source, _, findings)| (source, findings))
    }
}
