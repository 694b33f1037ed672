//! How large a file may be that comes from outside.

/// Limits against files that would fill the memory.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Limits {
    /// Bytes of the file.
    pub file_bytes: u64,
    /// Columns, nested ones counted one by one.
    pub columns: usize,
    /// Rows of all row groups together.
    pub rows: usize,
    /// Cells of one row group.
    pub group_cells: usize,
    /// Bytes of one row group's pages when they are unpacked, as the file says.
    pub group_bytes: u64,
    /// Bytes of text in one row group when every cell is written out.
    pub words_bytes: usize,
}

impl Limits {
    /// Enough for a million machines or a day of log, and no more memory than an ordinary computer has.
    pub const ORDINARY: Self = Self {
        file_bytes: 2 << 30,
        columns: 4096,
        rows: 200_000_000,
        group_cells: 50_000_000,
        group_bytes: 1 << 30,
        words_bytes: 1 << 30,
    };
}
