//! Any bytes at all are a capture, or are refused.
#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    if let Ok(root) = survey::capture::open(bytes) {
        let _ = survey::survey::survey(&root);
    }
});
