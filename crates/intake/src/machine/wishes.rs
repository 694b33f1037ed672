//! Reading wishes.

use upgrade::machine::wishes::{BoardWish, NoiseWish, SecondHandWish, Wishes};

use crate::fields::Fields;
use crate::range;

const BOARD: [(&str, BoardWish); 2] = [("may-change", BoardWish::MayChange), ("keep", BoardWish::Keep)];
const SECOND_HAND: [(&str, SecondHandWish); 2] =
    [("welcome", SecondHandWish::Welcome), ("never", SecondHandWish::Never)];
const NOISE: [(&str, NoiseWish); 2] = [("indifferent", NoiseWish::Indifferent), ("quiet", NoiseWish::Quiet)];

/// The section `[wishes]`.
pub fn wishes(fields: &mut Fields<'_, '_>) -> Wishes {
    Wishes {
        budget: fields.money("budget"),
        hour_value: fields.money("hour_value"),
        board: fields.word("board", &BOARD).get().unwrap_or_default(),
        second_hand: fields.word("second_hand", &SECOND_HAND).get().unwrap_or_default(),
        noise: fields.word("noise", &NOISE).get().unwrap_or_default(),
        wall_power: fields.figure("wall_power", range::POWER),
        memory: fields.figure("memory", range::CAPACITY),
        least_gain: fields.figure("least_gain", range::SHARE),
        payback: fields.figure("payback", range::TIME),
    }
}
