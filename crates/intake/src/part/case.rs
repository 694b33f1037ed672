//! Reading cases.

use upgrade::part::case::Case;

use crate::fields::Fields;
use crate::part::offer::offers;
use crate::part::words::{REAR_OPENING, forms, supply_forms};
use crate::range;

/// A `[[case]]`.
pub fn case(fields: &mut Fields<'_, '_>) -> Option<Case> {
    let id = fields.required_id("id");
    let maker = fields.required_text("maker");
    let name = fields.required_text("name");
    let boards = fields.words("forms", &forms());
    let supply_forms = fields.words("supply_forms", &supply_forms());
    let cooler_height = fields.figure("cooler_height", range::LENGTH);
    let radiators = fields.quantities("radiators", range::LENGTH);
    let air_flow = fields.figure("air_flow", range::FLOW);
    let front_plugs = fields.texts("front_plugs");
    let rear_opening = fields.word("rear_opening", &REAR_OPENING);
    let offers = offers(fields);
    Some(Case {
        id: id?,
        maker: maker?,
        name: name?,
        forms: boards,
        supply_forms,
        cooler_height,
        radiators,
        air_flow,
        front_plugs,
        rear_opening,
        offers,
    })
}
