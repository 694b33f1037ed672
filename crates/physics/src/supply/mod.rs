//! The supply: efficiency over load, connectors, wall power.
