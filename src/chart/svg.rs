//! A chart as an SVG picture: the same chart gives the same letters.

use super::data::Chart;
use super::layout::{self, Label, Shape};
use super::palette::{self, Marker, Style};
use super::{HEIGHT, WIDTH, measure};
use std::fmt::Write;

/// The picture.
pub fn svg(chart: &Chart) -> String {
    let drawing = layout::laid(chart);
    let mut out = String::with_capacity(16_384);
    let _ = writeln!(
        out,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{WIDTH}\" height=\"{HEIGHT}\" viewBox=\"0 0 {WIDTH} {HEIGHT}\" \
         font-family=\"{}\" fill=\"none\" stroke-linejoin=\"round\">",
        measure::FAMILY
    );
    let _ = writeln!(out, "<rect width=\"{WIDTH}\" height=\"{HEIGHT}\" fill=\"{}\"/>", palette::GROUND);
    drawing.shapes.iter().for_each(|shape| write_shape(&mut out, shape));
    drawing.labels.iter().for_each(|label| write_label(&mut out, label));
    out.push_str("</svg>\n");
    out
}

fn write_shape(out: &mut String, shape: &Shape) {
    let _ = match shape {
        Shape::Area { corners, fill, opacity } => {
            writeln!(
                out,
                "<polygon points=\"{}\" fill=\"{fill}\" fill-opacity=\"{opacity}\"/>",
                points(corners)
            )
        }
        Shape::Line { corners, .. } if corners.len() < 2 => Ok(()),
        Shape::Line { corners, stroke, width, dash } => {
            let dash = if dash.is_empty() { String::new() } else { format!(" stroke-dasharray=\"{dash}\"") };
            let points = points(corners);
            writeln!(
                out,
                "<polyline points=\"{points}\" stroke=\"{stroke}\" stroke-width=\"{width}\"{dash}/>"
            )
        }
        Shape::Marker { at, style, radius } => {
            out.push_str(&marker(*at, *style, *radius));
            Ok(())
        }
    };
}

fn marker((x, y): (f64, f64), style: Style, radius: f64) -> String {
    let colour = style.colour;
    let corner = |across: f64, up: f64| (x + across * radius, y - up * radius);
    let filled =
        |corners: &[(f64, f64)]| format!("<polygon points=\"{}\" fill=\"{colour}\"/>\n", points(corners));
    match style.marker {
        Marker::Disc | Marker::Dot => {
            format!("<circle cx=\"{}\" cy=\"{}\" r=\"{radius}\" fill=\"{colour}\"/>\n", pixel(x), pixel(y))
        }
        Marker::Square => {
            filled(&[corner(-0.9, 0.9), corner(0.9, 0.9), corner(0.9, -0.9), corner(-0.9, -0.9)])
        }
        Marker::Triangle => filled(&[corner(0.0, 1.2), corner(1.1, -0.8), corner(-1.1, -0.8)]),
        Marker::Tip => filled(&[corner(0.0, -1.2), corner(1.1, 0.8), corner(-1.1, 0.8)]),
        Marker::Diamond => {
            filled(&[corner(0.0, 1.3), corner(1.3, 0.0), corner(0.0, -1.3), corner(-1.3, 0.0)])
        }
        Marker::Cross => {
            let stroke = |one, other| {
                let points = points(&[one, other]);
                format!("<polyline points=\"{points}\" stroke=\"{colour}\" stroke-width=\"4\"/>\n")
            };
            stroke(corner(-1.0, 1.0), corner(1.0, -1.0)) + &stroke(corner(-1.0, -1.0), corner(1.0, 1.0))
        }
    }
}

fn write_label(out: &mut String, label: &Label) {
    let colour = if label.is_quiet { palette::QUIET_INK } else { palette::INK };
    let weight = if label.is_bold { " font-weight=\"bold\"" } else { "" };
    // A rim of the ground keeps letters legible over the shade of a band.
    let rim = if label.is_inside {
        format!(" stroke=\"{}\" stroke-width=\"5\" paint-order=\"stroke\"", palette::GROUND)
    } else {
        String::new()
    };
    let _ = writeln!(
        out,
        "<text x=\"{}\" y=\"{}\" font-size=\"{}\" fill=\"{colour}\"{weight}{rim}>{}</text>",
        pixel(label.left),
        pixel(label.baseline),
        label.size,
        escaped(&label.text)
    );
}

fn points(corners: &[(f64, f64)]) -> String {
    let mut text = String::with_capacity(corners.len() * 12);
    for (number, (x, y)) in corners.iter().enumerate() {
        let blank = if number == 0 { "" } else { " " };
        let _ = write!(text, "{blank}{},{}", pixel(*x), pixel(*y));
    }
    text
}

/// Tenths of a pixel.
fn pixel(value: f64) -> f64 {
    (value * 10.0).round() / 10.0
}

/// Members' words as text of XML 1.0: its five signs escaped, what it does not allow left out.
fn escaped(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            '\'' => safe.push_str("&apos;"),
            '\t' | '\n' => safe.push(' '),
            letter if letter.is_control() || matches!(letter, '\u{fffe}' | '\u{ffff}') => {}
            letter => safe.push(letter),
        }
    }
    safe
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_sign_of_a_member_reaches_the_markup() {
        assert_eq!(escaped("<script>&\"'\u{0}\u{b}\n"), "&lt;script&gt;&amp;&quot;&apos; ");
    }
}
