//! Counters that rise, and wrap: what they rose by since they were looked at last.

/// A counter.
#[derive(Debug, Clone, Copy)]
pub struct Counter {
    /// The value after which it begins at zero again; none where it never does.
    wraps_after: Option<u64>,
    last: Option<(f64, i128)>,
    total: f64,
}

/// What a counter rose by.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rise {
    /// By so much.
    pub by: f64,
    /// In so many seconds.
    pub in_s: f64,
}

impl Counter {
    /// A counter that was not looked at yet.
    pub const fn new(wraps_after: Option<u64>) -> Self {
        Self { wraps_after, last: None, total: 0.0 }
    }

    /// What it rose by since it was read last; none at first, and where it fell without being one that wraps.
    pub fn rise(&mut self, time_s: f64, value: Option<i128>) -> Option<Rise> {
        let value = value?;
        let (last_s, last) = self.last.replace((time_s, value))?;
        let mut by = value - last;
        if by < 0 {
            // One wrap; a second one within a row would be hundreds of kilowatts.
            by += i128::from(self.wraps_after?) + 1;
        }
        let (by, in_s) = (by as f64, time_s - last_s);
        (by >= 0.0 && in_s > 0.0).then(|| {
            self.total += by;
            Rise { by, in_s }
        })
    }

    /// What it rose by since the beginning.
    pub const fn total(&self) -> f64 {
        self.total
    }
}

#[cfg(test)]
mod tests {
    use super::{Counter, Rise};

    #[test]
    fn a_counter_goes_on_over_its_end() {
        let mut counter = Counter::new(Some(99));
        assert_eq!(counter.rise(0.0, Some(90)), None);
        assert_eq!(counter.rise(1.0, Some(98)), Some(Rise { by: 8.0, in_s: 1.0 }));
        // 98, 99, 0, 1: three more.
        assert_eq!(counter.rise(2.0, Some(1)), Some(Rise { by: 3.0, in_s: 1.0 }));
        assert_eq!(counter.total(), 11.0);
    }

    #[test]
    fn what_is_missing_is_no_rise_and_loses_nothing() {
        let mut counter = Counter::new(None);
        counter.rise(0.0, Some(10));
        assert_eq!(counter.rise(1.0, None), None);
        assert_eq!(counter.rise(2.0, Some(30)), Some(Rise { by: 20.0, in_s: 2.0 }));
        assert_eq!(counter.rise(3.0, Some(5)), None, "one that never wraps was set back");
        assert_eq!(counter.rise(4.0, Some(6)), Some(Rise { by: 1.0, in_s: 1.0 }));
    }
}
