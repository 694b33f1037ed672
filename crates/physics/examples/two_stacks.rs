//! Two whole stacks and what the conduction solver says of them, as JSON for a solver of another kind to compare with:
//! `cargo run --release -p physics --example two_stacks`.

use core::error::Error;
use core::ops::ControlFlow;

use physics::conduction::grid::Resolution;
use physics::conduction::stack::{Interface, Layer, Source, Stack};
use physics::conduction::steady::solve;

/// A place where the rise is asked for: the mean over a rectangle in the lowest cells of a layer.
struct Probe {
    name: &'static str,
    layer: usize,
    x_m: (f64, f64),
    y_m: (f64, f64),
}

fn layer(name: &str, (x_m, y_m): ((f64, f64), (f64, f64)), thickness_m: f64, k: [f64; 3]) -> Layer {
    let above = Interface::Even(0.0);
    Layer { name: name.to_owned(), thickness_m, x_m, y_m, conductivity_w_mk: k, above }
}

fn around_middle(side_m: f64) -> ((f64, f64), (f64, f64)) {
    ((-side_m / 2.0, side_m / 2.0), (-side_m / 2.0, side_m / 2.0))
}

/// Die, solder, lid, paste and base with a film on it.
fn plain() -> (Stack, Vec<Probe>) {
    let stack = Stack {
        layers: vec![
            layer("die", around_middle(0.011), 0.8e-3, [120.0; 3]),
            layer("solder", around_middle(0.011), 0.25e-3, [50.0; 3]),
            layer("lid", around_middle(0.032), 2.5e-3, [390.0; 3]),
            layer("paste", around_middle(0.032), 0.05e-3, [5.0; 3]),
            layer("base", around_middle(0.04), 5e-3, [390.0; 3]),
        ],
        sources: vec![Source { layer: 0, x_m: (-0.004, 0.004), y_m: (-0.003, 0.003), power_w: 95.0 }],
        top_film_w_m2k: 2_500.0,
        bottom_film_w_m2k: 0.0,
    };
    let probes = vec![
        Probe { name: "the source", layer: 0, x_m: (-0.004, 0.004), y_m: (-0.003, 0.003) },
        Probe { name: "its middle", layer: 0, x_m: (-0.001, 0.001), y_m: (-0.001, 0.001) },
        Probe { name: "the lid over the die", layer: 2, x_m: (-0.0055, 0.0055), y_m: (-0.0055, 0.0055) },
        Probe { name: "a corner of the lid", layer: 2, x_m: (0.012, 0.016), y_m: (0.012, 0.016) },
        Probe { name: "the base over the lid", layer: 4, x_m: (-0.016, 0.016), y_m: (-0.016, 0.016) },
    ];
    (stack, probes)
}

/// A die off the middle with two hot clusters, a spreader that conducts far better along than through, and a joint
/// under the base that is thicker at one corner.
fn off_centre() -> (Stack, Vec<Probe>) {
    let mut spreader = layer("spreader", ((-0.018, 0.018), (-0.014, 0.014)), 1e-3, [700.0, 500.0, 12.0]);
    // Rows from the lower edge: the last corner's joint is four times as thick as the first one's.
    spreader.above = Interface::Map { columns: 2, resistance_m2k_w: vec![6e-6, 10e-6, 14e-6, 24e-6] };
    let mut die = layer("die", ((-0.010, 0.002), (-0.004, 0.006)), 0.7e-3, [120.0; 3]);
    die.above = Interface::Even(8e-6);
    let stack = Stack {
        layers: vec![die, spreader, layer("base", ((-0.024, 0.024), (-0.02, 0.02)), 4e-3, [200.0; 3])],
        sources: vec![
            Source { layer: 0, x_m: (-0.009, -0.005), y_m: (-0.003, 0.001), power_w: 40.0 },
            Source { layer: 0, x_m: (-0.002, 0.001), y_m: (0.001, 0.005), power_w: 30.0 },
        ],
        top_film_w_m2k: 3_000.0,
        bottom_film_w_m2k: 15.0,
    };
    let probes = vec![
        Probe { name: "the first cluster", layer: 0, x_m: (-0.009, -0.005), y_m: (-0.003, 0.001) },
        Probe { name: "the second cluster", layer: 0, x_m: (-0.002, 0.001), y_m: (0.001, 0.005) },
        Probe { name: "the die between them", layer: 0, x_m: (-0.004, -0.003), y_m: (0.001, 0.002) },
        Probe { name: "the spreader beside the die", layer: 1, x_m: (0.004, 0.008), y_m: (-0.002, 0.002) },
        Probe {
            name: "the base over the first cluster",
            layer: 2,
            x_m: (-0.009, -0.005),
            y_m: (-0.003, 0.001),
        },
        Probe { name: "a corner of the base", layer: 2, x_m: (0.02, 0.024), y_m: (0.016, 0.02) },
    ];
    (stack, probes)
}

fn pair((from, to): (f64, f64)) -> String {
    format!("[{from:e}, {to:e}]")
}

fn list(values: impl IntoIterator<Item = String>) -> String {
    format!("[{}]", values.into_iter().collect::<Vec<_>>().join(", "))
}

fn layer_json(layer: &Layer) -> String {
    let (columns, above) = match &layer.above {
        Interface::Even(resistance) => (1, vec![*resistance]),
        Interface::Map { columns, resistance_m2k_w } => (*columns, resistance_m2k_w.clone()),
    };
    format!(
        r#"{{"name": "{}", "x_m": {}, "y_m": {}, "thickness_m": {:e}, "conductivity_w_mk": {}, "columns": {columns}, "above_m2k_w": {}}}"#,
        layer.name,
        pair(layer.x_m),
        pair(layer.y_m),
        layer.thickness_m,
        list(layer.conductivity_w_mk.iter().map(|k| format!("{k:e}"))),
        list(above.iter().map(|r| format!("{r:e}"))),
    )
}

fn stack_json(name: &str, stack: &Stack, probes: &[Probe]) -> Result<String, Box<dyn Error>> {
    let at = |x, y, z| solve(stack, Resolution { x, y, z }, 2, &mut |_| ControlFlow::Continue(()));
    let (coarse, fine) = (at(144, 144, 32)?, at(288, 288, 64)?);
    let layers = list(stack.layers.iter().map(layer_json));
    let sources = list(stack.sources.iter().map(|source| {
        let (x, y) = (pair(source.x_m), pair(source.y_m));
        format!(r#"{{"layer": {}, "x_m": {x}, "y_m": {y}, "power_w": {:e}}}"#, source.layer, source.power_w)
    }));
    let probes = list(probes.iter().map(|probe| {
        let of = |found: &physics::conduction::steady::Steady| {
            let row = found.grid.layer_of.iter().position(|layer| *layer == probe.layer).unwrap_or(0);
            let height_m = 0.5 * (found.grid.z_m[row] + found.grid.z_m[row + 1]);
            let rise_k = found.mean_k(probe.layer, probe.x_m, probe.y_m);
            format!(r#"{{"height_m": {height_m:e}, "rise_k": {rise_k:e}}}"#)
        };
        let (x, y) = (pair(probe.x_m), pair(probe.y_m));
        format!(
            r#"{{"name": "{}", "x_m": {x}, "y_m": {y}, "coarse": {}, "fine": {}}}"#,
            probe.name,
            of(&coarse),
            of(&fine)
        )
    }));
    Ok(format!(
        r#"{{"name": "{name}", "layers": {layers}, "sources": {sources}, "top_film_w_m2k": {:e}, "bottom_film_w_m2k": {:e}, "probes": {probes}}}"#,
        stack.top_film_w_m2k, stack.bottom_film_w_m2k
    ))
}

fn main() -> Result<(), Box<dyn Error>> {
    let ((plain, plain_probes), (off, off_probes)) = (plain(), off_centre());
    let stacks = [
        stack_json("die, solder, lid, paste, base", &plain, &plain_probes)?,
        stack_json("two clusters off the middle, anisotropic spreader, uneven joint", &off, &off_probes)?,
    ];
    println!("{}", list(stacks));
    Ok(())
}
