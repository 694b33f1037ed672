//! All that is known of a quantity that is not known exactly: a lowest and a highest value.

use core::ops::{Add, Mul, Neg, Sub};

use crate::measure::Quantity;

/// A closed interval, lowest value first. An exactly known value has both ends equal.
#[derive(Debug, PartialEq)]
pub struct Interval<D> {
    low: Quantity<D>,
    high: Quantity<D>,
}

impl<D> Clone for Interval<D> {
    fn clone(&self) -> Self {
        *self
    }
}

// Copy whatever the marker is: the marker is never stored.
impl<D> Copy for Interval<D> {}

impl<D> Interval<D> {
    /// The interval with these ends, or `None` if they are reversed or not finite.
    pub fn new(low: Quantity<D>, high: Quantity<D>) -> Option<Self> {
        (low.is_finite() && high.is_finite() && low.si() <= high.si()).then_some(Self { low, high })
    }

    /// The smallest interval that holds both values, in whichever order they are given.
    pub fn between(one: Quantity<D>, other: Quantity<D>) -> Self {
        if one.si() <= other.si() { Self { low: one, high: other } } else { Self { low: other, high: one } }
    }

    /// An exactly known value.
    pub const fn exact(value: Quantity<D>) -> Self {
        Self { low: value, high: value }
    }

    /// Lowest value.
    pub const fn low(self) -> Quantity<D> {
        self.low
    }

    /// Highest value.
    pub const fn high(self) -> Quantity<D> {
        self.high
    }

    /// Middle of the interval.
    pub const fn middle(self) -> Quantity<D> {
        Quantity::from_si(0.5 * (self.low.si() + self.high.si()))
    }

    /// Whether both ends are the same.
    pub const fn is_exact(self) -> bool {
        self.low.si() == self.high.si()
    }

    /// Width from end to end in SI units.
    pub const fn width_si(self) -> f64 {
        self.high.si() - self.low.si()
    }

    /// Whether the value lies within.
    pub fn contains(self, value: Quantity<D>) -> bool {
        self.low.si() <= value.si() && value.si() <= self.high.si()
    }

    /// The smallest interval that holds both.
    pub fn hull(self, other: Self) -> Self {
        Self { low: self.low.min(other.low), high: self.high.max(other.high) }
    }

    /// The part common to both, or `None` if they contradict each other.
    pub fn meet(self, other: Self) -> Option<Self> {
        Self::new(self.low.max(other.low), self.high.min(other.high))
    }

    /// The image under a function that never turns: rising or falling all the way.
    pub fn map_monotone<E>(self, f: impl Fn(Quantity<D>) -> Quantity<E>) -> Interval<E> {
        Interval::between(f(self.low), f(self.high))
    }
}

impl<D> Add for Interval<D> {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self { low: self.low + other.low, high: self.high + other.high }
    }
}

impl<D> Sub for Interval<D>
where
    Quantity<D>: Sub<Output = Quantity<D>>,
{
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self { low: self.low - other.high, high: self.high - other.low }
    }
}

impl<D> Neg for Interval<D> {
    type Output = Self;
    fn neg(self) -> Self {
        Self { low: -self.high, high: -self.low }
    }
}

impl<D> Mul<f64> for Interval<D> {
    type Output = Self;
    fn mul(self, factor: f64) -> Self {
        Self::between(self.low * factor, self.high * factor)
    }
}

impl<D> core::iter::Sum for Interval<D> {
    fn sum<I: Iterator<Item = Self>>(items: I) -> Self {
        items.fold(Self::exact(Quantity::from_si(0.0)), |total, item| total + item)
    }
}

#[cfg(test)]
mod tests {
    use crate::dimension::{Power, PowerDim};
    use crate::interval::Interval;

    fn watts(low: f64, high: f64) -> Interval<PowerDim> {
        Interval::new(Power::from_si(low), Power::from_si(high)).unwrap()
    }

    #[test]
    fn reversed_or_infinite_ends_are_no_interval() {
        assert!(Interval::new(Power::from_si(2.0), Power::from_si(1.0)).is_none());
        assert!(Interval::new(Power::from_si(f64::NAN), Power::from_si(1.0)).is_none());
        assert!(Interval::new(Power::from_si(0.0), Power::from_si(f64::INFINITY)).is_none());
    }

    #[test]
    fn a_difference_holds_every_difference_of_members() {
        assert_eq!(watts(85.0, 95.0) - watts(10.0, 30.0), watts(55.0, 85.0));
    }

    #[test]
    fn a_negative_factor_turns_the_ends() {
        assert_eq!(watts(1.0, 2.0) * -3.0, watts(-6.0, -3.0));
    }

    #[test]
    fn contradicting_intervals_have_nothing_in_common() {
        assert_eq!(watts(1.0, 2.0).meet(watts(3.0, 4.0)), None);
        assert_eq!(watts(1.0, 3.0).meet(watts(2.0, 4.0)), Some(watts(2.0, 3.0)));
    }
}
