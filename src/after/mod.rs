//! After the plan: what was decided since, which prices to beat, what is missing, what stands in for a
//! car that fails, and how the next plan changes as little as it can.
//!
//! | module | question |
//! | --- | --- |
//! | [`decide`] | What was bought, sold, measured or fixed, and what do the inputs look like after it? |
//! | [`ask`] | Which facts, if they turn out well, open which crossings? |
//! | [`prices`] | At what price would a car enter the plan or leave it? |
//! | [`relax`] | Which one limit, moved a little, would serve a crossing? |
//! | [`want`] | Which car should a dealer be asked for? |
//! | [`spare`] | What takes the place of a car that fails its inspection? |
//! | [`replan`] | Which of the cheapest plans changes least from the last one? |
//! | [`compare`] | How do finished plans differ? |
//! | [`origin`] | Is a finished plan as it was written, and from which files? |

pub mod ask;
pub mod compare;
pub mod decide;
pub mod discount;
pub mod origin;
pub mod prices;
pub mod relax;
pub mod replan;
pub mod spare;
pub mod want;
