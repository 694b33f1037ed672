//! How sure a counted share is.

/// Standard deviations of an interval that holds the truth in 95 of 100 cases.
const SIGMAS: f64 = 1.96;

/// The share of `(hits, looks)` counted in groups, lowest and highest in 95 of 100 cases; none without looks.
///
/// # Model
/// Looks within a group are alike, so groups and not looks are what is independent: the ratio estimator's variance
/// over groups, added to Wilson's interval, which alone would stand for looks that know nothing of each other and which keeps
/// the ends open where all or none were hits.
///
/// # Source
/// W. G. Cochran, Sampling Techniques, third edition, Wiley 1977, section 6.3 (ratio estimate; from memory).
/// E. B. Wilson, Probable inference, J. Am. Stat. Assoc. 22, 209-212, 1927.
pub fn share(groups: &[(f64, f64)]) -> Option<(f64, f64)> {
    let hits: f64 = groups.iter().map(|(hits, _)| hits).sum();
    let looks: f64 = groups.iter().map(|(_, looks)| looks).sum();
    if looks <= 0.0 {
        return None;
    }
    let mean = hits / looks;
    let count = groups.iter().filter(|(_, looks)| *looks > 0.0).count() as f64;
    let squares: f64 = groups.iter().map(|(hits, looks)| (hits - mean * looks).powi(2)).sum();
    let between = if count > 1.0 { (squares * count / (count - 1.0)).sqrt() / looks } else { 0.5 };
    let z2 = SIGMAS * SIGMAS;
    let centre = (mean + z2 / (2.0 * looks)) / (1.0 + z2 / looks);
    let half =
        SIGMAS * (mean * (1.0 - mean) / looks + z2 / (4.0 * looks * looks)).sqrt() / (1.0 + z2 / looks);
    let half = half.hypot(SIGMAS * between);
    Some(((centre - half).min(mean).max(0.0), (centre + half).max(mean).min(1.0)))
}

#[cfg(test)]
mod tests {
    use super::share;

    #[test]
    fn independent_looks_give_wilsons_interval() {
        // R. G. Newcombe, Statistics in Medicine 17, 857-872, 1998, table I (from memory): 81 of 263, score interval without
        // continuity correction, 0.2553 to 0.3662. Groups of one look each carry no more than the looks do;
        // the two parts then add as squares, which makes the interval wider by the square root of two about its centre.
        let groups: Vec<(f64, f64)> = (0..263).map(|look| (f64::from(u8::from(look < 81)), 1.0)).collect();
        let (low, high) = share(&groups).unwrap();
        let (half, want) = ((high - low) / 2.0, (0.3662 - 0.2553) / 2.0 * 2.0_f64.sqrt());
        assert!((half - want).abs() < 0.001, "{half}, expected {want}");
    }

    #[test]
    fn nothing_seen_is_not_nothing_there() {
        let (low, high) = share(&[(0.0, 100.0), (0.0, 100.0)]).unwrap();
        assert!(low == 0.0 && high > 0.01);
        assert_eq!(share(&[]), None);
    }

    #[test]
    fn groups_that_differ_widen_it() {
        let alike = share(&[(50.0, 100.0); 20]).unwrap();
        let differ: Vec<(f64, f64)> = (0..20).map(|group| (f64::from(group % 2 * 100), 100.0)).collect();
        let differ = share(&differ).unwrap();
        assert!(differ.1 - differ.0 > 3.0 * (alike.1 - alike.0));
    }
}
