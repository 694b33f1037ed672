//! Numbers as people and shops write them: decimal commas, marks between thousands.

/// Which mark stands before the decimals.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Decimals {
    /// `1,234.5`
    Point,
    /// `1.234,5`
    Comma,
}

impl Decimals {
    /// The word in a mapping.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Point => "point",
            Self::Comma => "comma",
        }
    }
}

/// What a written number tells of its marks.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Written {
    /// It can be read one way only; as plain digits with a point, and the mark it shows, where it shows one.
    Sure(String, Option<Decimals>),
    /// One mark with three digits behind it: thousands or decimals.
    Open {
        /// Read with a decimal point.
        point: String,
        /// Read with a decimal comma.
        comma: String,
    },
    /// No number.
    No,
}

/// Blanks and strokes that stand between thousands.
const fn is_group_mark(c: char) -> bool {
    matches!(c, ' ' | '\u{a0}' | '\u{202f}' | '\u{2009}' | '\'' | '\u{2019}' | '_')
}

fn groups_well(whole: &str, mark: char) -> bool {
    let mut parts = whole.split(mark);
    let first = parts.next().unwrap_or("");
    (1..=3).contains(&first.len()) && parts.all(|part| part.len() == 3)
}

/// Reads the digits and marks of a number without its unit.
///
/// # Example
/// ```
/// use imports::number::{Decimals, Written, read};
/// assert_eq!(read("1.234,5"), Written::Sure("1234.5".to_owned(), Some(Decimals::Comma)));
/// assert_eq!(read("0.125"), Written::Sure("0.125".to_owned(), Some(Decimals::Point)));
/// assert!(matches!(read("1,234"), Written::Open { .. }));
/// ```
pub fn read(text: &str) -> Written {
    let text = text.trim();
    let (sign, rest) = match text.strip_prefix(['-', '\u{2212}']) {
        Some(rest) => ("-", rest),
        None => ("", text.strip_prefix('+').unwrap_or(text)),
    };
    let rest = rest.trim_start();
    if !rest.starts_with(|c: char| c.is_ascii_digit() || matches!(c, '.' | ','))
        || !rest.ends_with(|c: char| c.is_ascii_digit())
        || !rest.chars().all(|c| c.is_ascii_digit() || matches!(c, '.' | ',') || is_group_mark(c))
    {
        return exponent(text);
    }
    // Blanks and strokes only ever stand between thousands.
    let mut digits = String::with_capacity(rest.len());
    let mut group: Option<usize> = None;
    for c in rest.chars() {
        if is_group_mark(c) {
            if group.is_some_and(|since| since != 3) || digits.contains(['.', ',']) {
                return Written::No;
            }
            group = Some(0);
        } else {
            if matches!(c, '.' | ',') && group.is_some_and(|since| since != 3) {
                return Written::No;
            }
            group = match c {
                '.' | ',' => None,
                _ => group.map(|since| since + 1),
            };
            digits.push(c);
        }
    }
    if group.is_some_and(|since| since != 3) {
        return Written::No;
    }
    let grouped = digits.len() != rest.len() && digits.chars().count() != rest.chars().count();
    let sure = |whole: &str, decimals: &str, mark| {
        let whole = if whole.is_empty() { "0" } else { whole };
        let point = if decimals.is_empty() { "" } else { "." };
        Written::Sure(format!("{sign}{whole}{point}{decimals}"), mark)
    };
    let (points, commas) = (digits.matches('.').count(), digits.matches(',').count());
    let parts = |mark: char| digits.rsplit_once(mark).unwrap_or((digits.as_str(), ""));
    match (points, commas) {
        (0, 0) => sure(&digits, "", None),
        (1, 0) | (0, 1) => {
            let (mark, as_mark) = if points == 1 { ('.', Decimals::Point) } else { (',', Decimals::Comma) };
            let (whole, decimals) = parts(mark);
            let thousands =
                decimals.len() == 3 && (1..=3).contains(&whole.len()) && !whole.starts_with('0') && !grouped;
            if !thousands {
                return sure(whole, decimals, Some(as_mark));
            }
            let (split, joined) = (format!("{sign}{whole}.{decimals}"), format!("{sign}{whole}{decimals}"));
            match as_mark {
                Decimals::Point => Written::Open { point: split, comma: joined },
                Decimals::Comma => Written::Open { point: joined, comma: split },
            }
        }
        (1, _) if digits.rfind('.') > digits.rfind(',') => {
            let (whole, decimals) = parts('.');
            if groups_well(whole, ',') {
                sure(&whole.replace(',', ""), decimals, Some(Decimals::Point))
            } else {
                Written::No
            }
        }
        (_, 1) if digits.rfind(',') > digits.rfind('.') => {
            let (whole, decimals) = parts(',');
            if groups_well(whole, '.') {
                sure(&whole.replace('.', ""), decimals, Some(Decimals::Comma))
            } else {
                Written::No
            }
        }
        (0, _) if groups_well(&digits, ',') => sure(&digits.replace(',', ""), "", Some(Decimals::Point)),
        (_, 0) if groups_well(&digits, '.') => sure(&digits.replace('.', ""), "", Some(Decimals::Comma)),
        _ => Written::No,
    }
}

/// `1.5e3`, as programs write.
fn exponent(text: &str) -> Written {
    let shape = text.chars().all(|c| c.is_ascii_digit() || matches!(c, 'e' | 'E' | '.' | '+' | '-'))
        && text.chars().any(|c| matches!(c, 'e' | 'E'))
        && text.starts_with(|c: char| c.is_ascii_digit() || c == '-');
    match text.parse::<f64>() {
        Ok(value) if shape && value.is_finite() && value.abs() < 1e15 => {
            Written::Sure(value.to_string(), Some(Decimals::Point))
        }
        _ => Written::No,
    }
}

#[cfg(test)]
mod tests {
    use super::{Decimals, Written, read};

    fn sure(text: &str) -> Option<(String, Option<Decimals>)> {
        match read(text) {
            Written::Sure(number, mark) => Some((number, mark)),
            _ => None,
        }
    }

    #[test]
    fn marks_are_read_as_each_country_writes_them() {
        // Unicode CLDR 45, numbers/symbols: en 1,234.5; de 1.234,5; fr 1 234,5 with U+202F; de-CH 1’234.5.
        for text in ["1,234.5", "1.234,5", "1\u{202f}234,5", "1\u{2019}234.5", "1 234.5", "1234.5", "1234,5"]
        {
            assert_eq!(sure(text).unwrap().0, "1234.5", "{text}");
        }
        assert_eq!(sure("1.234.567").unwrap(), ("1234567".to_owned(), Some(Decimals::Comma)));
        assert_eq!(sure("-3,5").unwrap().0, "-3.5");
        assert_eq!(sure(",5").unwrap().0, "0.5");
        assert_eq!(sure("1.5e3").unwrap().0, "1500");
    }

    #[test]
    fn what_could_be_two_numbers_is_left_open() {
        assert_eq!(read("1.299"), Written::Open { point: "1.299".to_owned(), comma: "1299".to_owned() });
        assert_eq!(read("12,000"), Written::Open { point: "12000".to_owned(), comma: "12.000".to_owned() });
        assert!(sure("1234.567").is_some() && sure("0,125").is_some());
    }

    #[test]
    fn what_is_no_number_is_none() {
        for text in ["", "-", "1,2,3", "1.23.456", "12 34", "1,23.4", "five", "1..2", "1 2345", "=1+1", "١٢"]
        {
            assert_eq!(read(text), Written::No, "{text}");
        }
    }

    proptest::proptest! {
        #[test]
        fn every_way_to_write_a_number_gives_it_back(whole in 0_u32..10_000_000, hundredths in 0_u32..100) {
            let plain = format!("{whole}.{hundredths:02}");
            let digits = whole.to_string();
            let grouped = |mark: &str| {
                let bytes = digits.as_bytes();
                let mut out = String::new();
                for (at, digit) in bytes.iter().enumerate() {
                    if at > 0 && (bytes.len() - at) % 3 == 0 {
                        out.push_str(mark);
                    }
                    out.push(char::from(*digit));
                }
                out
            };
            for text in [
                format!("{},{hundredths:02}", grouped(".")),
                format!("{}.{hundredths:02}", grouped(",")),
                format!("{},{hundredths:02}", grouped("\u{a0}")),
                format!("{}.{hundredths:02}", grouped("'")),
            ] {
                proptest::prop_assert_eq!(sure(&text).map(|(number, _)| number), Some(plain.clone()), "{}", text);
            }
        }

        #[test]
        fn any_text_is_survived(text in ".{0,40}") {
            let _ = read(&text);
        }
    }
}
