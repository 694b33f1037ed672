//! How work speeds up with more cores: fixed-size, scaled-size and universal scaling laws.
