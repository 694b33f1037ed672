//! Closed forms for transient conduction.
