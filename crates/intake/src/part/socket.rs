//! Reading sockets.

use upgrade::part::socket::Socket;

use crate::fields::Fields;
use crate::part::words::{CONTACTS, HOLD_DOWN};
use crate::range;

/// A `[[socket]]`.
pub fn socket(fields: &mut Fields<'_, '_>) -> Option<Socket> {
    let id = fields.required_id("id");
    let name = fields.required_text("name");
    let contacts = fields.word("contacts", &CONTACTS).get();
    fields.require("contacts", contacts.is_some(), "\"land-grid\"");
    let hold_down = fields.word("hold_down", &HOLD_DOWN).get();
    fields.require("hold_down", hold_down.is_some(), "\"lever-and-frame\"");
    let contact_count = fields.count("contact_count", 100, 20_000).get();
    fields.require("contact_count", contact_count.is_some(), "1200");
    let hole_spacing = fields.figure("hole_spacing", range::LENGTH);
    let cooler_load = fields.figure("cooler_load", range::FORCE);
    Some(Socket {
        id: id?,
        name: name?,
        contacts: contacts?,
        hold_down: hold_down?,
        contact_count: contact_count?,
        hole_spacing,
        cooler_load,
    })
}
