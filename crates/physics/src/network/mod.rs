//! Thermal networks and their identification from step responses and sensor logs.
