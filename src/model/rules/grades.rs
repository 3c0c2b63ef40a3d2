//! How well each kind of fact must be known: to plan with a car, and to pay for it.

use super::table::Kind::Word;
use super::table::table;
use crate::check::Grade;
use crate::model::words;

words! {
    /// The least that a fact must rest on.
    Least {
        /// It may be unknown.
        Unknown = "unknown",
        /// Assumed by the agency.
        Assumed = "assumed",
        /// Stated by the dealer in words of his own, which the mapping reads.
        Interpreted = "interpreted",
        /// Stated by the dealer.
        Stated = "stated",
        /// Inspected for the agency.
        Inspected = "inspected",
        /// Documented.
        Documented = "documented",
    }
}

impl Least {
    /// The grade that is enough; none where the fact may be unknown.
    #[must_use]
    pub fn grade(self) -> Option<Grade> {
        Some(match self {
            Self::Unknown => return None,
            Self::Assumed => Grade::Assumed,
            Self::Interpreted => Grade::Interpreted,
            Self::Stated => Grade::Stated,
            Self::Inspected => Grade::Inspected,
            Self::Documented => Grade::Documented,
        })
    }

    /// Whether a fact of this grade is enough.
    #[must_use]
    pub fn is_met_by(self, grade: Option<Grade>) -> bool {
        self.grade() <= grade
    }
}

/// Declares the kinds of fact, and for each the least to plan with and to pay on.
macro_rules! kinds {
    ($(#[doc = $about:literal] $Kind:ident $key:ident $label:literal: $plan:tt, $pay:tt;)*) => {
        words! {
            /// Facts of a car that are found out together.
            FactKind {
                $(#[doc = $about] $Kind = $label,)*
            }
        }

        table! {
            /// What a fact must rest on for the car to be in a plan at all; below it S26 bars. The
            /// words rise: unknown, assumed, interpreted, stated, inspected, documented.
            ToPlan "evidence.to_plan", "our own" {
                $(#[doc = $about] $key: Least = $plan, Word(Least::words);)*
            }
        }

        table! {
            /// What a fact must rest on before money is paid for the car; below it the bridge is to
            /// confirm.
            ToPay "evidence.to_pay", "our own" {
                $(#[doc = $about] $key: Least = $pay, Word(Least::words);)*
            }
        }

        impl ToPlan {
            /// What a fact of this kind must rest on.
            #[must_use]
            pub fn of(&self, kind: FactKind) -> Least {
                match kind { $(FactKind::$Kind => self.$key,)* }
            }

            /// Asks of each fact what must be known before money is paid, where that is more.
            pub fn raise(&mut self, to_pay: &ToPay) {
                $(self.$key = self.$key.max(to_pay.$key);)*
            }
        }

        impl ToPay {
            /// What a fact of this kind must rest on.
            #[must_use]
            pub fn of(&self, kind: FactKind) -> Least {
                match kind { $(FactKind::$Kind => self.$key,)* }
            }
        }
    };
}

kinds! {
    /// Kind of car, and its section.
    Kind kind "kind of car": "interpreted", "inspected";
    /// Whether it was ever in a wreck.
    History history "history": "interpreted", "inspected";
    /// Condition of main girder, exterior girders and bolsters.
    Primary primary_members "main members": "interpreted", "inspected";
    /// Condition of cross-members and stringers.
    Secondary secondary_members "cross-members and stringers": "interpreted", "inspected";
    /// Truck centers and length over ends.
    Lengths lengths "lengths": "interpreted", "inspected";
    /// Width over the exterior girders.
    Width width "width": "interpreted", "inspected";
    /// Camber.
    Camber camber "camber": "interpreted", "inspected";
    /// Plates of the main girder.
    Plates plates "plates": "stated", "inspected";
    /// Section modulus, where there are no plates.
    Modulus modulus "section modulus": "stated", "inspected";
    /// Unbraced length of the main girder, and its plates where the modulus is stated: shear and buckling.
    Web web "web and bracing": "unknown", "inspected";
    /// Year built, where the yield strength goes by it; unknown takes the lowest.
    Year year_built "year built": "unknown", "stated";
    /// Size and spacing of stringers and cross-members.
    Local stringers "stringer and cross-member sizes": "unknown", "inspected";
    /// Depth of the exterior girder, where there is a joint.
    Exterior exterior_depth "exterior girder depth": "interpreted", "inspected";
    /// Weight without trucks.
    Weight weight "weight": "interpreted", "inspected";
    /// The car's deck, where it stays.
    Deck deck "deck": "interpreted", "inspected";
    /// A paint test without lead; unknown counts as lead.
    Lead lead "lead": "unknown", "inspected";
    /// The day on which it can leave, where the crossing has a date.
    Ready available "day it can leave": "interpreted", "stated";
}

impl FactKind {
    /// What to ask for: how the fact is found out.
    #[must_use]
    pub fn asked(self) -> &'static str {
        match self {
            Self::Kind => {
                "flat car from the start, or a body or rack taken off? sliding center sill? \
                 series as stenciled"
            }
            Self::History => "photographs of bolsters, center sill and splices",
            Self::Primary | Self::Secondary => {
                "bent, cracked, corroded (loss in %), missing: member by member"
            }
            Self::Lengths => "with a tape, to the half inch",
            Self::Width => "over side sills and over stake pockets",
            Self::Camber => {
                "blocked at the bolsters, no load, out of the sun: to the eighth of an inch"
            }
            Self::Plates | Self::Modulus => {
                "web depth and thickness, flanges, cover plates and where they end; least \
                 thickness left"
            }
            Self::Web => {
                "web depth and thickness, flanges; greatest length of the top flange without support"
            }
            Self::Year => "stencil; rebuilt or not",
            Self::Local => "depth, flange, web, spacing and span",
            Self::Exterior => "depth and flange width",
            Self::Weight => "scale ticket, or stenciled light weight less trucks",
            Self::Deck => "boards, rot, nailing strips",
            Self::Lead => "chip test",
            Self::Ready => "in writing",
        }
    }

    /// Whether a fact of this kind that is unknown counts as the worst that it can be, so that nothing
    /// has to be asked where nothing is claimed.
    #[must_use]
    pub fn unknown_is_worst(self) -> bool {
        matches!(self, Self::Year | Self::Lead)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_higher_grade_is_enough_and_a_lower_one_is_not() {
        let grades = [
            None,
            Some(Grade::Assumed),
            Some(Grade::Interpreted),
            Some(Grade::Stated),
            Some(Grade::Inspected),
            Some(Grade::Documented),
        ];
        for (needed, least) in Least::ALL.iter().enumerate() {
            for (known, grade) in grades.iter().enumerate() {
                assert_eq!(least.is_met_by(*grade), known >= needed, "{least} {grade:?}");
            }
        }
    }
}
