//! Reading memory kits.

use upgrade::part::memory::MemoryKit;

use crate::fields::Fields;
use crate::part::offer::offers;
use crate::part::words::{BUFFERING, SUPPORT, memory_types};
use crate::range;

/// A `[[memory]]`.
pub fn memory(fields: &mut Fields<'_, '_>) -> Option<MemoryKit> {
    let id = fields.required_id("id");
    let maker = fields.required_text("maker");
    let name = fields.required_text("name");
    let reported = fields.texts("reported");
    let kind = fields.word("kind", &memory_types());
    let modules = fields.count("modules", 1, 16).get();
    fields.require("modules", modules.is_some(), "2");
    let module_capacity = fields.figure("module_capacity", range::CAPACITY);
    let speed = fields.figure("speed", range::RATE);
    let ranks = fields.count("ranks", 1, 8);
    let voltage = fields.figure("voltage", range::VOLTAGE);
    let buffering = fields.word("buffering", &BUFFERING);
    let error_correction = fields.word("error_correction", &SUPPORT);
    let height = fields.figure("height", range::LENGTH);
    let power = fields.figure("power", range::POWER);
    let offers = offers(fields);
    Some(MemoryKit {
        id: id?,
        maker: maker?,
        name: name?,
        reported,
        kind,
        modules: modules?,
        module_capacity,
        speed,
        ranks,
        voltage,
        buffering,
        error_correction,
        height,
        power,
        offers,
    })
}
