//! Pictures of [`draw::svg`] on paper, as lines and areas, not as dots.

use std::sync::Arc;

use krilla::color::rgb;
use krilla::geom::{Path, PathBuilder};
use krilla::num::NormalizedF32;
use krilla::paint::{Fill, LineCap, Stroke, StrokeDash};
use krilla::surface::Surface;
use resvg::tiny_skia::{Point, Transform};
use resvg::usvg::{Group, Node, Options, Paint, Tree};

use crate::png::FONTS;

/// One area or line.
struct Shape {
    path: resvg::usvg::tiny_skia_path::Path,
    fill: Option<(rgb::Color, f32)>,
    stroke: Option<Line>,
}

/// How a line is drawn, its measures in the picture's units.
#[derive(Clone)]
struct Line {
    colour: rgb::Color,
    opacity: f32,
    wide: f32,
    dash: Option<Vec<f32>>,
    cap: LineCap,
}

/// A picture taken apart; its letters are areas too.
pub(crate) struct Vector {
    width: f32,
    height: f32,
    shapes: Vec<Shape>,
}

fn colour(paint: &Paint) -> Option<rgb::Color> {
    match paint {
        Paint::Color(colour) => Some(rgb::Color::new(colour.red, colour.green, colour.blue)),
        // Our pictures have no gradients and patterns.
        _ => None,
    }
}

fn collect(group: &Group, opacity: f32, shapes: &mut Vec<Shape>) {
    let opacity = opacity * group.opacity().get();
    for node in group.children() {
        match node {
            Node::Group(inner) => collect(inner, opacity, shapes),
            Node::Text(text) => collect(text.flattened(), opacity, shapes),
            Node::Path(path) if path.is_visible() => {
                let at: Transform = path.abs_transform();
                let Some(moved) = path.data().clone().transform(at) else { continue };
                let wide = 0.5 * (at.sx.hypot(at.ky) + at.kx.hypot(at.sy));
                let fill = path
                    .fill()
                    .and_then(|fill| Some((colour(fill.paint())?, opacity * fill.opacity().get())));
                let stroke = path.stroke().and_then(|stroke| {
                    let dash = stroke.dasharray().map(|dash| dash.iter().map(|long| long * wide).collect());
                    let is_round = stroke.linecap() == resvg::usvg::LineCap::Round;
                    Some(Line {
                        colour: colour(stroke.paint())?,
                        opacity: opacity * stroke.opacity().get(),
                        wide: stroke.width().get() * wide,
                        dash,
                        cap: if is_round { LineCap::Round } else { LineCap::Butt },
                    })
                });
                // Letters have their outline behind them, so that lines do not run through.
                if path.paint_order() == resvg::usvg::PaintOrder::StrokeAndFill {
                    shapes.push(Shape { path: moved.clone(), fill: None, stroke });
                    shapes.push(Shape { path: moved, fill, stroke: None });
                } else {
                    shapes.push(Shape { path: moved, fill, stroke });
                }
            }
            Node::Path(_) | Node::Image(_) => {}
        }
    }
}

impl Vector {
    /// Takes a picture apart; none where it cannot be read.
    pub(crate) fn of(picture: &str) -> Option<Self> {
        let options = Options {
            font_family: "DejaVu Sans".to_owned(),
            fontdb: Arc::clone(&FONTS),
            ..Options::default()
        };
        let tree = Tree::from_str(&draw::svg::printed(picture), &options).ok()?;
        let mut shapes = Vec::new();
        collect(tree.root(), 1.0, &mut shapes);
        Some(Self { width: tree.size().width(), height: tree.size().height(), shapes })
    }

    /// Its height where it is so wide.
    pub(crate) fn height(&self, width: f32) -> f32 {
        width * self.height / self.width
    }

    /// Draws it with its upper left corner at a place, so wide.
    pub(crate) fn draw(&self, surface: &mut Surface<'_>, (x, y): (f32, f32), width: f32) {
        let scale = width / self.width;
        let at = Transform::from_row(scale, 0.0, 0.0, scale, x, y);
        for shape in &self.shapes {
            let Some(path) = shape.path.clone().transform(at).as_ref().and_then(krilla_path) else {
                continue;
            };
            let opacity =
                |value: f32| NormalizedF32::new(value.clamp(0.0, 1.0)).unwrap_or(NormalizedF32::ONE);
            surface.set_fill(shape.fill.map(|(colour, value)| Fill {
                paint: colour.into(),
                opacity: opacity(value),
                ..Fill::default()
            }));
            surface.set_stroke(shape.stroke.as_ref().map(|line| Stroke {
                paint: line.colour.into(),
                opacity: opacity(line.opacity),
                width: line.wide * scale,
                dash: line.dash.as_ref().map(|dash| StrokeDash {
                    array: dash.iter().map(|long| long * scale).collect(),
                    offset: 0.0,
                }),
                line_cap: line.cap,
                ..Stroke::default()
            }));
            surface.draw_path(&path);
        }
    }
}

fn krilla_path(path: &resvg::usvg::tiny_skia_path::Path) -> Option<Path> {
    use resvg::usvg::tiny_skia_path::PathSegment;
    let mut out = PathBuilder::new();
    for segment in path.segments() {
        match segment {
            PathSegment::MoveTo(Point { x, y }) => out.move_to(x, y),
            PathSegment::LineTo(Point { x, y }) => out.line_to(x, y),
            PathSegment::QuadTo(a, b) => out.quad_to(a.x, a.y, b.x, b.y),
            PathSegment::CubicTo(a, b, c) => out.cubic_to(a.x, a.y, b.x, b.y, c.x, c.y),
            PathSegment::Close => out.close(),
        }
    }
    out.finish()
}
