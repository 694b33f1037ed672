//! Heat conduction in three dimensions by finite volumes, steady and transient.
