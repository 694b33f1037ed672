//! Values to terminal text, SVG and HTML.
