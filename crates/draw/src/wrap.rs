//! Text broken into lines of a width.

/// Width of a text on a terminal, in columns: one for each character that is not a control character.
pub fn columns(text: &str) -> usize {
    text.chars().filter(|c| !c.is_control()).count()
}

/// A text of at most so many characters, the last one a sign that something was left out.
pub fn shortened(text: &str, most: usize) -> String {
    if text.chars().count() <= most {
        return text.to_owned();
    }
    let head: String = text.chars().take(most.saturating_sub(1)).collect();
    format!("{head}…")
}

/// The text in lines of at most `width` columns, later lines indented by `indent`.
///
/// Breaks at spaces; a word longer than a line is broken where it must.
pub fn wrap(text: &str, width: usize, indent: usize) -> Vec<String> {
    let width = width.max(indent + 8);
    let mut lines: Vec<String> = Vec::new();
    let mut line = String::new();
    for word in text.split_whitespace() {
        let mut rest: &str = word;
        loop {
            let space = usize::from(!line.trim().is_empty());
            let room = width.saturating_sub(columns(&line) + space);
            if columns(rest) <= room {
                if space == 1 {
                    line.push(' ');
                }
                line.push_str(rest);
                break;
            }
            if line.trim().is_empty() {
                let cut = rest.char_indices().nth(room).map_or(rest.len(), |(idx, _)| idx);
                let (head, tail) = rest.split_at(cut);
                line.push_str(head);
                rest = tail;
            }
            lines.push(core::mem::replace(&mut line, " ".repeat(indent)));
        }
    }
    if !line.trim().is_empty() || lines.is_empty() {
        lines.push(line);
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::wrap;

    #[test]
    fn lines_keep_to_the_width() {
        assert_eq!(wrap("one two three", 9, 0), ["one two", "three"]);
        assert_eq!(wrap("one two three", 10, 2), ["one two", "  three"]);
        assert_eq!(wrap("abcdefghijkl", 8, 0), ["abcdefgh", "ijkl"]);
        assert_eq!(wrap("", 8, 0), [""]);
    }
}
