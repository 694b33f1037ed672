//! Values to terminal text, SVG and HTML. Draws finished values; computes nothing of its own.

pub mod document;
pub mod document_html;
pub mod document_text;
pub mod findings_html;
pub mod findings_text;
pub mod fit_chart;
pub mod handover_document;
pub mod heat_map_picture;
pub mod heat_picture;
pub mod heat_text;
pub mod html_file;
pub mod paint;
pub mod paste_film;
pub mod paste_picture;
pub mod paste_text;
pub mod plan_text;
pub mod power_picture;
pub mod power_text;
pub mod route_picture;
pub mod sheet_html;
pub mod sheet_text;
pub mod svg;
pub mod table;
pub mod where_to_look;
pub mod wrap;
