//! Any bytes at all are a table, or are refused.
#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    let _ = survey::survey::survey_dump(bytes);
    let _ = survey::redact::table(bytes);
});
