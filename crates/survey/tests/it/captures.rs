//! Captures hold what a survey reads, and nothing that tells the machine from its sisters.

use survey::capture::{Identity, capture, open};
use survey::root::Root;
use survey::survey::survey;

use crate::encoder::{IDENTITY, SECRETS};
use crate::trees::files;

/// Every byte of every file of a capture.
fn contents(packed: &[u8]) -> Vec<u8> {
    let root = open(packed).unwrap().keeping();
    let _ = survey(&root);
    root.kept().into_values().flatten().collect()
}

fn holds(haystack: &[u8], needle: &[u8]) -> bool {
    haystack.windows(needle.len()).any(|window| window == needle)
}

#[test]
fn a_capture_says_the_same_elsewhere() {
    let here = survey(&Root::files(files()));
    let packed = capture(Root::files(files()), Identity::Hidden).unwrap();
    let mut there = survey(&open(&packed).unwrap());
    // The list of names stays on its own machine.
    for (device, known) in there.devices.iter_mut().zip(&here.devices) {
        assert_eq!(device.name, None);
        device.name.clone_from(&known.name);
    }
    // Structures that nobody reads are left out of the capture.
    there.table.as_mut().unwrap().structures = here.table.as_ref().unwrap().structures;
    assert_eq!(there, here);
    assert!(packed.len() < 20_000, "{} bytes", packed.len());
}

#[test]
fn no_capture_holds_a_secret() {
    let hidden = contents(&capture(Root::files(files()), Identity::Hidden).unwrap());
    let kept = contents(&capture(Root::files(files()), Identity::Kept).unwrap());
    for secret in SECRETS {
        assert!(!holds(&hidden, secret.as_bytes()), "{secret} is in the capture");
        assert!(holds(&kept, secret.as_bytes()), "{secret} was asked for");
    }
    assert!(!holds(&hidden, &IDENTITY) && holds(&kept, &IDENTITY));
    assert!(!holds(&hidden, b"SERL") && holds(&kept, b"SERL"));
    assert!(!holds(&hidden, b"0123456789abcdef") && holds(&kept, b"0123456789abcdef"));
}

#[test]
fn damaged_captures_are_refused() {
    let packed = capture(Root::files(files()), Identity::Hidden).unwrap();
    assert!(open(&packed[..packed.len() / 2]).is_err());
    assert!(open(b"no archive at all").unwrap_err().to_string().contains("no capture"));
    assert!(open(&[]).is_err());
}
