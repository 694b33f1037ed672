//! Any bytes at all are a record, or are refused.
#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    let library = intake::library::ReadLibrary::default();
    let file = intake::problem::SourceFile { name: "record.toml".to_owned(), bytes: bytes.to_vec() };
    let _ = intake::machine::file::read(&file, &library);
    let _ = intake::machine::rows::rows(&file, &library);
});
