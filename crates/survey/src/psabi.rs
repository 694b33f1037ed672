//! Instruction-set level of a processor, from the flags that the kernel prints.
//!
//! # Source
//! System V Application Binary Interface, AMD64 Architecture Processor Supplement, section 3.1.1, table
//! of micro-architecture levels; the kernel's names for the features.

/// Kernel's flags for each level above the first; every level needs those below.
const LEVELS: [(u8, &[&str]); 3] = [
    (2, &["cx16", "lahf_lm", "popcnt", "pni", "sse4_1", "sse4_2", "ssse3"]),
    (3, &["avx", "avx2", "bmi1", "bmi2", "f16c", "fma", "abm", "movbe", "xsave"]),
    (4, &["avx512f", "avx512bw", "avx512cd", "avx512dq", "avx512vl"]),
];

/// What the first level needs.
const FIRST: &[&str] = &["cmov", "cx8", "fpu", "fxsr", "mmx", "syscall", "sse", "sse2"];

/// Level 1 to 4, or none where the first is not reached.
///
/// # Example
/// ```
/// let flags = "fpu cx8 cmov mmx fxsr sse sse2 syscall cx16 lahf_lm popcnt pni sse4_1 sse4_2 ssse3";
/// assert_eq!(survey::psabi::level(flags.split(' ')), Some(2));
/// ```
pub fn level<'f>(flags: impl Iterator<Item = &'f str>) -> Option<u8> {
    let flags: std::collections::BTreeSet<&str> = flags.collect();
    let has = |wanted: &[&str]| wanted.iter().all(|flag| flags.contains(flag));
    if !has(FIRST) {
        return None;
    }
    let mut reached = 1;
    for (level, wanted) in LEVELS {
        if !has(wanted) {
            break;
        }
        reached = level;
    }
    Some(reached)
}
