//! Colour and weight on a terminal. Colour never stands alone: words and marks say the same.

/// Whether a terminal shows colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Paint {
    /// Plain text.
    Plain,
    /// With the terminal's own sixteen colours.
    Colour,
}

/// What a piece of text is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Role {
    /// A heading.
    Heading,
    /// Something good.
    Good,
    /// Something to look at.
    Careful,
    /// Something that stops.
    Stop,
    /// Something less important.
    Quiet,
}

impl Paint {
    /// The text in its role's colour.
    pub fn text(self, role: Role, text: &str) -> String {
        let code = match (self, role) {
            (Self::Plain, _) => return text.to_owned(),
            (_, Role::Heading) => "1",
            (_, Role::Good) => "32",
            (_, Role::Careful) => "33",
            (_, Role::Stop) => "1;31",
            (_, Role::Quiet) => "2",
        };
        format!("\x1b[{code}m{text}\x1b[0m")
    }
}
