//! A difference, a history of imports and a history of prices as text.

use desk::lists::{groups, prices_now, prices_seen, rows, summary};
use desk::prices::PartPrices;
use draw::paint::Role;
use imports::preview::Preview;
use imports::shelf::Shelved;

use crate::terminal::Screen;

/// Lines of a group that are shown where not all are asked for.
const SHOWN: usize = 12;

/// The difference.
pub(super) fn preview(preview: &Preview, all: bool, screen: &Screen) -> String {
    let most = if all { usize::MAX } else { SHOWN };
    let mut out = format!("{}: {}\n", preview.source, rows(preview));
    for remark in &preview.remarks {
        out.push_str(&format!("  {remark}\n"));
    }
    for group in groups(preview, 0..most) {
        out.push_str(&format!("\n{}\n", screen.paint.text(Role::Heading, group.title)));
        out.push_str(&group.table.render(screen.width));
        if group.table.len() < group.count {
            out.push_str(&format!("  and {} more; --all shows them\n", group.count - group.table.len()));
        }
    }
    out.push_str(&format!("\n{}\n", summary(preview)));
    out
}

/// The imports of a library.
pub(super) fn history(shelved: &[Shelved], screen: &Screen) -> String {
    if shelved.is_empty() {
        return "No list has been taken into this library.\n".to_owned();
    }
    desk::lists::history(shelved).render(screen.width)
}

/// Prices of a part.
pub(super) fn prices(prices: &PartPrices<'_>, screen: &Screen) -> String {
    let mut out = format!("{}\n", screen.paint.text(Role::Heading, prices.id.text()));
    for (kind, price) in prices_now(prices.offers, prices.today) {
        out.push_str(&format!("  {kind:<12} {price}\n"));
    }
    if prices.seen.is_empty() {
        out.push_str("  No list has said a price of it.\n");
        return out;
    }
    out.push_str(&prices_seen(prices.seen, &prices.counts, &prices.notes).render(screen.width));
    out
}
