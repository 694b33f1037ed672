//! Units as lists write them, beyond the symbols that the program itself prints.

use intake::leaf::FigureLeaf;

/// A unit that a list may use: the symbol it is counted in, and `in that symbol = number * factor + offset`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Known {
    /// A symbol of the dimension.
    pub symbol: &'static str,
    /// Factor.
    pub factor: f64,
    /// Offset.
    pub offset: f64,
}

const fn same(symbol: &'static str) -> Known {
    Known { symbol, factor: 1.0, offset: 0.0 }
}

const fn times(symbol: &'static str, factor: f64) -> Known {
    Known { symbol, factor, offset: 0.0 }
}

/// Spellings in small letters.
///
/// # Source
/// Factors: NIST Special Publication 811 (2008), appendix B.8: inch 25.4 mm, pound 0.453 592 37 kg, ounce
/// 28.349 523 125 g, cubic foot 0.028 316 846 592 m3, degree Fahrenheit 5/9 (t - 32). Spellings: common practice, no
/// source.
const SPELLINGS: &[(&str, Known)] = &[
    ("watt", same("W")),
    ("watts", same("W")),
    ("kilowatt", same("kW")),
    ("milliwatt", same("mW")),
    ("hertz", same("Hz")),
    ("kilohertz", same("kHz")),
    ("megahertz", same("MHz")),
    ("gigahertz", same("GHz")),
    ("mts", same("MT/s")),
    ("mt", same("MT/s")),
    ("megatransfers per second", same("MT/s")),
    ("metre", same("m")),
    ("meter", same("m")),
    ("centimetre", same("cm")),
    ("centimeter", same("cm")),
    ("millimetre", same("mm")),
    ("millimeter", same("mm")),
    ("millimetres", same("mm")),
    ("millimeters", same("mm")),
    ("micrometre", same("um")),
    ("micrometer", same("um")),
    ("in", times("mm", 25.4)),
    ("inch", times("mm", 25.4)),
    ("inches", times("mm", 25.4)),
    ("\"", times("mm", 25.4)),
    ("″", times("mm", 25.4)),
    ("zoll", times("mm", 25.4)),
    ("byte", same("B")),
    ("kilobyte", same("kB")),
    ("megabyte", same("MB")),
    ("gigabyte", same("GB")),
    ("gibibyte", same("GiB")),
    ("mebibyte", same("MiB")),
    ("terabyte", same("TiB")),
    ("tb", same("TiB")),
    ("℃", same("°C")),
    ("ºc", same("°C")),
    ("° c", same("°C")),
    ("deg c", same("°C")),
    ("celsius", same("°C")),
    ("degree celsius", same("°C")),
    ("degrees celsius", same("°C")),
    ("kelvin", same("K")),
    ("°f", Known { symbol: "°C", factor: 5.0 / 9.0, offset: -160.0 / 9.0 }),
    ("fahrenheit", Known { symbol: "°C", factor: 5.0 / 9.0, offset: -160.0 / 9.0 }),
    ("u/min", same("rpm")),
    ("min-1", same("rpm")),
    ("r/min", same("rpm")),
    ("tr/min", same("rpm")),
    ("volt", same("V")),
    ("volts", same("V")),
    ("millivolt", same("mV")),
    ("ampere", same("A")),
    ("amperes", same("A")),
    ("amp", same("A")),
    ("amps", same("A")),
    ("gram", same("g")),
    ("grams", same("g")),
    ("gramm", same("g")),
    ("kilogram", same("kg")),
    ("lb", times("kg", 0.453_592_37)),
    ("lbs", times("kg", 0.453_592_37)),
    ("oz", times("g", 28.349_523_125)),
    ("newton", same("N")),
    ("pascal", same("Pa")),
    ("cfm", times("m3/h", 1.699_010_795_52)),
    ("mmh2o", times("Pa", 9.806_65)),
    ("mm h2o", times("Pa", 9.806_65)),
    ("percent", same("%")),
    ("per cent", same("%")),
    ("prozent", same("%")),
    ("second", same("s")),
    ("seconds", same("s")),
    ("sek", same("s")),
    ("minutes", same("min")),
    ("decibel", same("dB")),
    ("db(a)", same("dB")),
    ("dba", same("dB")),
    ("w/m·k", same("W/mK")),
    ("w/m-k", same("W/mK")),
    ("w/m*k", same("W/mK")),
    ("w/(m*k)", same("W/mK")),
    ("w/(mk)", same("W/mK")),
];

/// The unit that a text names in a dimension.
///
/// Small and capital letters are taken for each other only where that cannot turn a thousandth into a million.
///
/// # Example
/// ```
/// use imports::unit::find;
/// use intake::leaf::FigureLeaf;
/// use quantity::dimension::{FrequencyDim, PowerDim};
/// assert_eq!(find("mhz", &FigureLeaf::of::<FrequencyDim>()).map(|unit| unit.symbol), Some("MHz"));
/// assert_eq!(find("Watts", &FigureLeaf::of::<PowerDim>()).map(|unit| unit.symbol), Some("W"));
/// assert_eq!(find("MW", &FigureLeaf::of::<PowerDim>()), None);
/// ```
pub fn find(text: &str, figure: &FigureLeaf) -> Option<Known> {
    let text = text.trim().trim_end_matches('.');
    let symbols = || figure.units.iter().flat_map(|unit| unit.symbols.iter().copied());
    if let Some(symbol) = symbols().find(|symbol| *symbol == text) {
        return Some(same(symbol));
    }
    if text.is_empty() {
        return None;
    }
    let lower = text.to_lowercase();
    let spelled = SPELLINGS
        .iter()
        .find(|(spelling, known)| *spelling == lower && symbols().any(|symbol| symbol == known.symbol));
    if let Some((_, known)) = spelled {
        return Some(*known);
    }
    let milli = |text: &str| text.starts_with('m');
    let mut alike = symbols().filter(|symbol| symbol.to_lowercase() == lower);
    let found = alike.next()?;
    // "MW" is not "mW"; "mhz" is "MHz", for no part has a clock of thousandths.
    let safe = milli(found) == milli(text) || (milli(text) && alike.next().is_none());
    safe.then(|| same(found))
}

/// The unit that a heading names behind its words, as `power (W)` or `height [mm]` or `clock / MHz`.
pub fn of_heading(heading: &str, figure: &FigureLeaf) -> Option<String> {
    let heading = heading.trim();
    let inside = |open: char, close: char| {
        let (_, rest) = heading.rsplit_once(open)?;
        Some(rest.split(close).next().unwrap_or(rest).trim())
    };
    let behind = |sign: &str| heading.rsplit_once(sign).map(|(_, unit)| unit.trim());
    [
        inside('(', ')'),
        inside('[', ']'),
        behind(" / "),
        behind(" in "),
        behind(", "),
        behind("_"),
        behind(" "),
    ]
    .into_iter()
    .flatten()
    .find(|unit| !unit.is_empty() && find(unit, figure).is_some())
    .map(str::to_owned)
}
