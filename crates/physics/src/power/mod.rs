//! The power path: multi-phase step-down converter, losses, temperatures, limits.
