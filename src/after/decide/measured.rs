//! Measured values in place of the dealer's.

use crate::model::car::{Car, MemberCondition};
use crate::model::inventory::Inventory;
use crate::quantity::Percent;

/// Puts the measured values of these columns into a car.
///
/// # Errors
/// The column that contradicts what is known of the car otherwise, and why.
pub fn replace(
    car: &mut Car,
    values: &Car,
    columns: &[Inventory],
) -> Result<(), (Inventory, String)> {
    let measured = |column| columns.contains(&column);
    for column in columns {
        column.copy(car, values);
    }
    if measured(Inventory::Deck) && !measured(Inventory::DeckCondition) {
        car.deck_condition = None;
    }
    if measured(Inventory::MainGirder) && !measured(Inventory::Webs) {
        thin(car);
    }
    let at = |column| if measured(column) { column } else { Inventory::Length };
    if let (Some(length), Some(centers)) = (car.length, car.truck_centers)
        && centers.0 >= length.0
    {
        let wrong = format!("leaves truck centers of {centers} in a length of {length}");
        return Err((at(Inventory::TruckCenters), wrong));
    }
    if let (Some(length), Some(unbraced)) = (car.length, car.girder.unbraced_ft)
        && unbraced.0 > length.0
    {
        let wrong = format!("leaves {unbraced} without support in a length of {length}");
        return Err((at(Inventory::Unbraced), wrong));
    }
    Ok(())
}

/// A loss seen on the main girder holds for plates measured earlier too: theirs rises to it. It
/// never falls, and a loss that nobody put a number to leaves plates of no use.
fn thin(car: &mut Car) {
    let Some(plates) = &mut car.girder.plates else { return };
    let loss = match car.members.main_girder {
        Some(MemberCondition::Sound) => Percent(0.0),
        Some(MemberCondition::Corroded(loss)) => loss,
        _ => {
            car.girder.plates = None;
            return;
        }
    };
    for of_plate in
        [&mut plates.web_loss_pct, &mut plates.top_loss_pct, &mut plates.bottom_loss_pct]
    {
        of_plate.0 = of_plate.0.max(loss.0);
    }
}
