//! Time of pressing a blob to its final film.
//!
//! Peer on the same blob (N x N cells, whole, a script over a sparse direct solver): 0.12 s at 64, 0.43 s at 128, 3.9 s at
//! 256; its gap is 0.6 % off the closed form there and its front 1.0 % out of round.

use core::f64::consts::PI;

use physics::paste::input::{PressInput, Symmetry};
use physics::paste::pattern::Pattern;
use physics::paste::press::{Go, press};
use physics::paste::rheology::FlowLaw;

fn main() {
    divan::main();
}

fn blob(symmetry: Symmetry) -> PressInput {
    let volume = PI * 0.003 * 0.003 * 5e-4;
    let mut input = PressInput::flat(0.0175, 0.0175, FlowLaw::newtonian(100.0), volume, Pattern::Dot, 100.0);
    input.cells = (256, 256);
    input.symmetry = symmetry;
    // h^-4 = h0^-4 + 8 pi F t / (3 eta V^2) reaches 0.1 mm here.
    input.time_limit_s =
        3.0 * 100.0 * volume * volume / (8.0 * PI * 100.0) * ((1e-4_f64).powi(-4) - (5e-4_f64).powi(-4));
    input.stall_per_s = 0.0;
    input
}

#[divan::bench]
fn newtonian_blob_256_quarter(bencher: divan::Bencher<'_, '_>) {
    let input = blob(Symmetry::Use);
    bencher.bench(|| press(&input, &mut |_| Go::On));
}

#[divan::bench]
fn newtonian_blob_256_whole(bencher: divan::Bencher<'_, '_>) {
    let input = blob(Symmetry::Ignore);
    bencher.bench(|| press(&input, &mut |_| Go::On));
}

#[divan::bench]
fn bingham_cross_256_quarter_to_its_final_film(bencher: divan::Bencher<'_, '_>) {
    let mut input =
        PressInput::flat(0.036, 0.036, FlowLaw::bingham(150.0, 100.0), 60e-9, Pattern::Cross, 250.0);
    input.cells = (256, 256);
    bencher.bench(|| press(&input, &mut |_| Go::On));
}
