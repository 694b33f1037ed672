//! Reading where a machine stands.

use upgrade::carry::wall::Mains;
use upgrade::machine::setting::Setting;

use crate::fields::Fields;
use crate::range;

/// Mains voltages by the words of files.
pub const MAINS: [(&str, Mains); 2] = [("115 V", Mains::Volts115), ("230 V", Mains::Volts230)];

/// The section `[setting]`.
pub fn setting(fields: &mut Fields<'_, '_>) -> Setting {
    Setting {
        room: fields.figure("room", range::AIR),
        altitude: fields.figure("altitude", range::ALTITUDE),
        case_air_rise: fields.figure("case_air_rise", range::RISE),
        days_a_year: fields.count("days_a_year", 1, 366).get().and_then(|days| u16::try_from(days).ok()),
        hours_on: fields.figure("hours_on", range::TIME),
        mains: fields.word("mains", &MAINS).get().unwrap_or_default(),
        energy_price: fields.money("energy_price"),
    }
}
