//! A small SVG writer: escaped text, short numbers, patterns instead of colors, and a title and a
//! description for screen readers.

use std::fmt::Write as _;

use super::lettering::{escape, num};

/// Lines and lettering.
pub const INK: &str = "#1c1a17";
/// Lettering and lines of less weight; still 7 to 1 on white.
pub const SOFT: &str = "#57534a";
/// What is bought, chosen, or to be minded: the red of primer on steel.
pub const OXIDE: &str = "#8c2f1b";
/// Ground of every drawing.
pub const PAPER: &str = "#ffffff";
/// Fill of members that carry.
pub const STEEL: &str = "#474f56";
/// Fill of members in the background.
pub const PALE: &str = "#e4e0d6";

/// Least height of lettering. Half of it, 6.5 px or 4.9 pt, is still legible.
pub const SMALL: f64 = 16.0;
/// Usual height of lettering.
pub const TEXT: f64 = 17.0;

/// Style of a text that stays legible over lines.
const EDGED: &str = "<style>.edged-text{stroke:#fff;stroke-width:3px;stroke-linejoin:round;paint-order:stroke}</style>";

/// How a line is drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stroke {
    color: &'static str,
    width: f64,
    dash: &'static str,
}

/// No outline.
pub const NONE: Stroke = Stroke { color: "none", width: 0.0, dash: "" };
/// Outlines of what carries.
pub const HEAVY: Stroke = Stroke { color: INK, width: 2.0, dash: "" };
/// Outlines.
pub const MEDIUM: Stroke = Stroke { color: INK, width: 1.2, dash: "" };
/// Dimension lines and grids.
pub const THIN: Stroke = Stroke { color: SOFT, width: 0.8, dash: "" };
/// What is not measured, hidden, or to be cut off.
pub const DASHED: Stroke = Stroke { color: INK, width: 1.2, dash: "5 4" };
/// Centerlines.
pub const CENTER: Stroke = Stroke { color: SOFT, width: 1.0, dash: "12 3 3 3" };
/// The edge of a county, a road and a river under a map: told apart by their dashes.
pub const EDGE: Stroke = Stroke { color: SOFT, width: 1.0, dash: "9 3 2 3" };
/// A road under a map.
pub const ROAD: Stroke = Stroke { color: SOFT, width: 0.6, dash: "" };
/// A river under a map.
pub const WATER: Stroke = Stroke { color: SOFT, width: 1.6, dash: "1.5 2.5" };
/// What is chosen.
pub const CHOSEN: Stroke = Stroke { color: OXIDE, width: 2.0, dash: "" };

impl Stroke {
    /// The same of another width.
    #[must_use]
    pub fn wide(self, width: f64) -> Self {
        Self { width, ..self }
    }
}

/// A fill that can be told from the others without color.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Hatch {
    /// Lines rising to the right.
    Rising,
    /// Lines falling to the right.
    Falling,
    /// Both.
    Crossed,
    /// Dots.
    Dots,
    /// Upright lines.
    Upright,
    /// Level lines.
    Level,
}

impl Hatch {
    const ALL: [Self; 6] =
        [Self::Rising, Self::Falling, Self::Crossed, Self::Dots, Self::Upright, Self::Level];

    fn suffix(self) -> &'static str {
        match self {
            Self::Rising => "r",
            Self::Falling => "f",
            Self::Crossed => "x",
            Self::Dots => "d",
            Self::Upright => "u",
            Self::Level => "l",
        }
    }

    fn strokes(self) -> &'static str {
        match self {
            Self::Rising => "M-1 1L1 -1M0 6L6 0M5 7L7 5",
            Self::Falling => "M-1 5L1 7M0 0L6 6M5 -1L7 1",
            Self::Crossed => "M0 6L6 0M0 0L6 6",
            Self::Dots => "M1.5 2.2v1.4M4.5 4.8v1.2",
            Self::Upright => "M2 0V6M5 0V6",
            Self::Level => "M0 2H6M0 5H6",
        }
    }
}

/// Which end of a text its position is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    /// The left end.
    Start,
    /// The middle.
    Middle,
    /// The right end.
    End,
}

/// A rectangle by its left upper corner and its size.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rect {
    /// Left.
    pub x: f64,
    /// Top.
    pub y: f64,
    /// Width.
    pub w: f64,
    /// Height.
    pub h: f64,
}

impl Rect {
    /// Whether two rectangles share more than an edge.
    #[must_use]
    pub fn overlaps(&self, other: &Self) -> bool {
        self.x < other.x + other.w
            && other.x < self.x + self.w
            && self.y < other.y + other.h
            && other.y < self.y + self.h
    }
}

/// A drawing that grows element by element.
#[derive(Debug)]
pub struct Svg {
    key: String,
    title: String,
    width: f64,
    attributes: String,
    hatches: [bool; 6],
    edged: bool,
    body: String,
}

impl Svg {
    /// An empty drawing. The key is unique in the page; IDs are made from it.
    #[must_use]
    pub fn new(key: &str, title: &str, width: f64) -> Self {
        Self {
            key: key.chars().map(|c| if c.is_ascii_alphanumeric() { c } else { '-' }).collect(),
            title: title.to_owned(),
            width,
            attributes: String::new(),
            hatches: [false; 6],
            edged: false,
            body: String::new(),
        }
    }

    /// A data attribute of the whole drawing: `data-NAME="value"`.
    pub fn data(&mut self, name: &str, value: impl std::fmt::Display) {
        let value = escape(&value.to_string());
        let _ = write!(self.attributes, " data-{name}=\"{value}\"");
    }

    /// The fill of a pattern.
    pub fn hatch(&mut self, hatch: Hatch) -> String {
        self.hatches[hatch as usize] = true;
        format!("url(#{}-{})", self.key, hatch.suffix())
    }

    /// A straight line.
    pub fn line(&mut self, (x1, y1): (f64, f64), (x2, y2): (f64, f64), stroke: Stroke) {
        let _ = write!(
            self.body,
            "<line x1=\"{}\" y1=\"{}\" x2=\"{}\" y2=\"{}\"{}/>",
            num(x1),
            num(y1),
            num(x2),
            num(y2),
            outline(stroke)
        );
    }

    /// A rectangle; nothing where it has no size.
    pub fn rect(&mut self, rect: Rect, fill: &str, stroke: Stroke) {
        if rect.w <= 0.0 || rect.h <= 0.0 {
            return;
        }
        let _ = write!(
            self.body,
            "<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" fill=\"{fill}\"{}/>",
            num(rect.x),
            num(rect.y),
            num(rect.w),
            num(rect.h),
            outline(stroke)
        );
    }

    /// A polygon, closed.
    pub fn polygon(&mut self, points: &[(f64, f64)], fill: &str, stroke: Stroke) {
        let list: Vec<String> =
            points.iter().map(|&(x, y)| format!("{},{}", num(x), num(y))).collect();
        let _ = write!(
            self.body,
            "<polygon points=\"{}\" fill=\"{fill}\"{}/>",
            list.join(" "),
            outline(stroke)
        );
    }

    /// A line through points.
    pub fn polyline(&mut self, points: &[(f64, f64)], stroke: Stroke) {
        let list: Vec<String> =
            points.iter().map(|&(x, y)| format!("{},{}", num(x), num(y))).collect();
        let _ = write!(
            self.body,
            "<polyline points=\"{}\" fill=\"none\"{}/>",
            list.join(" "),
            outline(stroke)
        );
    }

    /// A path, not filled or filled.
    pub fn path(&mut self, path: &str, fill: &str, stroke: Stroke) {
        let _ = write!(self.body, "<path d=\"{path}\" fill=\"{fill}\"{}/>", outline(stroke));
    }

    /// Dots of this width.
    pub fn dots(&mut self, points: &[(f64, f64)], width: f64) {
        let marks: String =
            points.iter().map(|&(x, y)| format!("M{} {}h0", num(x), num(y))).collect();
        let _ = write!(
            self.body,
            "<path d=\"{marks}\" stroke=\"{INK}\" stroke-width=\"{}\" stroke-linecap=\"round\"/>",
            num(width)
        );
    }

    /// A circle.
    pub fn circle(&mut self, (x, y): (f64, f64), radius: f64, fill: &str, stroke: Stroke) {
        let _ = write!(
            self.body,
            "<circle cx=\"{}\" cy=\"{}\" r=\"{}\" fill=\"{fill}\"{}/>",
            num(x),
            num(y),
            num(radius),
            outline(stroke)
        );
    }

    /// A text; the position is on its base line.
    pub fn text(&mut self, at: (f64, f64), anchor: Anchor, size: f64, text: &str) {
        self.lettering(at, anchor, size, "", text);
    }

    /// A text in bold.
    pub fn bold(&mut self, at: (f64, f64), anchor: Anchor, size: f64, text: &str) {
        self.lettering(at, anchor, size, " font-weight=\"700\"", text);
    }

    /// A text with a white edge, that stays legible over lines.
    pub fn label(&mut self, at: (f64, f64), anchor: Anchor, size: f64, text: &str) {
        let edge = " stroke=\"#fff\" stroke-width=\"3\" paint-order=\"stroke\"";
        self.lettering(at, anchor, size, edge, text);
    }

    fn lettering(
        &mut self,
        (x, y): (f64, f64),
        anchor: Anchor,
        size: f64,
        extra: &str,
        text: &str,
    ) {
        let anchor = match anchor {
            Anchor::Start => "",
            Anchor::Middle => " text-anchor=\"middle\"",
            Anchor::End => " text-anchor=\"end\"",
        };
        // The usual size stands once, at the root.
        let size =
            if size == SMALL { String::new() } else { format!(" font-size=\"{}\"", num(size)) };
        let _ = write!(
            self.body,
            "<text x=\"{}\" y=\"{}\"{size}{anchor}{extra}>{}</text>",
            num(x),
            num(y),
            escape(text)
        );
    }

    /// A number in a ring: the car's place across the deck.
    pub fn numbered(&mut self, (x, y): (f64, f64), number: usize) {
        self.circle((x, y), 11.0, PAPER, MEDIUM);
        self.bold((x, y + 5.0), Anchor::Middle, SMALL, &number.to_string());
    }

    /// Opens a group; `attributes` are names and values.
    pub fn open(&mut self, attributes: &[(&str, &str)]) {
        self.body.push_str("<g");
        for (name, value) in attributes {
            let _ = write!(self.body, " {name}=\"{}\"", escape(value));
        }
        self.body.push('>');
    }

    /// Closes the group.
    pub fn close(&mut self) {
        self.body.push_str("</g>");
    }

    /// The finished drawing of this height, with its description.
    #[must_use]
    pub fn finish(self, height: f64, description: &str) -> String {
        let (key, w, h) = (&self.key, num(self.width), num(height));
        let mut defs = String::new();
        for hatch in Hatch::ALL.into_iter().filter(|&hatch| self.hatches[hatch as usize]) {
            let _ = write!(
                defs,
                "<pattern id=\"{key}-{}\" width=\"6\" height=\"6\" patternUnits=\"userSpaceOnUse\"><path d=\"M0 0H6V6H0Z\" fill=\"#fff\"/><path d=\"{}\" stroke=\"{INK}\" stroke-width=\"1.1\" fill=\"none\"/></pattern>",
                hatch.suffix(),
                hatch.strokes()
            );
        }
        if self.edged {
            defs.push_str(EDGED);
        }
        if !defs.is_empty() {
            defs = format!("<defs>{defs}</defs>");
        }
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {w} {h}\" role=\"img\" aria-labelledby=\"{key}-t {key}-e\" font-family=\"'Liberation Sans',Arial,Helvetica,sans-serif\" font-size=\"{SMALL}\" fill=\"{INK}\" stroke-linejoin=\"round\"{attributes}><title id=\"{key}-t\">{title}</title><desc id=\"{key}-e\">{desc}</desc>{defs}{body}</svg>",
            attributes = self.attributes,
            title = escape(&self.title),
            desc = escape(description),
            body = self.body
        )
    }
}

fn outline(stroke: Stroke) -> String {
    if stroke.width == 0.0 {
        return String::new();
    }
    let mut text = format!(" stroke=\"{}\" stroke-width=\"{}\"", stroke.color, num(stroke.width));
    if !stroke.dash.is_empty() {
        let _ = write!(text, " stroke-dasharray=\"{}\"", stroke.dash);
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn patterns_are_defined_only_where_used() {
        let mut svg = Svg::new("a b", "Title", 100.0);
        let fill = svg.hatch(Hatch::Dots);
        svg.rect(Rect { x: 0.0, y: 0.0, w: 5.0, h: 5.0 }, &fill, NONE);
        let text = svg.finish(50.0, "Words");
        assert_eq!(fill, "url(#a-b-d)");
        assert!(text.contains("<pattern id=\"a-b-d\"") && !text.contains("a-b-r"));
    }
}
