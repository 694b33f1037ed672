//! How wide the processor's vector unit is, found at run time.

/// A way to do arithmetic on several numbers at once.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Width {
    /// One number at a time, on any processor.
    Portable,
    /// Two numbers, multiplied and added in two steps.
    Two,
    /// Four numbers, multiplied and added in one step.
    Four,
    /// Eight numbers, multiplied and added in one step.
    Eight,
}

impl Width {
    /// Every way, narrowest first.
    pub const ALL: [Self; 4] = [Self::Portable, Self::Two, Self::Four, Self::Eight];

    /// Whether this processor and its operating system can do it.
    pub fn is_here(self) -> bool {
        match self {
            Self::Portable => true,
            #[cfg(target_arch = "x86_64")]
            Self::Two => std::is_x86_feature_detected!("sse2"),
            #[cfg(target_arch = "x86_64")]
            Self::Four => std::is_x86_feature_detected!("avx2") && std::is_x86_feature_detected!("fma"),
            #[cfg(target_arch = "x86_64")]
            Self::Eight => std::is_x86_feature_detected!("avx512f"),
            #[cfg(not(target_arch = "x86_64"))]
            _ => false,
        }
    }

    /// The widest that is here.
    pub fn widest() -> Self {
        Self::ALL.into_iter().rev().find(|width| width.is_here()).unwrap_or(Self::Portable)
    }

    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Portable => "one number at a time",
            Self::Two => "two numbers at a time",
            Self::Four => "four numbers at a time, fused",
            Self::Eight => "eight numbers at a time, fused",
        }
    }
}
