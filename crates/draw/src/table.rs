//! The one printer of tables, on a terminal and on a page.

use maud::{Markup, html};

use crate::wrap::{columns, wrap};

/// Side to which a column is set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// Words.
    Left,
    /// Numbers.
    Right,
}

/// A table: headings, then rows.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    headings: Vec<(String, Side)>,
    rows: Vec<Vec<String>>,
}

/// So many columns do not stand side by side on a phone.
const STACKED: usize = 3;
/// Space between columns.
const GAP: usize = 2;
/// No column gets narrower than this.
const NARROWEST: usize = 8;

impl Table {
    /// A table with these columns.
    pub fn new(headings: &[(&str, Side)]) -> Self {
        Self {
            headings: headings.iter().map(|(text, side)| ((*text).to_owned(), *side)).collect(),
            rows: Vec::new(),
        }
    }

    /// Adds a row; missing cells are empty, cells beyond the columns are left out.
    pub fn row(&mut self, cells: impl IntoIterator<Item = String>) {
        let mut cells: Vec<String> = cells.into_iter().take(self.headings.len()).collect();
        cells.resize(self.headings.len(), String::new());
        self.rows.push(cells);
    }

    /// Number of rows.
    pub const fn len(&self) -> usize {
        self.rows.len()
    }

    /// Whether it has no rows.
    pub const fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }

    /// The table as text of at most `width` columns; wide cells are broken into lines.
    pub fn render(&self, width: usize) -> String {
        let widths = self.widths(width);
        let mut out = String::new();
        let headings: Vec<String> = self.headings.iter().map(|(text, _)| text.clone()).collect();
        self.line(&headings, &widths, &mut out);
        let rule: Vec<String> = widths.iter().map(|width| "-".repeat(*width)).collect();
        self.line(&rule, &widths, &mut out);
        for row in &self.rows {
            self.line(row, &widths, &mut out);
        }
        out
    }

    /// Its headings, and the side each column is set to.
    pub fn headings(&self) -> &[(String, Side)] {
        &self.headings
    }

    /// Its rows, as many cells in each as there are headings.
    pub fn rows(&self) -> &[Vec<String>] {
        &self.rows
    }

    /// The table for a page; the first cell of each row heads it. Where it has more columns than a phone is wide, the
    /// page's style may set each row as a block, its cells under each other with their headings beside them.
    pub fn html(&self) -> Markup {
        let class = |side: Side| (side == Side::Right).then_some("number");
        let stack = self.headings.len() >= STACKED;
        let names: Vec<&str> = self.headings.iter().map(|(text, _)| text.as_str()).collect();
        html! {
            div.table tabindex="0" role="region" aria-label=(names.join(", ")) {
                table.stack[stack] {
                    thead { tr { @for (text, side) in &self.headings { th scope="col" class=[class(*side)] { (text) } } } }
                    tbody {
                        @for row in &self.rows {
                            tr {
                                @for (idx, (cell, (_, side))) in row.iter().zip(&self.headings).enumerate() {
                                    @if idx == 0 {
                                        // A number alone does not say what it counts.
                                        th scope="row" class=[class(*side)] data-label=[names.first().filter(|_| stack && *side == Side::Right)] { (cell) }
                                    } @else {
                                        td class=[class(*side)] data-label=[names.get(idx).filter(|_| stack)] { (cell) }
                                    }
                                }
                            }
                        }
                    }
                }
            }
        }
    }

    /// Natural widths, the widest columns cut until the table fits.
    fn widths(&self, width: usize) -> Vec<usize> {
        let mut widths: Vec<usize> = self
            .headings
            .iter()
            .enumerate()
            .map(|(idx, (heading, _))| {
                let cells = self.rows.iter().filter_map(|row| row.get(idx)).map(|cell| columns(cell));
                cells.max().unwrap_or(0).max(columns(heading)).max(1)
            })
            .collect();
        let gaps = GAP * widths.len().saturating_sub(1);
        while widths.iter().sum::<usize>() + gaps > width {
            let Some(widest) = widths.iter_mut().max_by_key(|width| **width) else { break };
            if *widest <= NARROWEST {
                break;
            }
            *widest -= 1;
        }
        widths
    }

    fn line(&self, cells: &[String], widths: &[usize], out: &mut String) {
        let broken: Vec<Vec<String>> = cells
            .iter()
            .zip(widths)
            .map(
                |(cell, width)| {
                    if columns(cell) <= *width { vec![cell.clone()] } else { wrap(cell, *width, 0) }
                },
            )
            .collect();
        let height = broken.iter().map(Vec::len).max().unwrap_or(0);
        for line_idx in 0..height {
            let mut line = String::new();
            for (idx, (lines, width)) in broken.iter().zip(widths).enumerate() {
                let text = lines.get(line_idx).map_or("", String::as_str);
                let pad = " ".repeat(width.saturating_sub(columns(text)));
                let side = self.headings.get(idx).map_or(Side::Left, |(_, side)| *side);
                if idx > 0 {
                    line.push_str(&" ".repeat(GAP));
                }
                match side {
                    Side::Left => line.push_str(&format!("{text}{pad}")),
                    Side::Right => line.push_str(&format!("{pad}{text}")),
                }
            }
            out.push_str(line.trim_end());
            out.push('\n');
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Side, Table};

    #[test]
    fn cells_of_a_wide_table_carry_their_headings_for_phones() {
        let table = |columns: &[&str]| {
            let headings: Vec<(&str, Side)> = columns.iter().map(|name| (*name, Side::Right)).collect();
            let mut table = Table::new(&headings);
            table.row(columns.iter().map(|name| format!("of {name}")));
            table.html().into_string()
        };
        let wide = table(&["row", "<b>", "price"]);
        assert!(wide.contains("<table class=\"stack\">"), "{wide}");
        for (heading, cell) in [("row", "of row"), ("&lt;b&gt;", "of &lt;b&gt;"), ("price", "of price")] {
            assert!(wide.contains(&format!("data-label=\"{heading}\">{cell}<")), "{wide}");
        }
        let narrow = table(&["row", "price"]);
        assert!(!narrow.contains("data-label") && !narrow.contains("stack"), "{narrow}");
    }

    #[test]
    fn numbers_stand_right_and_wide_cells_break() {
        let mut table = Table::new(&[("part", Side::Left), ("W", Side::Right)]);
        table.row(["a processor with a long name".to_owned(), "95".to_owned()]);
        table.row(["b".to_owned(), "125".to_owned()]);
        let text = table.render(20);
        assert_eq!(
            text,
            "part               W\n---------------  ---\na processor       95\nwith a long\nname\nb                125\n"
        );
    }
}
