//! Charts: as written down, by every reading, and by what must hold of any.
//!
//! `UPDATE_CHARTS=1 cargo test --test core charts` writes the pictures of `tests/charts/` anew; look at them before they
//! are committed. `CHARTS_TO=folder` puts every case there as an image.

#[path = "../support/charts.rs"]
mod cases;

use proptest::prelude::*;
use std::fs;
use std::path::Path;
use tallyhook::chart::layout::{Drawing, Rect, Shape, laid};
use tallyhook::chart::palette::Style;
use tallyhook::chart::svg::svg;
use tallyhook::chart::{Between, Chart, HEIGHT, Horizontal, WIDTH, block::block, scale};

/// The pictures that are kept: one of each kind, and one with members' worst words.
const KEPT: [&str; 5] = ["drying", "fermentation", "chamber", "comparison", "hostile"];

#[test]
fn each_kind_is_drawn_as_it_is_written_down() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/charts");
    let mut wrong = Vec::new();
    for (name, chart) in cases::all().into_iter().filter(|(name, _)| KEPT.contains(name)) {
        for (ending, came) in [("svg", svg(&chart)), ("txt", block(&chart) + "\n")] {
            let path = folder.join(format!("{name}.{ending}"));
            if fs::read_to_string(&path).unwrap_or_default() == came {
                continue;
            }
            if std::env::var_os("UPDATE_CHARTS").is_some() {
                fs::write(&path, &came).unwrap();
            }
            wrong.push(path);
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?} differ from what was drawn");
}

#[test]
fn the_same_chart_gives_the_same_letters() {
    for (name, chart) in cases::all() {
        assert_eq!(svg(&chart), svg(&chart), "{name}");
    }
}

/// Values that were drawn as such.
fn markers(drawing: &Drawing) -> usize {
    drawing.shapes.iter().filter(|shape| matches!(shape, Shape::Marker { .. })).count()
}

#[test]
fn every_reading_appears() {
    for (name, chart) in cases::all() {
        let series = chart
            .panels
            .iter()
            .flat_map(|panel| &panel.series)
            .filter(|series| series.between != Between::Step);
        let readings: usize = series.map(|series| series.points.len()).sum();
        let drawn = markers(&laid(&chart));
        // A name under the title has its sample.
        assert!((readings..=readings + 8).contains(&drawn), "{name}: {drawn} of {readings}");
    }
}

/// Once a date at the left edge took the place of the zero beside it.
#[test]
fn a_date_at_the_edge_leaves_the_zero_its_place() {
    let mut chart = cases::drying();
    if let Horizontal::Calendar { origin, .. } = &mut chart.horizontal {
        *origin = "2026-11-02T09:00:00Z".parse().unwrap();
    }
    let written: Vec<String> = laid(&chart).labels.into_iter().map(|label| label.text).collect();
    assert!(
        written.iter().any(|label| label == "2 Nov") && written.iter().any(|label| label == "0"),
        "{written:?}"
    );
}

#[test]
fn letters_are_large_enough_for_a_phone() {
    for (name, chart) in cases::all() {
        assert!(laid(&chart).labels.iter().all(|label| label.size >= 24.0), "{name}");
    }
}

#[test]
fn what_is_said_of_it_stands_in_the_picture() {
    let written: Vec<String> = laid(&cases::drying()).labels.into_iter().map(|label| label.text).collect();
    for text in
        ["B1 Juniper stick: drying", "target 38 %", "#1", "#6", "mould", "to cellar", "#4 eaten", "hard rim"]
    {
        assert!(written.iter().any(|label| label == text), "no {text} in {written:?}");
    }
    assert!(written.iter().any(|label| label.starts_with("#6: 29 Nov")), "{written:?}");
}

#[test]
fn members_words_stay_words() {
    let picture = svg(&cases::hostile());
    assert!(!picture.contains("<script") && !picture.contains('\u{202e}') && !picture.contains('\0'));
    assert!(picture.contains("&lt;script&gt;"));
    assert_eq!(picture.matches("<svg").count(), 1);
    assert_eq!(picture.matches("<text").count(), picture.matches("</text>").count());
}

#[test]
fn letters_of_a_terminal_stay_in_their_columns() {
    for (name, chart) in cases::all().into_iter().filter(|(name, _)| *name != "hostile") {
        let text = block(&chart);
        assert!(text.lines().all(|line| line.chars().count() <= 62), "{name}:\n{text}");
    }
    let text = block(&cases::drying());
    assert!(text.contains("target 38 %") && text.contains("#6") && text.contains('░'), "{text}");
}

/// That nothing covers anything else and all of it is on the picture.
fn check(chart: &Chart) -> Result<(), TestCaseError> {
    let drawing = laid(chart);
    let rects: Vec<(&str, Rect)> =
        drawing.labels.iter().map(|label| (label.text.as_str(), label.rect())).collect();
    let all = Rect { left: 0.0, top: 0.0, right: WIDTH, bottom: HEIGHT };
    for (number, (text, rect)) in rects.iter().enumerate() {
        prop_assert!(rect.is_in(&all), "{text:?} leaves the picture: {rect:?}");
        for (other, under) in &rects[..number] {
            prop_assert!(!rect.meets(under), "{text:?} covers {other:?}");
        }
    }
    for shape in &drawing.shapes {
        let corners = match shape {
            Shape::Area { corners, .. } | Shape::Line { corners, .. } => corners.clone(),
            Shape::Marker { at, .. } => vec![*at],
        };
        for (x, y) in corners {
            prop_assert!((0.0..=WIDTH).contains(&x) && (0.0..=HEIGHT).contains(&y), "{shape:?}");
        }
    }
    let (first, last) = scale::across(chart);
    for panel in &chart.panels {
        let (low, high) = scale::up(panel);
        for point in panel.series.iter().flat_map(|series| &series.points) {
            prop_assert!((first..=last).contains(&point.x) && (low..=high).contains(&point.y), "{point:?}");
        }
    }
    Ok(())
}

#[test]
fn no_case_writes_one_thing_over_another() {
    for (name, chart) in cases::all() {
        if let Err(error) = check(&chart) {
            panic!("{name}: {error}");
        }
    }
}

/// Courses with names, levels, happenings: more and longer than anybody has.
fn any_chart() -> impl Strategy<Value = Chart> {
    let values = proptest::collection::vec((0.0..90.0_f64, -20.0..60.0_f64), 1..12);
    let courses = proptest::collection::vec((".{0,40}", values), 0..8);
    let happened = proptest::collection::vec((0.0..90.0_f64, "[a-z ]{1,30}"), 0..8);
    (courses, happened, proptest::option::of(-10.0..50.0_f64), ".{0,60}", 1..4_usize).prop_map(
        |(courses, happened, level, title, panels)| {
            let series = courses.into_iter().enumerate().map(|(number, (name, mut values))| {
                values.sort_by(|one, other| one.0.total_cmp(&other.0));
                cases::course(&name, Style::nth(number), &values)
            });
            let mut panel = cases::losses(series.collect());
            panel.targets = level.map(|value| cases::target(&title, value)).into_iter().collect();
            panel.axis.from = None;
            let mut chart = cases::chart("drying", &title, vec![panel; panels]);
            let happened: Vec<_> = happened.iter().map(|(x, name)| (*x, name.as_str())).collect();
            chart.marks = cases::marks(&happened);
            chart
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn nothing_covers_anything_else_and_axes_cover_the_data(chart in any_chart()) {
        check(&chart)?;
    }
}

#[cfg(feature = "app")]
mod images {
    use super::*;
    use tallyhook::chart::png::png;

    /// The platform takes 10 MB; a phone on a slow line should not wait for more than this.
    const MOST_BYTES: usize = 200_000;

    #[test]
    fn every_case_is_an_image_of_its_size() {
        for (name, chart) in cases::all() {
            let image = png(&svg(&chart)).unwrap();
            if let Some(folder) = std::env::var_os("CHARTS_TO") {
                fs::write(Path::new(&folder).join(format!("{name}.png")), &image).unwrap();
            }
            assert_eq!(image[..8], *b"\x89PNG\r\n\x1a\n", "{name}");
            // The header's width and height, by the PNG specification (ISO/IEC 15948) 11.2.2.
            assert_eq!(image[16..24], [0, 0, 3, 232, 0, 0, 2, 238], "{name}");
            assert!(image.len() < MOST_BYTES, "{name}: {} bytes", image.len());
        }
    }
}
