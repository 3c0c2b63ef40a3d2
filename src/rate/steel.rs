//! The yield strength of a car's steel: stated with its source, or by the year built.

use serde::Serialize;

use crate::model::car::Car;
use crate::model::rules::{EvidenceRules, Rules, SteelByYear};
use crate::quantity::Ksi;

/// Yield strengths that structural steel can have; outside it the unit is wrong (psi for ksi).
const PLAUSIBLE_KSI: std::ops::RangeInclusive<f64> = 20.0..=120.0;

/// Where a yield strength comes from.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum YieldBasis {
    /// Stated, by this source.
    Stated {
        /// Who states it.
        source: String,
    },
    /// Stated without a source, and no more than the table gives: taken as stated.
    StatedWithoutSource,
    /// More than the table gives, and no document states it: the table's value is taken.
    StatedNotTaken {
        /// The value that was not taken.
        #[serde(rename = "stated_ksi")]
        stated: Ksi,
        /// Why not.
        why: String,
    },
    /// By the year built.
    Year {
        /// The year.
        year: i16,
        /// Last year of the table's row.
        built_through: i16,
    },
    /// The year is not known, or later than the table's last: the table's lowest.
    Lowest,
}

/// A yield strength with where it comes from.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Steel {
    /// Yield strength.
    #[serde(rename = "yield_ksi")]
    pub strength: Ksi,
    /// Where it comes from.
    pub basis: YieldBasis,
}

/// The yield strength by the year built. A row's last year belongs to the row, so a year on the
/// boundary takes the lower strength; an unknown year takes the lowest of all rows. None for an
/// empty table.
#[must_use]
pub fn by_year(year: Option<i16>, table: &[SteelByYear]) -> Option<Steel> {
    let lowest = || {
        let strength = table.iter().map(|row| row.yield_ksi).reduce(Ksi::min)?;
        Some(Steel { strength, basis: YieldBasis::Lowest })
    };
    let Some(year) = year else { return lowest() };
    let row = table.iter().filter(|row| year <= row.built_through).min_by_key(|r| r.built_through);
    match row {
        Some(row) => Some(Steel {
            strength: row.yield_ksi,
            basis: YieldBasis::Year { year, built_through: row.built_through },
        }),
        None => lowest(),
    }
}

impl Steel {
    /// The yield strength of a car's main girder.
    ///
    /// # Errors
    /// In words: the number stated cannot be a yield strength in ksi, or the table is empty.
    pub fn of(car: &Car, rules: &Rules) -> Result<Self, String> {
        let by_year = by_year(car.year_built, &rules.steel_by_year);
        let implausible = |ksi: Ksi| !PLAUSIBLE_KSI.contains(&ksi.0);
        if let Some(stated) = car.steel_yield {
            if implausible(stated) {
                return Err(format!(
                    "a yield strength of {} ksi is not one of structural steel ({} to {} ksi; was \
                     psi meant?)",
                    stated.0,
                    PLAUSIBLE_KSI.start(),
                    PLAUSIBLE_KSI.end()
                ));
            }
            let doubt = doubt(car, stated, &rules.evidence);
            return Ok(match (&by_year, doubt) {
                (_, None) => {
                    let source = car.yield_source.clone().unwrap_or_default();
                    Self { strength: stated, basis: YieldBasis::Stated { source } }
                }
                (Some(table), Some(why)) if stated > table.strength => {
                    let basis = YieldBasis::StatedNotTaken { stated, why };
                    Self { strength: table.strength, basis }
                }
                (None, Some(_)) => {
                    return Err("the rules have no table of yield strengths by year".to_owned());
                }
                (Some(_), Some(_)) => {
                    let basis = match &car.yield_source {
                        Some(source) => YieldBasis::Stated { source: source.clone() },
                        None => YieldBasis::StatedWithoutSource,
                    };
                    Self { strength: stated, basis }
                }
            });
        }
        let steel = by_year.ok_or("the rules have no table of yield strengths by year")?;
        if implausible(steel.strength) {
            return Err(format!(
                "the rules' yield strength of {} ksi is not one of structural steel",
                steel.strength.0
            ));
        }
        Ok(steel)
    }

    /// Where the value comes from, in words.
    #[must_use]
    pub fn words(&self) -> String {
        match &self.basis {
            YieldBasis::Stated { source } => format!("stated: {source}"),
            YieldBasis::StatedWithoutSource => {
                "stated without a source, no more than the year built gives".to_owned()
            }
            YieldBasis::StatedNotTaken { stated, why } => format!(
                "{stated} is stated {why} and not taken; by the year built, or the lowest where that \
                 is unknown"
            ),
            YieldBasis::Year { year, built_through } if *built_through == 9999 => {
                format!("built {year}: last row of the table")
            }
            YieldBasis::Year { year, built_through } => {
                format!("built {year}: row through {built_through}")
            }
            YieldBasis::Lowest => "year built not known: lowest of the table".to_owned(),
        }
    }

    /// Whether something was assumed that somebody could find out.
    #[must_use]
    pub fn is_assumed(&self) -> bool {
        !matches!(self.basis, YieldBasis::Stated { .. } | YieldBasis::Year { .. })
    }
}

/// Why a yield strength above the table's is not taken as stated; none if a document states it.
fn doubt(car: &Car, stated: Ksi, rules: &EvidenceRules) -> Option<String> {
    let Some(source) = &car.yield_source else { return Some("without a source".to_owned()) };
    if !rules.is_document(source) {
        return Some(format!("by \"{source}\", which is no document,"));
    }
    match car.year_built {
        Some(year) if year < rules.old_steel_before && stated > rules.old_yield_max_ksi => {
            Some(format!("for a car built in {year}"))
        }
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::rules::DEFAULT_RULES;

    /// AASHTO MBE tables 6A.6.2.1-1 and 6B.5.2.1 (from memory): before 1905 26 ksi, 1905 to 1936
    /// 30, 1936 to 1963 33, after 1963 36. The years on a boundary stand in two rows of it.
    #[test]
    fn yield_by_year_takes_the_lower_row_on_a_boundary() {
        let rules: Rules = toml::from_str(&DEFAULT_RULES).unwrap();
        for (year, ksi) in [
            (1899, 26.0),
            (1905, 26.0),
            (1906, 30.0),
            (1936, 30.0),
            (1937, 33.0),
            (1963, 33.0),
            (1964, 36.0),
            (2020, 36.0),
        ] {
            assert_eq!(by_year(Some(year), &rules.steel_by_year).unwrap().strength, Ksi(ksi));
        }
        let unknown = by_year(None, &rules.steel_by_year).unwrap();
        assert_eq!((unknown.strength, unknown.basis), (Ksi(26.0), YieldBasis::Lowest));
    }

    #[test]
    fn a_year_after_the_tables_last_takes_the_lowest() {
        let table = [
            SteelByYear { built_through: 1950, yield_ksi: Ksi(30.0) },
            SteelByYear { built_through: 1980, yield_ksi: Ksi(36.0) },
        ];
        assert_eq!(by_year(Some(1981), &table).unwrap().strength, Ksi(30.0));
        assert!(by_year(None, &[]).is_none());
    }
}
