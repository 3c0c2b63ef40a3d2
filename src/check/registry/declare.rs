//! How the table becomes the codes and their registry.

use super::Stage;

/// Declares the codes and their registry in one place.
macro_rules! codes {
    ($(
        $code:ident $id:literal $stage:ident $name:literal, $basis:expr, $about:literal
        $(, $remedy:literal)?
        $(eg $car:literal at $crossing:literal $outcome:ident $why:literal)*;
    )*) => {
        /// The stable code of a question; see [`Kind`] for its meaning.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Code {
            $(#[doc = concat!($id, ": ", $name, ".")] $code,)*
        }

        /// Every question, in the order of the work.
        pub const REGISTRY: &[Kind] = &[
            $(Kind {
                code: Code::$code,
                id: $id,
                stage: Stage::$stage,
                name: $name,
                basis: $basis,
                about: $about,
                remedy: remedy(Stage::$stage, &[$($remedy)?]),
                examples: &[$(Example {
                    car: $car,
                    crossing: $crossing,
                    outcome: Outcome::$outcome,
                    why: $why,
                },)*],
            },)*
        ];
    };
}

/// The remedy of an entry, or else that of its stage.
pub(super) const fn remedy(stage: Stage, own: &[&'static str]) -> &'static str {
    if let [own] = own { own } else { stage.remedy() }
}

pub(super) use codes;
