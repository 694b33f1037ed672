//! One part of any kind: read, put into a library, taken out of it.

use core::ops::Range;

use quantity::reading::Origin;
use upgrade::part::board::Board;
use upgrade::part::case::Case;
use upgrade::part::chipset::Chipset;
use upgrade::part::cooler::Cooler;
use upgrade::part::id::{Kind, PartId};
use upgrade::part::library::Library;
use upgrade::part::memory::MemoryKit;
use upgrade::part::paste::Paste;
use upgrade::part::processor::Processor;
use upgrade::part::supply::Supply;

use crate::fields::{Description, Fields};
use crate::leaf::Leaf;
use crate::node::Table;
use crate::part::{board, case, chipset, cooler, memory, paste, processor, supply};
use crate::problem::Problems;
use crate::schema::described;

macro_rules! kinds {
    ($($kind:ident, $type:ty, $read:path, $map:ident;)+) => {
        /// A part of any kind.
        #[derive(Debug, Clone, PartialEq)]
        pub enum Part {
            $(
                /// Of this kind.
                $kind(Box<$type>),
            )+
        }

        impl Part {
            /// Its id.
            pub fn id(&self) -> &PartId {
                match self {
                    $(Self::$kind(part) => &part.id,)+
                }
            }
        }

        /// Reads a part of a kind; none where it lacks a required field.
        pub fn part(
            kind: Kind,
            table: &Table,
            span: Range<usize>,
            path: &str,
            problems: &mut Problems<'_>,
        ) -> Option<Part> {
            let mut fields = Fields::read(table, span, path, Origin::Sheet, problems);
            let part = match kind {
                $(Kind::$kind => $read(&mut fields).map(|part| Part::$kind(Box::new(part))),)+
            };
            fields.finish();
            part
        }

        /// Puts a part into a library, in the place of one with its id.
        pub fn into(library: &mut Library, part: Part) {
            match part {
                $(Part::$kind(part) => {
                    library.$map.insert(part.id.clone(), *part);
                })+
            }
        }

        /// Takes a part out of a library; its kind, where it was there.
        pub fn out_of(library: &mut Library, id: &PartId) -> Option<Kind> {
            $(if library.$map.remove(id).is_some() {
                return Some(Kind::$kind);
            })+
            None
        }

        /// What a kind of part may hold.
        fn description(kind: Kind) -> Description {
            match kind {
                $(Kind::$kind => described($read),)+
            }
        }
    };
}

kinds! {
    Processor, Processor, processor::processor, processors;
    Chipset, Chipset, chipset::chipset, chipsets;
    Board, Board, board::board, boards;
    Memory, MemoryKit, memory::memory, memory;
    Cooler, Cooler, cooler::cooler, coolers;
    Paste, Paste, paste::paste, pastes;
    Supply, Supply, supply::supply, supplies;
    Case, Case, case::case, cases;
}

/// The fields of a kind of part that one cell can hold, by path. Prices are not among them: they have days and shops.
pub fn fields(kind: Kind) -> Vec<(String, Leaf)> {
    let all = description(kind);
    all.leaves().iter().filter(|(path, _)| path != "id" && !path.starts_with("offers.")).cloned().collect()
}
