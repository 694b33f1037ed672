//! The body of one power stage as heat sees it: two switches, an inductor, and their share of the board.

use crate::refusal::{Refusal, not_negative, positive, within};

/// Thermal resistances, areas and heat capacities of one stage. All stages are alike.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Body {
    /// Junction of the upper switch to the board, in K/W.
    pub upper_k_w: f64,
    /// Junction of the lower switch to the board, in K/W.
    pub lower_k_w: f64,
    /// Inductor to the board, in K/W.
    pub inductor_k_w: f64,
    /// Face of this stage's share of board and heatsink that gives heat to the air.
    pub board_area_m2: f64,
    /// Face of the inductor that gives heat to the air.
    pub inductor_area_m2: f64,
    /// Length of the faces along the air's way.
    pub flow_length_m: f64,
    /// Emissivity of all faces.
    pub emissivity: f64,
    /// Heat capacity of each switch, in J/K.
    pub switch_j_k: f64,
    /// Heat capacity of the inductor, in J/K.
    pub inductor_j_k: f64,
    /// Heat capacity of this stage's share of board and heatsink, in J/K.
    pub board_j_k: f64,
}

impl Body {
    /// The body, if heat can leave it.
    ///
    /// # Errors
    /// A resistance, area, length or heat capacity that is not above zero; an emissivity outside 0 to 1.
    pub fn checked(self) -> Result<Self, Refusal> {
        for (name, value) in [
            ("upper switch to board", self.upper_k_w),
            ("lower switch to board", self.lower_k_w),
            ("inductor to board", self.inductor_k_w),
            ("face of the board", self.board_area_m2),
            ("flow length", self.flow_length_m),
            ("heat capacity of a switch", self.switch_j_k),
            ("heat capacity of the inductor", self.inductor_j_k),
            ("heat capacity of the board", self.board_j_k),
        ] {
            positive(name, value)?;
        }
        not_negative("face of the inductor", self.inductor_area_m2)?;
        within("emissivity", self.emissivity, (0.0..=1.0).contains(&self.emissivity), "between 0 and 1")?;
        Ok(self)
    }
}

/// Temperatures of one stage in degrees Celsius.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Temperatures {
    /// Junction of the upper switch.
    pub upper_c: f64,
    /// Junction of the lower switch.
    pub lower_c: f64,
    /// Inductor.
    pub inductor_c: f64,
    /// Board and heatsink.
    pub board_c: f64,
}

impl Temperatures {
    /// All four alike.
    pub const fn all(celsius: f64) -> Self {
        Self { upper_c: celsius, lower_c: celsius, inductor_c: celsius, board_c: celsius }
    }

    /// In the order of [`Heat`]: upper, lower, inductor, board.
    pub const fn list(&self) -> [f64; 4] {
        [self.upper_c, self.lower_c, self.inductor_c, self.board_c]
    }

    /// The hottest.
    pub fn hottest_c(&self) -> f64 {
        self.list().into_iter().fold(f64::NEG_INFINITY, f64::max)
    }
}

/// Heat of one stage as a straight line in temperature, `at zero + slope * celsius`: upper switch, lower
/// switch, inductor, board. Conduction grows with the temperature of the very part that conducts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Heat {
    /// Watts at 0 °C.
    pub at_zero_w: [f64; 4],
    /// Watts more for each kelvin.
    pub slope_w_k: [f64; 4],
}

/// Conductances of one stage in W/K: upper, lower and inductor to board, inductor and board to air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Paths {
    /// Upper switch to board.
    pub upper: f64,
    /// Lower switch to board.
    pub lower: f64,
    /// Inductor to board.
    pub inductor: f64,
    /// Inductor to air.
    pub inductor_air: f64,
    /// Board to air.
    pub board_air: f64,
}

/// Temperatures of the outer parts while the board has one, and the watts that the board gains there
/// beyond what it gives off; `None` where an outer part runs away by itself.
///
/// # Model
/// Four nodes, each heat a straight line in its own node's temperature. For a given board each outer
/// node follows from one equation: `T = (q + G Tboard + G' Tair) / (G + G' - slope)`.
pub fn with_board(paths: &Paths, heat: &Heat, air_c: f64, board_c: f64) -> Option<(Temperatures, f64)> {
    let to_board = [paths.upper, paths.lower, paths.inductor];
    let to_air = [0.0, 0.0, paths.inductor_air];
    let mut gain = heat.at_zero_w[3] + heat.slope_w_k[3] * board_c - paths.board_air * (board_c - air_c);
    let mut ends = [0.0; 3];
    for idx in 0..3 {
        let own = to_board[idx] + to_air[idx] - heat.slope_w_k[idx];
        if own <= 0.0 {
            return None;
        }
        ends[idx] = (heat.at_zero_w[idx] + to_air[idx] * air_c + to_board[idx] * board_c) / own;
        gain += to_board[idx] * (ends[idx] - board_c);
    }
    Some((Temperatures { upper_c: ends[0], lower_c: ends[1], inductor_c: ends[2], board_c }, gain))
}

/// Share of each kelvin that comes back as heat; at one and above every kelvin makes more heat than it
/// carries away.
///
/// # Model
/// The share by which the slopes shrink the conductance from board to air, outer nodes eliminated.
pub fn feedback(paths: &Paths, heat: &Heat) -> f64 {
    let to_board = [paths.upper, paths.lower, paths.inductor];
    let to_air = [0.0, 0.0, paths.inductor_air];
    let (mut conductance, mut without) = (paths.board_air - heat.slope_w_k[3], paths.board_air);
    for idx in 0..3 {
        let all = to_board[idx] + to_air[idx];
        let own = all - heat.slope_w_k[idx];
        if own <= 0.0 {
            return 1.0 + heat.slope_w_k[idx] / all;
        }
        conductance += to_board[idx] * (1.0 - to_board[idx] / own);
        without += to_board[idx] * (1.0 - to_board[idx] / all);
    }
    1.0 - conductance / without
}

#[cfg(test)]
mod tests {
    use super::{Heat, Paths, feedback, with_board};

    const PATHS: Paths = Paths { upper: 0.2, lower: 0.3, inductor: 0.1, inductor_air: 0.02, board_air: 0.08 };

    #[test]
    fn heat_that_goes_in_comes_out_or_warms_the_board() {
        let heat = Heat { at_zero_w: [1.0, 0.5, 0.4, 0.1], slope_w_k: [0.002, 0.003, 0.001, 0.0] };
        let (t, gain) = with_board(&PATHS, &heat, 30.0, 50.0).unwrap();
        let made: f64 =
            heat.at_zero_w.iter().zip(heat.slope_w_k).zip(t.list()).map(|((a, b), t)| a + b * t).sum();
        let left = PATHS.board_air * (t.board_c - 30.0) + PATHS.inductor_air * (t.inductor_c - 30.0);
        assert!((made - left - gain).abs() < 1e-12, "made {made}, left {left}, gain {gain}");
        assert!((0.0..1.0).contains(&feedback(&PATHS, &heat)));
    }

    #[test]
    fn slopes_above_what_the_paths_carry_run_away() {
        let alone = Heat { at_zero_w: [1.0; 4], slope_w_k: [0.3, 0.05, 0.02, 0.0] };
        assert!(with_board(&PATHS, &alone, 30.0, 50.0).is_none());
        assert!(feedback(&PATHS, &alone) >= 1.0);
        let together = Heat { at_zero_w: [1.0; 4], slope_w_k: [0.05, 0.05, 0.02, 0.0] };
        assert!(feedback(&PATHS, &together) >= 1.0);
    }
}
