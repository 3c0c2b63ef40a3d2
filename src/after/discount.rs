//! What a discount would change: prices as they are asked, less a share.

use crate::model::inputs::Inputs;
use crate::quantity::Percent;

/// The same inputs with a share off what a dealer asks, or every dealer. What is the agency's own, or
/// paid already, has no price that falls.
pub fn discounted(inputs: &mut Inputs, share: Percent, dealer: Option<&str>) {
    let rest = 1.0 - share.fraction();
    let theirs = |name: &str| dealer.is_none_or(|dealer| dealer == name);
    for car in inputs.cars.iter_mut().filter(|car| !car.owned && theirs(&car.dealer)) {
        car.price = car.price.map(|price| price.times(rest));
    }
    for lot in inputs.lots.iter_mut().filter(|lot| theirs(&lot.dealer)) {
        lot.price = lot.price.map(|price| price.times(rest));
    }
}
