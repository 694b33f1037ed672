//! Small pieces of SVG that every picture uses. All text is escaped here.

use core::fmt::Write as _;

/// A picture that is being drawn.
#[derive(Debug, Clone)]
pub struct Picture {
    width: f64,
    height: f64,
    title: String,
    body: String,
}

/// Text safe inside an element or a quoted attribute.
///
/// # Example
/// ```
/// assert_eq!(draw::svg::escape("<b> & \"x\""), "&lt;b&gt; &amp; &quot;x&quot;");
/// ```
pub fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            // Characters that XML 1.0 does not allow at all.
            c if c.is_control() && c != '\n' && c != '\t' => out.push('\u{fffd}'),
            c => out.push(c),
        }
    }
    out
}

/// A coordinate with at most two decimals, so that pictures are small and the same everywhere.
pub fn number(value: f64) -> String {
    if !value.is_finite() {
        return "0".to_owned();
    }
    let text = format!("{value:.2}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text.is_empty() || text == "-0" { "0".to_owned() } else { text.to_owned() }
}

/// Where a text stands against its point.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Anchor {
    /// Begins there.
    Start,
    /// Its middle is there.
    Middle,
    /// Ends there.
    End,
}

impl Anchor {
    const fn word(self) -> &'static str {
        match self {
            Self::Start => "start",
            Self::Middle => "middle",
            Self::End => "end",
        }
    }
}

impl Picture {
    /// An empty picture with a title that is read aloud.
    pub fn new(width: f64, height: f64, title: &str) -> Self {
        Self { width, height, title: title.to_owned(), body: String::new() }
    }

    /// A straight line of a class.
    pub fn line(&mut self, from: (f64, f64), to: (f64, f64), class: &str) {
        let _ = write!(
            self.body,
            r#"<line class="{}" x1="{}" y1="{}" x2="{}" y2="{}"/>"#,
            escape(class),
            number(from.0),
            number(from.1),
            number(to.0),
            number(to.1)
        );
    }

    /// A rectangle of a class.
    pub fn rectangle(&mut self, corner: (f64, f64), size: (f64, f64), class: &str) {
        let _ = write!(
            self.body,
            r#"<rect class="{}" x="{}" y="{}" width="{}" height="{}"/>"#,
            escape(class),
            number(corner.0),
            number(corner.1),
            number(size.0.max(0.0)),
            number(size.1.max(0.0))
        );
    }

    /// A circle of a class, with a text that shows on pointing.
    pub fn circle(&mut self, centre: (f64, f64), radius: f64, class: &str, tip: &str) {
        let _ = write!(
            self.body,
            r#"<circle class="{}" cx="{}" cy="{}" r="{}"><title>{}</title></circle>"#,
            escape(class),
            number(centre.0),
            number(centre.1),
            number(radius),
            escape(tip)
        );
    }

    /// A path from its data, of a class.
    pub fn path(&mut self, data: &str, class: &str) {
        let _ = write!(self.body, r#"<path class="{}" d="{}"/>"#, escape(class), escape(data));
    }

    /// A text of a class.
    pub fn text(&mut self, at: (f64, f64), anchor: Anchor, class: &str, text: &str) {
        let _ = write!(
            self.body,
            r#"<text class="{}" x="{}" y="{}" text-anchor="{}">{}</text>"#,
            escape(class),
            number(at.0),
            number(at.1),
            anchor.word(),
            escape(text)
        );
    }

    /// Already drawn SVG, for pieces that this file has no function for. The caller escapes its text.
    pub fn raw(&mut self, svg: &str) {
        self.body.push_str(svg);
    }

    /// The finished picture as a file of its own, style and all.
    pub fn finish(self) -> String {
        format!(
            r#"<svg xmlns="http://www.w3.org/2000/svg" role="img" viewBox="0 0 {w} {h}" width="{w}" height="{h}"><title>{title}</title><style>{style}</style>{body}</svg>"#,
            w = number(self.width),
            h = number(self.height),
            title = escape(&self.title),
            style = STYLE,
            body = self.body
        )
    }
}

/// A finished picture for a page that has [`STYLE`] in its own style: the same without its style.
pub fn inline(picture: &str) -> String {
    picture.replacen(&format!("<style>{STYLE}</style>"), "", 1)
}

/// A finished picture for programs that know no variables of style: the light colours written out, motion left out.
pub fn printed(picture: &str) -> String {
    // The first line of the style sets the light colours, the second the dark ones.
    let (light, rest) = STYLE.split_once('\n').unwrap_or((STYLE, ""));
    let (_, rest) = rest.split_once('\n').unwrap_or(("", rest));
    let colours: Vec<(&str, &str)> = light
        .trim_start_matches("svg{")
        .trim_end_matches('}')
        .split(';')
        .filter_map(|one| one.split_once(':'))
        .filter(|(name, _)| name.starts_with("--"))
        .collect();
    let mut style = format!("svg{{font-family:sans-serif;font-size:13px}}{rest}");
    for (name, colour) in colours {
        style = style.replace(&format!("var({name})"), colour);
    }
    picture.replacen(STYLE, &style, 1)
}

/// The look of every picture: ink on paper, light or dark, in the fonts of the place. A picture may stand in a page, where
/// its rules would hold for the page too: so each is for what is inside a picture.
pub const STYLE: &str = "svg{font:13px system-ui,sans-serif;--ink:#1d2a2f;--faint:#8b989c;--soft:#55646a;--paper:#fbfaf6;--good:#1f6f54;--care:#8a5a00;--stop:#9c2b2b;--heat:#b5482a;--flow:#2f5f8a}
@media(prefers-color-scheme:dark){svg{--ink:#e4e7e2;--faint:#7d888b;--soft:#a3afb1;--paper:#171c1e;--good:#74c7a5;--care:#e2b354;--stop:#ef8a83;--heat:#f0936f;--flow:#86b6e0}}
svg .paper{fill:var(--paper)}svg .ink{fill:var(--ink)}svg .faint{fill:var(--faint)}svg .axis{stroke:var(--ink);fill:none}svg .grid{stroke:var(--faint);stroke-width:.5;stroke-dasharray:2 3;fill:none}\
svg .step{stroke:var(--flow);stroke-width:2;fill:none}svg .dots{stroke:var(--flow);stroke-width:4;stroke-linecap:round;stroke-opacity:.45;fill:none}svg .dot{fill:var(--paper);stroke:var(--flow);stroke-width:1.5}svg .pick{fill:var(--flow);stroke:var(--ink)}\
svg .head{fill:var(--ink);font-weight:600;paint-order:stroke;stroke:var(--paper);stroke-width:4px}svg .small{fill:var(--ink);font-size:11px;paint-order:stroke;stroke:var(--paper);stroke-width:3px}svg .number{fill:var(--paper);font-size:11px;font-weight:700}svg .cross{stroke:var(--faint);stroke-width:1.2;fill:none}svg .note{fill:var(--soft);font-size:11px}\
svg .band{fill:var(--heat);fill-opacity:.25}svg .stair{stroke:var(--heat);stroke-width:2.5;fill:none}svg .before{stroke:var(--flow);stroke-width:1.8;stroke-dasharray:7 3;fill:none}svg .film1,svg .film2,svg .film3,svg .film4,svg .film5,svg .heat1,svg .heat2,svg .heat3,svg .heat4,svg .heat5{shape-rendering:crispEdges}svg .bare{fill:var(--faint);fill-opacity:.15}svg .film1{fill:var(--flow);fill-opacity:.25}svg .film2{fill:var(--flow);fill-opacity:.4}svg .film3{fill:var(--flow);fill-opacity:.55}svg .film4{fill:var(--flow);fill-opacity:.72}svg .film5{fill:var(--flow);fill-opacity:.9}svg .curve{stroke:var(--flow);stroke-width:1.4;fill:none}svg .heat1{fill:var(--heat);fill-opacity:.12}svg .heat2{fill:var(--heat);fill-opacity:.28}svg .heat3{fill:var(--heat);fill-opacity:.45}svg .heat4{fill:var(--heat);fill-opacity:.65}svg .heat5{fill:var(--heat);fill-opacity:.9}svg .stream{fill:var(--flow);fill-opacity:.55}svg .branch{fill:var(--flow);fill-opacity:.3}svg .loss{fill:var(--heat);fill-opacity:.75}svg .fits{fill:var(--good)}svg .care{fill:var(--care)}svg .stop{fill:var(--stop)}svg .lead{stroke:var(--ink);stroke-width:.7;fill:none}";

/// The nearest edge between dots where a unit is two of them: areas that meet there leave no seam.
pub fn whole_dot(coordinate: f64) -> f64 {
    (2.0 * coordinate).round() / 2.0
}

/// Path data of the runs of cells that `is_in` holds for, row by row from the lower edge, in a frame of so many cells.
pub fn runs(
    (columns, rows): (usize, usize),
    corner: (f64, f64),
    size: (f64, f64),
    is_in: impl Fn(usize, usize) -> bool,
) -> String {
    let (dx, dy) = (size.0 / columns as f64, size.1 / rows as f64);
    let mut out = String::new();
    for y in 0..rows {
        let (top, bottom) =
            (whole_dot(corner.1 + dy * (rows - 1 - y) as f64), whole_dot(corner.1 + dy * (rows - y) as f64));
        let mut from = 0;
        while from < columns {
            let now = is_in(from, y);
            let to = (from..columns).find(|x| is_in(*x, y) != now).unwrap_or(columns);
            if now {
                let left = whole_dot(corner.0 + dx * from as f64);
                let wide = number(whole_dot(corner.0 + dx * to as f64) - left);
                let tall = number(bottom - top);
                // Writing to a string cannot fail.
                let _ = write!(out, "M{} {}h{wide}v{tall}h-{wide}z", number(left), number(top));
            }
            from = to;
        }
    }
    out
}

/// Round steps for an axis that covers a range with about `count` marks: 1, 2 or 5 times a power of ten.
pub fn axis_marks(low: f64, high: f64, count: usize) -> Vec<f64> {
    let span = (high - low).max(f64::MIN_POSITIVE);
    if !span.is_finite() {
        return Vec::new();
    }
    let raw = span / count.max(1) as f64;
    let power = 10_f64.powf(raw.log10().floor());
    let step = [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .map(|m| m * power)
        .find(|step| *step >= raw)
        .unwrap_or(10.0 * power);
    let mut marks = Vec::new();
    let mut mark = (low / step).ceil() * step;
    while mark <= high + step * 1e-9 && marks.len() < 100 {
        marks.push(if mark.abs() < step * 1e-9 { 0.0 } else { mark });
        mark += step;
    }
    marks
}

#[cfg(test)]
mod tests {
    use super::{STYLE, axis_marks};

    /// Relative luminance of a colour written `#rrggbb`.
    ///
    /// # Source
    /// Web Content Accessibility Guidelines 2.2, definition of relative luminance.
    fn luminance(colour: &str) -> f64 {
        let part = |at: usize| {
            let byte = u8::from_str_radix(&colour[at..at + 2], 16).unwrap();
            let share = f64::from(byte) / 255.0;
            if share <= 0.04045 { share / 12.92 } else { ((share + 0.055) / 1.055).powf(2.4) }
        };
        0.2126 * part(1) + 0.7152 * part(3) + 0.0722 * part(5)
    }

    /// A checker of pages does not look into pictures, so the colours that letters have there are checked here: success
    /// criterion 1.4.3 asks for a contrast of 4.5 to 1, on paper light and dark.
    #[test]
    fn letters_in_pictures_can_be_read() {
        for scheme in STYLE.lines().take(2) {
            let colour = |name: &str| {
                let after = scheme.split(&format!("--{name}:")).nth(1).unwrap();
                luminance(&after[..7])
            };
            let paper = colour("paper");
            for name in ["ink", "soft", "good", "care", "stop"] {
                let (light, dark) = (paper.max(colour(name)), paper.min(colour(name)));
                let contrast = (light + 0.05) / (dark + 0.05);
                assert!(contrast >= 4.5, "{name} has {contrast:.2} to 1 in {scheme}");
            }
            // Of the luminance itself: 1 for white, and 21 to 1 for black on white by the same guidelines.
            assert!((luminance("#ffffff") - 1.0).abs() < 1e-9 && luminance("#000000").abs() < 1e-9);
        }
        assert!(STYLE.contains(".note{fill:var(--soft)") && STYLE.contains(".small{fill:var(--ink)"));
    }

    #[test]
    fn marks_are_round() {
        assert_eq!(axis_marks(0.0, 9.0, 5), [0.0, 2.0, 4.0, 6.0, 8.0]);
        assert_eq!(axis_marks(-3.0, 12.0, 3), [0.0, 5.0, 10.0]);
    }
}
