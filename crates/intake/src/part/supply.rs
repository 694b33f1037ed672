//! Reading supplies.

use upgrade::part::supply::Supply;

use crate::fields::Fields;
use crate::part::offer::offers;
use crate::part::words::{AUX, certificates, supply_forms};
use crate::range;

/// A `[[supply]]`.
pub fn supply(fields: &mut Fields<'_, '_>) -> Option<Supply> {
    let id = fields.required_id("id");
    let maker = fields.required_text("maker");
    let name = fields.required_text("name");
    let form = fields.word("form", &supply_forms());
    let rated_power = fields.figure("rated_power", range::POWER);
    let rail_12v_power = fields.figure("rail_12v_power", range::POWER);
    let certificate = fields.word("certificate", &certificates());
    let aux_connectors = fields.word_list("aux_connectors", &AUX);
    let wire_gauge = fields.count("wire_gauge", 8, 28);
    let pin_rating = fields.figure("pin_rating", range::CURRENT);
    let efficiency = ["efficiency_at_20", "efficiency_at_50", "efficiency_at_100"]
        .map(|name| fields.figure(name, range::SHARE));
    let hold_time = fields.figure("hold_time", range::TIME);
    let card_connectors = fields.count("card_connectors", 0, 16);
    let offers = offers(fields);
    Some(Supply {
        id: id?,
        maker: maker?,
        name: name?,
        form,
        rated_power,
        rail_12v_power,
        certificate,
        aux_connectors,
        wire_gauge,
        pin_rating,
        efficiency,
        hold_time,
        card_connectors,
        offers,
    })
}
