//! A deck drawn in characters, to scale across the road.

use super::text::{display_width, inches_fraction};
use crate::quantity::{Feet, Inches, feet_inches};

/// What the drawing shows of one car.
pub struct DrawnCar {
    /// The car's ID.
    pub id: String,
    /// Its width.
    pub width: Feet,
    /// Its camber.
    pub camber: Inches,
}

/// What the drawing shows of a deck.
pub struct DrawnDeck {
    /// The cars, left to right.
    pub cars: Vec<DrawnCar>,
    /// The gap at every joint.
    pub gap: Inches,
    /// Widths and gaps together.
    pub total: Feet,
    /// The width required.
    pub required: Feet,
}

/// Narrowest box that still looks like a car: two edges and two columns inside.
const LEAST_BOX: usize = 4;
/// A drawing wider than this is no easier to read.
const WIDEST: usize = 92;

/// Draws the deck in at most `width` columns. Boxes and gaps are to one scale, save that a box has
/// at least four columns and an open gap at least one.
pub fn draw(deck: &DrawnDeck, width: usize) -> Vec<String> {
    let joints = deck.cars.len().saturating_sub(1);
    let room = width.min(WIDEST).saturating_sub(joints + 1);
    let longest = deck.total.max(deck.required);
    let scale = if longest.0 > 0.0 { room as f64 / longest.0 } else { 0.0 };
    let columns = |length: Feet| (length.0 * scale).round() as usize;
    let gap = if deck.gap.0 > 0.0 { columns(deck.gap.into()).max(1) } else { 0 };
    let boxes: Vec<usize> = deck.cars.iter().map(|car| columns(car.width).max(LEAST_BOX)).collect();
    let drawn: usize = boxes.iter().sum::<usize>() + gap * joints;

    let row = |edge: char, fill: char, between: char, inside: &dyn Fn(usize) -> String| {
        let filler = between.to_string().repeat(gap);
        let cells: Vec<String> = boxes
            .iter()
            .enumerate()
            .map(|(index, &columns)| {
                format!("{edge}{}{edge}", centerd(&inside(index), columns - 2, fill))
            })
            .collect();
        cells.join(&filler)
    };
    let blank = |_: usize| String::new();
    let id = |index: usize| fitting(&deck.cars[index].id, boxes[index] - 2, index);
    let breadth = |index: usize| short_of(&feet_inches(deck.cars[index].width), boxes[index] - 2);
    let camber = |index: usize| {
        let camber = deck.cars[index].camber;
        let long = format!("camber {}", measured(camber));
        if display_width(&long) <= boxes[index] - 2 { long } else { String::new() }
    };

    let mut lines = vec![
        row('+', '-', ' ', &blank),
        row('|', ' ', ' ', &id),
        row('|', ' ', ' ', &breadth),
        row('|', ' ', ' ', &camber),
        row('+', '-', ' ', &blank),
        dimension(&format!("total {}", feet_inches(deck.total)), drawn),
    ];
    let required = if deck.required.0 > 0.0 && deck.total.0 > 0.0 {
        (deck.required.0 / deck.total.0 * drawn as f64).round() as usize
    } else {
        drawn
    };
    lines.push(dimension(&format!("required {}", feet_inches(deck.required)), required));
    lines
}

/// The gap and the camber steps in words, below the drawing.
pub fn joint_words(name: &str, gap: Inches, cars: &[DrawnCar]) -> String {
    let steps: Vec<String> =
        cars.windows(2).map(|pair| measured((pair[1].camber - pair[0].camber).abs())).collect();
    let joints = if steps.len() == 1 { "joint" } else { "joints" };
    let gap =
        if gap.0 > 0.0 { format!("gap {}", inches_fraction(gap)) } else { "closed up".to_owned() };
    let step = if steps.len() == 1 { "camber step" } else { "camber steps" };
    format!("{} {name} {joints}, {gap}; {step} {}", steps.len(), steps.join(", "))
}

/// A length in decimal inches as it was measured, to the thousandth, without zeros behind it.
pub fn measured(length: Inches) -> String {
    let thousandths = (length.0 * 1000.0).round() / 1000.0;
    // Adding zero turns a negative zero into zero.
    format!("{} in", thousandths + 0.0)
}

/// `|<--- total 18'-0" --->|` over so many columns; the text alone where it does not fit.
fn dimension(text: &str, columns: usize) -> String {
    let inner = columns.saturating_sub(4);
    if display_width(text) + 2 > inner {
        return text.to_owned();
    }
    format!("|<{}>|", centerd(&format!(" {text} "), inner, '-'))
}

/// The ID, or the car's number across the deck where the ID does not fit.
fn fitting(id: &str, columns: usize, index: usize) -> String {
    if display_width(id) <= columns { id.to_owned() } else { (index + 1).to_string() }
}

/// A text that fits, or nothing.
fn short_of(text: &str, columns: usize) -> String {
    if display_width(text) <= columns { text.to_owned() } else { String::new() }
}

/// Text in the middle of so many columns.
fn centerd(text: &str, columns: usize, fill: char) -> String {
    let free = columns.saturating_sub(display_width(text));
    let left = free / 2;
    let filler = |n: usize| fill.to_string().repeat(n);
    format!("{}{text}{}", filler(left), filler(free - left))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn deck(cars: &[(&str, f64, f64)], gap: f64, required: f64) -> DrawnDeck {
        let cars: Vec<DrawnCar> = cars
            .iter()
            .map(|&(id, width, camber)| DrawnCar {
                id: id.to_owned(),
                width: Feet(width),
                camber: Inches(camber),
            })
            .collect();
        let widths: Feet = cars.iter().map(|car| car.width).sum();
        let total = widths + Feet::from(Inches(gap)) * (cars.len() as f64 - 1.0);
        DrawnDeck { cars, gap: Inches(gap), total, required: Feet(required) }
    }

    #[test]
    fn two_cars_with_a_wide_gap() {
        let deck = deck(&[("UD-1", 9.0, 1.25), ("UD-2", 9.0, 1.5)], 6.0, 17.5);
        assert_eq!(draw(&deck, 60).join("\n"), TWO_CARS.trim_matches('\n'));
    }

    const TWO_CARS: &str = r#"
+--------------------------+  +--------------------------+
|           UD-1           |  |           UD-2           |
|          9'-0"           |  |          9'-0"           |
|      camber 1.25 in      |  |      camber 1.5 in       |
+--------------------------+  +--------------------------+
|<-------------------- total 18'-6" -------------------->|
|<----------------- required 17'-6" ----------------->|
"#;

    #[test]
    fn never_wider_than_asked() {
        let cars: Vec<(&str, f64, f64)> = vec![("A-LONG-IDENTIFIER-0001", 8.9, 0.5); 4];
        for (count, width) in [(1, 36), (2, 36), (3, 40), (4, 36), (4, 120)] {
            for gap in [0.0, 0.125, 18.0] {
                for line in draw(&deck(&cars[..count], gap, 20.0), width) {
                    assert!(display_width(&line) <= width, "{count} {width}: {line}");
                }
            }
        }
    }

    #[test]
    fn an_id_that_does_not_fit_becomes_the_number_across() {
        let deck = deck(&[("A-LONG-IDENTIFIER-0001", 9.0, 0.5); 2], 0.0, 17.5);
        let lines = draw(&deck, 40);
        assert!(lines[1].contains(" 1 ") && lines[1].contains(" 2 "), "{}", lines[1]);
    }

    #[test]
    fn joints_in_words() {
        let deck = deck(&[("A", 9.0, 1.0), ("B", 9.0, 1.25), ("C", 9.0, 1.75)], 1.5, 17.5);
        assert_eq!(
            joint_words("bolted plate", deck.gap, &deck.cars),
            "2 bolted plate joints, gap 1 1/2 in; camber steps 0.25 in, 0.5 in"
        );
    }
}
