//! Rules on what a fact must rest on.

use super::grades::{ToPay, ToPlan};
use super::table::Kind::{Above, Bool, Number, Texts};
use super::table::table;
use crate::quantity::{Ksi, Percent};

table! {
    /// What a fact must rest on, and when two facts contradict each other.
    EvidenceRules "evidence", "our own" {
        /// Words by which a source is a document, such as a drawing or a certificate.
        documents: Vec<String> = ["drawing", "certificate", "test report", "coupon", "calculation", "scale ticket", "load test"], Texts;
        /// Words by which a source is hearsay.
        hearsay: Vec<String> = ["says", "said", "told", "claims", "claimed", "guess", "guessed", "estimate", "estimated", "verbal", "phone", "memory", "maybe", "probably"], Texts;
        /// Words that name nobody by themselves.
        nobody: Vec<String> = ["the", "a", "our", "seller", "dealer", "vendor", "broker", "owner", "yard", "somebody", "unknown", "none", "by"], Texts;
        /// Words of a list by which a car is not for sale; "*" stands for any end of a word.
        not_for_sale: Vec<String> = ["sold", "hold", "held", "reserved", "pending", "deposit*", "spoken for", "gone", "do not sell", "parts only"], Texts;
        /// Words of a list that tell of harm. Each is a question until somebody answers it; a plain
        /// denial such as "no cracks" is the dealer's word.
        harm: Vec<String> = ["crack*", "crkd", "fractur*", "broke*", "bent", "bend*", "bow", "bowed", "buckl*", "kink*", "twist*", "sag*", "derail*", "wreck*", "wrk", "accident*", "collision*", "struck", "fire*", "burn*", "rust* through", "rotten", "scrap", "scrapped", "condemn*", "bad order", "b/o", "cut", "torch*", "hole*", "missing", "patch*", "weld*", "splic*", "straighten*", "rebuil*", "repair*", "damag*"], Texts;
        /// Must a section modulus without plates have a source to answer for it? Otherwise it is a caution.
        modulus_source_required: bool = true, Bool;
        /// A modulus that is stated beside plates, over that of the plates as new: least.
        modulus_ratio_min: f64 = 0.8, Above(0.0, 1.0);
        /// The same: greatest.
        modulus_ratio_max: f64 = 1.25, Number(1.0, 10.0);
        /// By how much the weight per foot of a car may differ from the middle one of its section's other cars.
        weight_from_sisters_pct: Percent = 25.0, Number(1.0, 1000.0);
        /// A yield strength that is stated, over the table's by the year built: greatest.
        yield_ratio_max: f64 = 1.6, Number(1.0, 10.0);
        /// Greatest yield strength that a document may state of a car built before the year below.
        old_yield_max_ksi: Ksi = 45.0, Number(20.0, 100.0), "common practice, no source";
        /// High-strength structural steels came into use after this year.
        old_steel_before: i16 = 1940, super::table::Kind::Whole(1850, 2000), "common practice, no source";
        /// What a question weighs in the list of `spanyard ask`.
        question_weight: u32 = 1, super::table::Kind::Whole(1, 1000);
        /// What a visit to a yard weighs in it.
        visit_weight: u32 = 3, super::table::Kind::Whole(0, 1000);
        inner {
            /// What a fact must rest on to be planned with.
            to_plan: ToPlan;
            /// What a fact must rest on to be paid for.
            to_pay: ToPay;
        }
    }
}

impl EvidenceRules {
    /// Whether a source names a document: it has the word, and is no hearsay.
    #[must_use]
    pub fn is_document(&self, source: &str) -> bool {
        let source = source.to_lowercase();
        !self.is_hearsay(&source)
            && self.documents.iter().any(|word| source.contains(word.as_str()))
    }

    /// Lets only what is enough to pay on be planned with.
    pub fn hold_to_pay(&mut self) {
        self.to_plan.raise(&self.to_pay);
    }

    /// Whether a source names somebody or something that can be asked: it is no hearsay, and is not
    /// only a word like "dealer".
    #[must_use]
    pub fn is_named(&self, source: &str) -> bool {
        let source = source.to_lowercase();
        let nobody = |word: &str| self.nobody.iter().any(|known| known == word);
        !self.is_hearsay(&source) && words(&source).any(|word| !nobody(word))
    }

    fn is_hearsay(&self, source: &str) -> bool {
        words(source).any(|word| self.hearsay.iter().any(|known| known == word))
    }
}

fn words(text: &str) -> impl Iterator<Item = &str> {
    text.split(|c: char| !c.is_alphanumeric())
        .filter(|word| word.chars().any(char::is_alphabetic) && word.len() > 1)
}

#[cfg(test)]
mod tests {
    use crate::model::rules::{DEFAULT_RULES, Rules};

    #[test]
    fn sources_that_can_be_asked_and_documents() {
        let rules: Rules = toml::from_str(&DEFAULT_RULES).unwrap();
        for (source, named, document) in [
            ("dealer's drawing", true, true),
            ("Series drawing 7", true, true),
            ("mill certificate", true, true),
            ("plates by the yard's foreman, 2026-03-02", true, false),
            ("J. Example, P.E.", true, false),
            ("seller says", false, false),
            ("seller says there is a drawing", false, false),
            ("the dealer", false, false),
            ("Dealer", false, false),
            ("told on the phone", false, false),
            ("estimated from a drawing", false, false),
            ("?", false, false),
        ] {
            let found = (rules.evidence.is_named(source), rules.evidence.is_document(source));
            assert_eq!(found, (named, document), "{source}");
        }
    }
}
