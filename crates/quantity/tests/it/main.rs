//! Reading and printing of quantities and money, against an independent units library.
mod factors;
mod written;
