//! Contradictions that read well.

use intake::lint::lint;

use crate::library::{PROCESSOR, library};

#[track_caller]
fn finds(text: &str, part: &str) {
    let (read, problems) = library(text);
    assert_eq!(problems, [], "the text reads without problems");
    let found: Vec<String> = lint(&read).into_iter().map(|problem| problem.message).collect();
    assert!(found.iter().any(|message| message.contains(part)), "{part}: {found:#?}");
}

#[test]
fn contradictions_are_found() {
    let chipset = "[[chipset]]\nid = \"c1\"\nmaker = \"A\"\nname = \"C\"\nseries = \"one\"\ntier = 1\nsocket = \"s1\"\ngenerations = []\n";
    let board = "[[board]]\nid = \"b1\"\nmaker = \"A\"\nname = \"B\"\nchipset = \"c1\"\nsocket = \"s1\"\nform = \"ATX\"\nmemory = \"DDR4\"\nsupport = [{ generation = \"g1\", since = \"1.0\" }]\n";
    finds(&format!("{PROCESSOR}{chipset}{board}"), "its chipset c1 cannot drive");
    finds(&format!("{PROCESSOR}burst_power = \"40 W\"\n"), "draws less in a burst");
    finds(PROCESSOR, "has no price");
    finds(&format!("{PROCESSOR}offers = {{ new = \"100 EUR\" }}\n"), "have no day");
    finds(
        &format!("{PROCESSOR}offers = {{ new = \"100 EUR\", resale = \"120 EUR\" }}\n"),
        "brings 120.00 EUR used",
    );
    finds(&format!("{PROCESSOR}locked_sibling = \"wren-4\"\n"), "is not unlocked");
    finds(
        "[[cooler]]\nid = \"k\"\nmaker = \"A\"\nname = \"K\"\nbuild = \"tower\"\nmounting = \"screws\"\n",
        "has no height",
    );
    finds(
        "[[supply]]\nid = \"p\"\nmaker = \"A\"\nname = \"P\"\nform = \"ATX\"\nrated_power = \"400 W\"\nrail_12v_power = \"450 W\"\n",
        "more at 12 V than in all",
    );
    let shares = board.replace(
        "support =",
        "drives = [{ name = \"D1\", lanes = 4, source = \"chipset\", shares_with = \"D9\" }]\nsupport =",
    );
    finds(&format!("{PROCESSOR}{chipset}{shares}"), "shares lanes with \"D9\"");
}
