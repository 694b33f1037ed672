//! Coolers: fins, ducts, fans, liquid loops, ratings and fan laws.

pub mod channel;
pub mod duct;
pub mod fan;
pub mod fin;
pub mod sink;
pub mod still;
