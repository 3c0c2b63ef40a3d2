//! What people decided after the plan: bought, reserved, sold to others, refused, measured, fixed.

use std::collections::BTreeMap;

use jiff::civil::Date;

use super::car::Car;
use super::columns::Columns as _;
use super::crossing::Crossing;
use super::crossing_columns::CrossingColumn;
use super::index::{CarIx, CrossingIx, LotIx};
use super::inventory::Inventory;
use super::place::RowPlace;
use super::words;
use crate::quantity::Cents;

/// What a decision is about.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Goods {
    /// A row of the inventory, by dealer and ID.
    Car {
        /// The dealer's name.
        dealer: String,
        /// The dealer's ID.
        car: String,
    },
    /// A lot, by dealer and name.
    Lot {
        /// The dealer's name.
        dealer: String,
        /// The lot's name.
        lot: String,
    },
}

impl Goods {
    /// `Drumfell Reclaim UD-08`, `Drumfell Reclaim lot UD-A`.
    #[must_use]
    pub fn name(&self) -> String {
        match self {
            Self::Car { dealer, car } => format!("{dealer} {car}"),
            Self::Lot { dealer, lot } => format!("{dealer} lot {lot}"),
        }
    }
}

/// Some of the identical cars of a row, under a name of their own from now on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Part {
    /// How many.
    pub count: u32,
    /// The ID they get; none where the count is that of the whole row.
    pub name: Option<String>,
}

/// One thing decided.
#[derive(Clone, Debug, PartialEq)]
pub enum What {
    /// Paid for, or bound by contract: it stays bought.
    Bought {
        /// What was bought.
        goods: Goods,
        /// The price of each car, or of the lot.
        price: Cents,
    },
    /// Held for the agency until a day.
    Reserved {
        /// What is held.
        goods: Goods,
        /// Last day.
        until: Date,
        /// The price agreed; none: as quoted.
        price: Option<Cents>,
    },
    /// Gone to another buyer.
    Sold(Goods),
    /// Seen and refused.
    Refused(Goods),
    /// A new price.
    Quoted {
        /// What it is for.
        goods: Goods,
        /// The price of each car, or of the lot.
        price: Cents,
        /// Last day on which it holds; none: as before.
        until: Option<Date>,
    },
    /// Measured: these values replace the dealer's.
    Measured {
        /// The car.
        goods: Goods,
        /// The values, in a car of which only `columns` count.
        values: Box<Car>,
        /// The columns measured.
        columns: Vec<Inventory>,
        /// The role of who measured.
        by: Option<String>,
        /// The drawing, certificate or ticket that states them, where they were not measured.
        document: Option<String>,
    },
    /// Bad news in the list was asked about; the answer is the decision's note.
    Answered(Goods),
    /// The car is not the one that another dealer lists under a like ID.
    Different(Goods),
    /// The car goes to this crossing and to no other.
    Fixed {
        /// The car.
        goods: Goods,
        /// The crossing's ID.
        crossing: String,
    },
    /// The crossing is not to be served any more.
    Dropped(String),
    /// One crossing more.
    Added(Box<Crossing>),
    /// Facts of a crossing are others than its file says.
    Changed {
        /// The crossing's ID.
        crossing: String,
        /// The values, in a crossing of which only `columns` count.
        values: Box<Crossing>,
        /// The columns changed.
        columns: Vec<CrossingColumn>,
    },
    /// The bridge stands: the crossing is done, and its cars are in it for good.
    Built {
        /// The crossing's ID.
        crossing: String,
        /// The IDs of its cars; none named: those fixed to it.
        cars: Vec<String>,
        /// Whether the crossing is among those looked at.
        looked_at: bool,
    },
    /// The agency's own car is kept for later.
    Held(Goods),
}

impl What {
    /// The word that the decisions file uses.
    #[must_use]
    pub fn word(&self) -> &'static str {
        match self {
            Self::Bought { .. } => "bought",
            Self::Reserved { .. } => "reserved",
            Self::Sold(_) => "sold",
            Self::Refused(_) => "refused",
            Self::Quoted { .. } => "quoted",
            Self::Measured { .. } => "measured",
            Self::Answered(_) => "answered",
            Self::Different(_) => "different",
            Self::Fixed { .. } => "fixed",
            Self::Dropped(_) => "dropped",
            Self::Added(_) => "added",
            Self::Changed { .. } => "changed",
            Self::Built { .. } => "built",
            Self::Held(_) => "held",
        }
    }

    /// The car or lot it is about, if it is about one.
    #[must_use]
    pub fn goods(&self) -> Option<&Goods> {
        match self {
            Self::Bought { goods, .. }
            | Self::Reserved { goods, .. }
            | Self::Sold(goods)
            | Self::Refused(goods)
            | Self::Answered(goods)
            | Self::Different(goods)
            | Self::Held(goods)
            | Self::Quoted { goods, .. }
            | Self::Measured { goods, .. }
            | Self::Fixed { goods, .. } => Some(goods),
            Self::Dropped(_) | Self::Added(_) | Self::Changed { .. } | Self::Built { .. } => None,
        }
    }
}

/// One decision as written.
#[derive(Clone, Debug, PartialEq)]
pub struct Decision {
    /// What was decided.
    pub what: What,
    /// Of several identical cars, how many; none: the whole row.
    pub part: Option<Part>,
    /// The day.
    pub on: Option<Date>,
    /// The reason, or a remark.
    pub note: Option<String>,
    /// Where it stands.
    pub place: RowPlace,
}

impl Decision {
    /// The decision in one sentence, without its place.
    #[must_use]
    pub fn sentence(&self) -> String {
        let name = |goods: &Goods| match self.part.as_ref() {
            Some(Part { count, name: Some(new) }) => {
                format!("{count} of {}, from now on {new}", goods.name())
            }
            _ => goods.name(),
        };
        let mut text = match &self.what {
            What::Bought { goods, price } => format!("{}: bought for {price}", name(goods)),
            What::Reserved { goods, until, price } => {
                let at = price.map(|price| format!(" at {price}")).unwrap_or_default();
                format!("{}: reserved until {until}{at}", name(goods))
            }
            What::Sold(goods) => format!("{}: sold to others", name(goods)),
            What::Refused(goods) => format!("{}: refused after inspection", name(goods)),
            What::Quoted { goods, price, until } => {
                let until = until.map(|day| format!(" until {day}")).unwrap_or_default();
                format!("{}: now quoted at {price}{until}", name(goods))
            }
            What::Measured { goods, columns, .. } => {
                let columns: Vec<_> = columns.iter().map(|column| column.column().name).collect();
                format!("{}: measured {}", name(goods), columns.join(", "))
            }
            What::Answered(goods) => format!("{}: what its list tells is answered", name(goods)),
            What::Different(goods) => {
                format!("{}: is another car than the one of a like ID", name(goods))
            }
            What::Fixed { goods, crossing } => format!("{}: goes to {crossing}", name(goods)),
            What::Dropped(crossing) => format!("{crossing}: dropped"),
            What::Added(crossing) => format!("{}: added, {}", crossing.id, crossing.road),
            What::Changed { crossing, columns, .. } => {
                let columns: Vec<_> = columns.iter().map(|column| column.column().name).collect();
                format!("{crossing}: changed {}", columns.join(", "))
            }
            What::Built { crossing, cars, .. } => {
                let with = if cars.is_empty() { "" } else { " with " };
                format!("{crossing}: built{with}{}", cars.join(", "))
            }
            What::Held(goods) => format!("{}: kept for later", name(goods)),
        };
        if let Some(note) = &self.note {
            text.push_str(&format!(" ({note})"));
        }
        text
    }
}

words! {
    /// What became of a car or lot.
    CarFate {
        /// Paid for.
        Bought = "bought",
        /// Held for the agency.
        Reserved = "reserved",
        /// Gone to another buyer.
        Sold = "sold to others",
        /// Seen and refused.
        Refused = "refused after inspection",
        /// In a bridge that stands.
        Built = "built in",
        /// The agency's own, kept for later.
        Held = "kept for later",
    }
}

impl CarFate {
    /// Whether the car cannot be had for a bridge of this plan.
    #[must_use]
    pub fn is_gone(self) -> bool {
        matches!(self, Self::Sold | Self::Refused | Self::Built | Self::Held)
    }
}

/// What was decided of one car, and by which decision.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Standing {
    /// What became of it.
    pub fate: CarFate,
    /// Index of the decision in [`Decided::list`].
    pub decision: usize,
}

/// All that was decided, as applied to the inputs.
#[derive(Clone, Debug, Default)]
pub struct Decided {
    /// The decisions, in the order of the file.
    pub list: Vec<Decision>,
    /// What became of cars.
    pub standing: BTreeMap<CarIx, Standing>,
    /// Cars whose bad news was answered, by which decision.
    pub answered: BTreeMap<CarIx, usize>,
    /// Cars that are not the ones that other dealers list under like IDs, by which decision.
    pub different: BTreeMap<CarIx, usize>,
    /// Cars that another dealer seems to list too, with the offer that counts; found in the lists.
    pub twins: BTreeMap<CarIx, CarIx>,
    /// Cars that go to one crossing and no other.
    pub fixed: BTreeMap<CarIx, CrossingIx>,
    /// Lots bought, whose cars are now the agency's own.
    pub lots_bought: Vec<LotIx>,
    /// What is paid already.
    pub paid: Cents,
    /// Cars that were part of a row of several, with the ID of that row.
    pub parted: BTreeMap<CarIx, String>,
}

impl Decided {
    /// Whether nothing was decided.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.list.is_empty()
    }

    /// Whether a column of this car was measured.
    #[must_use]
    pub fn has_measured(&self, car: &Car, column: Inventory) -> bool {
        self.list.iter().any(|decision| match &decision.what {
            What::Measured { goods: Goods::Car { dealer, car: id }, columns, .. } => {
                let part = decision.part.as_ref().and_then(|part| part.name.as_ref());
                *dealer == car.dealer && part.unwrap_or(id) == &car.id && columns.contains(&column)
            }
            _ => false,
        })
    }

    /// The decision that settled a car's fate.
    #[must_use]
    pub fn of_car(&self, car: CarIx) -> Option<(CarFate, &Decision)> {
        let standing = self.standing.get(&car)?;
        Some((standing.fate, self.list.get(standing.decision)?))
    }

    /// Whether a car may lie at a crossing: it is fixed to none, or to this one.
    #[must_use]
    pub fn may_go_to(&self, car: CarIx, crossing: CrossingIx) -> bool {
        self.fixed.get(&car).is_none_or(|fixed| *fixed == crossing)
    }
}
