//! The lines of a cost.

use serde::Serialize;

use crate::model::words;
use crate::quantity::Cents;

words! {
    /// What a cost line pays for.
    CostItem {
        /// A car sold singly.
        Car = "car price",
        /// What a price break takes off, negative.
        PriceBreak = "price break",
        /// A car of the agency's own, at no price.
        OwnCar = "own stock",
        /// A car's even share of the price of its lot.
        LotShare = "lot share",
        /// Sales tax on what a dealer is paid.
        SalesTax = "sales tax",
        /// Loading at the yard.
        Loading = "loading",
        /// The agency's inspection trip to a yard.
        Trip = "yard trip",
        /// Bringing a crane to a yard.
        YardCrane = "crane at the yard",
        /// Haul from yard to crossing.
        Haul = "haul",
        /// Permit for an overlength or overweight load.
        Permit = "permit",
        /// Escort for a long load.
        Escort = "escort",
        /// Bringing a crane to the crossing.
        Crane = "crane",
        /// Setting a car.
        Pick = "pick",
        /// Cutting ends back.
        Trim = "trimming",
        /// What is paid for steel taken off, negative.
        ScrapCredit = "scrap credit",
        /// Couplers, draft gear and brake rigging taken off.
        Gear = "gear off",
        /// The car's own deck taken off and disposed of.
        Strip = "old deck off",
        /// Survey of a car, and coupons cut and tested.
        Tests = "survey and tests",
        /// Bearings and seats.
        Bearing = "bearings and seats",
        /// Stiffeners and a diaphragm over a bearing inside its bolster.
        Stiffener = "stiffeners",
        /// Repair of secondary members.
        Repair = "repair",
        /// Blasting and painting.
        Coating = "blasting and paint",
        /// Lead containment and disposal.
        Lead = "lead work",
        /// Deck surface.
        Deck = "deck",
        /// Longitudinal joint.
        Joint = "joint",
        /// Rails.
        Rail = "rail",
        /// Rails on the approaches.
        ApproachRail = "approach rail",
        /// Piers.
        Piers = "piers",
        /// Contingency, in per cent of the work.
        Contingency = "contingency",
        /// Engineering and inspection, in per cent of the work.
        Engineering = "engineering",
        /// What the crossing costs beside the flat-car bridge.
        Other = "other works",
        /// Worth of a left-over car, negative.
        StockValue = "stock value",
    }
}

impl CostItem {
    /// Whether it is work at a crossing, of which contingency and engineering are taken: not what dealers are
    /// paid, nor what a yard costs once, nor what is stated as a whole.
    #[must_use]
    pub fn is_work(self) -> bool {
        match self {
            Self::Car | Self::PriceBreak | Self::OwnCar | Self::LotShare | Self::SalesTax => false,
            Self::Trip | Self::YardCrane | Self::ScrapCredit | Self::StockValue => false,
            Self::Contingency | Self::Engineering | Self::Other => false,
            Self::Loading | Self::Haul | Self::Permit | Self::Escort => true,
            Self::Crane | Self::Pick | Self::Trim | Self::Gear | Self::Strip => true,
            Self::Tests | Self::Bearing | Self::Stiffener | Self::Repair => true,
            Self::Coating | Self::Lead | Self::Deck | Self::Joint | Self::Rail => true,
            Self::ApproachRail | Self::Piers => true,
        }
    }
}

/// One line of a cost, with the arithmetic behind it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CostLine {
    /// What it pays for.
    pub item: CostItem,
    /// Which car, joint or part.
    pub subject: String,
    /// Quantity times rate in words: `212.4 mi x $6.50/mi`.
    pub basis: String,
    /// The amount.
    #[serde(rename = "amount_usd_cents")]
    pub amount: Cents,
}

/// The sum of some lines.
#[must_use]
pub fn sum(lines: &[CostLine]) -> Cents {
    lines.iter().map(|line| line.amount).sum()
}
