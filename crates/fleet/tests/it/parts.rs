//! A table joined in parts is the table joined whole, wherever the parts meet.

use fleet::in_parts::{PartsError, fits};
use upgrade::front::fits::{Candidate, Fit, FitsError, HEADING, Matcher};

fn processors() -> Vec<Candidate> {
    (0..200_u32)
        .map(|place| Candidate {
            socket: place % 3,
            generation: place % 2,
            series: 3,
            memory: place % 2,
            power: 300 + place * 7 % 900,
            speed: i64::from(place * 37 % 101),
            price: i64::from(place),
        })
        .collect()
}

#[test]
fn parts_meet_in_the_middle_of_lines() {
    let processors = processors();
    let mut body = String::new();
    for id in 0..40_000_u32 {
        let power = 200 + id * 13 % 1_200;
        body.push_str(&format!("{id},{},{},3,{},{power},{}\n", id % 3, id % 2, id % 2, power + id % 50));
    }
    let folder = std::env::temp_dir().join(format!("reseat-parts-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    for (name, body) in [
        ("whole.csv", body.clone()),
        ("no-end.csv", body.trim_end().to_owned()),
        ("crlf.csv", body.replace('\n', "\r\n")),
    ] {
        let file = folder.join(name);
        std::fs::write(&file, format!("{}\n{body}", HEADING.join(","))).unwrap();
        let mut whole: Vec<Fit> = Vec::new();
        Matcher::new(&processors).rows(body.as_bytes(), &mut whole).unwrap();
        assert_eq!(whole.len(), 40_000);
        assert!(whole.iter().any(|fit| fit.count > 20) && whole.iter().any(|fit| fit.count == 0));
        for threads in [1, 2, 3, 7, 64] {
            assert_eq!(fits(&file, &processors, threads).unwrap(), whole, "{name} in {threads} parts");
        }
    }
    let tiny = folder.join("tiny.csv");
    std::fs::write(&tiny, format!("{}\n1,0,0,1,0,900,900\n2,0,0,1,0,900,900", HEADING.join(","))).unwrap();
    for threads in [1, 2, 5, 50] {
        assert_eq!(fits(&tiny, &processors, threads).unwrap().len(), 2, "{threads}");
    }
    let other = folder.join("other.csv");
    std::fs::write(&other, "id,what\n1,2\n").unwrap();
    assert!(matches!(fits(&other, &processors, 2), Err(PartsError::Fits(FitsError::Heading))));
    let _ = std::fs::remove_dir_all(&folder);
}
