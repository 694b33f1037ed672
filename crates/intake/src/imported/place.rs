//! Which file of a library belongs to which import.

/// Folder of a library in which imports stand.
pub const FOLDER: &str = "imports";

/// Name of the file that says where an import comes from.
pub const NOTE: &str = "import.toml";

/// Name of the table of prices.
pub const PRICES: &str = "prices.csv";

/// Column that holds the row of the list that a figure stood on.
pub const ROW: &str = "row";

/// A file of an import.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ImportFile<'n> {
    /// Number of the import.
    pub number: u32,
    /// Name of the file in its folder.
    pub name: &'n str,
}

/// The import that a file belongs to by its name: `.../imports/0007/processors.csv`.
pub fn import_file(name: &str) -> Option<ImportFile<'_>> {
    let mut steps = name.rsplit(['/', '\\']);
    let (file, number, folder) = (steps.next()?, steps.next()?, steps.next()?);
    (folder == FOLDER).then(|| Some(ImportFile { number: number_of(number)?, name: file })).flatten()
}

/// The number of an import's folder: at least four digits.
pub fn number_of(folder: &str) -> Option<u32> {
    let good = folder.len() >= 4 && folder.len() <= 9 && folder.bytes().all(|byte| byte.is_ascii_digit());
    good.then(|| folder.parse().ok()).flatten()
}

#[cfg(test)]
mod tests {
    use super::{ImportFile, import_file};

    #[test]
    fn only_numbered_folders_are_imports() {
        assert_eq!(
            import_file("lib/imports/0012/memory.csv"),
            Some(ImportFile { number: 12, name: "memory.csv" })
        );
        for name in
            ["memory.csv", "lib/0012/memory.csv", "imports/12/memory.csv", "imports/undone/memory.csv"]
        {
            assert_eq!(import_file(name), None, "{name}");
        }
    }
}
