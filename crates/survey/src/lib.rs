//! What is in the machine: firmware tables, kernel files and memory modules' own tables, read live, from a
//! captured tree or from a dump, and turned into the record that a plan takes.
//!
//! Only this crate touches a machine's files, through [`root::Root`]; the decoders are functions of bytes.
//! Serial numbers, identifiers of the machine, asset tags and network addresses are never read into a
//! [`survey::Survey`].

pub mod capture;
pub mod entry;
pub mod identify;
pub mod pci;
pub mod psabi;
pub mod recognise;
pub mod record;
pub mod redact;
pub mod root;
pub mod sensors;
pub mod smbios;
pub mod software;
pub mod spd;
pub mod survey;
pub mod topology;
