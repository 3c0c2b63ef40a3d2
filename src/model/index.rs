//! Typed indices into the lists of [`Inputs`](super::inputs::Inputs).

use serde::Serialize;

/// Declares a typed index into one of the lists.
macro_rules! index {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
        #[serde(transparent)]
        pub struct $name(pub usize);
    };
}

index!(
    /// Index of a car, or batch of identical cars.
    CarIx
);
index!(
    /// Index of a yard.
    YardIx
);
index!(
    /// Index of a lot.
    LotIx
);
index!(
    /// Index of a crossing.
    CrossingIx
);

/// One span of one layout of one crossing: the place of a deck.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
pub struct Site {
    /// The crossing.
    pub crossing: CrossingIx,
    /// Which of the crossing's layouts, from 0.
    pub layout: usize,
    /// Which span of the layout, from 0.
    pub span: usize,
}
