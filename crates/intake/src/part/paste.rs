//! Reading pastes.

use upgrade::part::paste::Paste;

use crate::fields::Fields;
use crate::part::offer::offers;
use crate::range;

/// A `[[paste]]`.
pub fn paste(fields: &mut Fields<'_, '_>) -> Option<Paste> {
    let id = fields.required_id("id");
    let maker = fields.required_text("maker");
    let name = fields.required_text("name");
    let conductivity = fields.figure("conductivity", range::CONDUCTIVITY);
    let yield_stress = fields.figure("yield_stress", range::YIELD_STRESS);
    let viscosity = fields.figure("viscosity", range::VISCOSITY);
    let filler_size = fields.figure("filler_size", range::LENGTH);
    let tube = fields.figure("tube", range::VOLUME);
    let offers = offers(fields);
    Some(Paste {
        id: id?,
        maker: maker?,
        name: name?,
        conductivity,
        yield_stress,
        viscosity,
        filler_size,
        tube,
        offers,
    })
}
