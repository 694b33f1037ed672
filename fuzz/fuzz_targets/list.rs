//! Any bytes at all are a list, or are refused; any mapping too.
#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    let library = intake::library::ReadLibrary::default();
    let file = intake::problem::SourceFile { name: "mapping.toml".to_owned(), bytes: bytes.to_vec() };
    let _ = imports::mapping_text::read(&file);
    let Some(today) = quantity::day::Day::new(2026, 11, 26) else { return };
    for kind in [None, Some(upgrade::part::id::Kind::Processor)] {
        let mapping = imports::mapping::Mapping { kind, ..Default::default() };
        if let Ok(found) = imports::preview::preview("list", bytes.to_vec(), &mapping, &library, today) {
            let _ = imports::tables::files(&found, today);
        }
    }
});
