//! The hand-over and the job sheet as PDF.
