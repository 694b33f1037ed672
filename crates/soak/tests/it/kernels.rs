//! Every load at every width that is here: right while nothing is wrong, and every flipped bit is found.

use soak::kernel::{Done, Kernel, Load, Room};
use soak::width::Width;

/// Small memory, so that a round takes little time in a build without optimisation.
const MEMORY: usize = 2 << 20;

/// Blocks until whatever was disturbed must have been compared: sixteen rounds of the smallest matrix, or a turn of
/// all mixed loads.
const BLOCKS: usize = 200;

fn kernels() -> impl Iterator<Item = (Load, Width, Box<dyn Kernel>)> {
    let widths = Width::ALL.into_iter().filter(|width| width.is_here());
    widths.flat_map(|width| {
        let room = Room { memory: MEMORY, cache: 256 << 10, width };
        Load::ALL.map(|load| (load, width, load.kernel(room, 11)))
    })
}

fn first_wrong(kernel: &mut dyn Kernel, blocks: usize) -> Option<(usize, String)> {
    (0..blocks).find_map(|block| {
        let Done { work, wrong } = kernel.block();
        assert!(work > 0.0);
        Some((block, wrong?.what))
    })
}

#[test]
fn results_are_right_at_every_width() {
    for (load, width, mut kernel) in kernels() {
        assert_eq!(first_wrong(kernel.as_mut(), 30), None, "{load:?} {width:?}");
    }
}

#[test]
fn one_flipped_bit_is_found_wherever_it_is() {
    for (load, width, _) in kernels() {
        // Low and high bits, and all data of the loads that have several kinds.
        for bit in [0, 1, 31, 51, 63, 64, 113, 128, 177] {
            let mut fresh = load.kernel(Room { memory: MEMORY, cache: 256 << 10, width }, u64::from(bit));
            let right_before = first_wrong(fresh.as_mut(), 3);
            assert_eq!(right_before, None, "{load:?} {width:?}");
            fresh.disturb(bit);
            let found = first_wrong(fresh.as_mut(), BLOCKS);
            assert!(found.is_some(), "{load:?} {width:?}: bit {bit} was not found");
        }
    }
}
