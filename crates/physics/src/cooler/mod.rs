//! Coolers: fins, ducts, fans, liquid loops, ratings and fan laws.
