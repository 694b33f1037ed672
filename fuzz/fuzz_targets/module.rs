//! Any bytes at all are a module, or are refused.
#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    let _ = survey::spd::decode(bytes);
    let _ = survey::redact::spd(bytes);
});
