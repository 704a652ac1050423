//! Charts to look at and to measure. Invented.
#![allow(dead_code, reason = "the measurement uses a part of what the tests do")]
#![allow(clippy::unwrap_used, reason = "a test that cannot get its material fails by panicking")]

use tallyhook::chart::palette::{MOST, Style};
use tallyhook::chart::{
    Axis, Band, Between, Chart, Edge, Extent, Fan, Horizontal, Mark, Panel, Point, Reach, Series, Target,
};

/// A frame about losses with these courses.
pub(crate) fn losses(series: Vec<Series>) -> Panel {
    Panel {
        axis: Axis { label: "Lost, % of the weight when hung".to_owned(), from: Some(0.0), least_span: 10.0 },
        share: 1.0,
        series,
        bands: Vec::new(),
        targets: vec![target("target 38 %", 38.0)],
        fan: None,
    }
}

pub(crate) fn target(name: &str, value: f64) -> Target {
    Target { name: name.to_owned(), value }
}

pub(crate) fn course(name: &str, style: Style, values: &[(f64, f64)]) -> Series {
    let points = values.iter().map(|(x, y)| Point { x: *x, y: *y }).collect();
    Series { name: name.to_owned(), points, style, between: Between::Way }
}

pub(crate) fn setting(name: &str, values: &[(f64, f64)]) -> Series {
    Series { between: Between::Step, ..course(name, Style::nth(4), values) }
}

pub(crate) fn chart(kind: &'static str, title: &str, panels: Vec<Panel>) -> Chart {
    Chart {
        kind,
        title: title.to_owned(),
        horizontal: Horizontal::Calendar {
            origin: "2026-11-04T09:00:00Z".parse().unwrap(),
            zone: chrono_tz::Europe::Rome,
            names: Box::default(),
        },
        panels,
        marks: Vec::new(),
        alt: format!("{title}. First 0, last 1, target 38 %."),
    }
}

/// A loss that slows down, at so many days.
fn dried(pace: f64, days: &[f64]) -> Vec<(f64, f64)> {
    days.iter().map(|day| (*day, 52.0 * (day / pace) / (1.0 + day / pace))).collect()
}

fn fan(from: (f64, f64), target: f64, open: bool) -> Fan {
    let reach = |level: u32| {
        let part = f64::from(level) / 6.0;
        let far = part * (1.0 + part);
        let is_open = open && level > 3;
        Reach {
            y: from.1 + (target - from.1) * part,
            early: from.0 + 5.0 * far,
            middle: Some(from.0 + 8.0 * far),
            late: (!is_open).then_some(from.0 + 13.0 * far),
        }
    };
    let name = if open { "#3: 29 Nov, not before 23 Nov, end open" } else { "#3: 29 Nov (23 Nov to 9 Dec)" };
    Fan { name: name.to_owned(), reaches: (0..=6).map(reach).collect() }
}

/// Six pieces, what happened, and the forecast of the slowest.
pub(crate) fn drying() -> Chart {
    let days = [0.0, 2.0, 5.0, 9.0];
    let six = (0..MOST).map(|number| {
        let pace = 14.0 + number as f64 * 1.3;
        course(&format!("#{}", number + 1), Style::nth(number), &dried(pace, &days))
    });
    let mut panel = losses(six.collect());
    let last = panel.series[MOST - 1].points.last().copied().unwrap();
    panel.fan =
        Some(Fan { name: "#6: 29 Nov (23 Nov to 9 Dec)".to_owned(), ..fan((last.x, last.y), 38.0, false) });
    let mut chart = chart("drying", "B1 Juniper stick: drying", vec![panel]);
    chart.marks = marks(&[(3.0, "mould"), (4.1, "to cellar"), (7.2, "#4 eaten"), (7.4, "hard rim")]);
    chart
}

pub(crate) fn marks(all: &[(f64, &str)]) -> Vec<Mark> {
    all.iter().map(|(x, name)| Mark { x: *x, name: (*name).to_owned() }).collect()
}

/// Twenty pieces: the first and the last of them named.
pub(crate) fn twenty() -> Chart {
    let days = [0.0, 3.0, 6.0, 10.0, 15.0, 21.0];
    let all = (0..20_u32).map(|number| {
        let (name, style) = match number {
            0 => ("#7 lost most", Style::nth(0)),
            19 => ("#12 lost least", Style::nth(1)),
            1 => ("18 between", Style::faint()),
            _ => ("", Style::faint()),
        };
        course(name, style, &dried(15.0 + f64::from(number) * 0.9, &days))
    });
    chart("drying", "B2 Twenty sticks: drying", vec![losses(all.collect())])
}

/// Every hour a reading.
pub(crate) fn many() -> Chart {
    let reading = |hour: u32| {
        let hour = f64::from(hour);
        (hour / 24.0, 12.0 + 1.4 * (hour / 9.0).sin() + 0.6 * (hour / 1.7).cos())
    };
    let values: Vec<_> = (0..200).map(reading).collect();
    let panel = Panel {
        axis: Axis { label: "Temperature, °C".to_owned(), from: None, least_span: 4.0 },
        share: 1.0,
        series: vec![setting("set", &[(0.0, 12.0)]), course("read", Style::nth(0), &values)],
        bands: vec![Band {
            name: "drift of the controller".to_owned(),
            extent: Extent::Everywhere { low: 12.0, high: 13.0 },
        }],
        targets: Vec::new(),
        fan: None,
    };
    chart("chamber", "B1 Juniper stick: air of home", vec![panel])
}

pub(crate) fn fermentation() -> Chart {
    let hours = |values: &[(f64, f64)]| values.iter().map(|(hour, y)| (hour / 24.0, *y)).collect::<Vec<_>>();
    let panel = |label: &str, share, from, least_span, series| Panel {
        axis: Axis { label: label.to_owned(), from, least_span },
        share,
        series: vec![series],
        bands: Vec::new(),
        targets: Vec::new(),
        fan: None,
    };
    let ph = hours(&[(1.0, 5.72), (9.0, 5.61), (23.0, 5.3), (33.0, 5.05), (47.0, 4.92)]);
    let mut acidity = panel("pH", 2.0, None, 0.6, course("", Style::nth(0), &ph));
    acidity.targets = vec![target("5.3 ends the degree-hours", 5.3), target("aim 4.9", 4.9)];
    acidity.bands =
        vec![Band { name: "usual 4.8-5.3".to_owned(), extent: Extent::Everywhere { low: 4.8, high: 5.3 } }];
    let read = hours(&[(1.0, 22.0), (9.0, 22.4), (23.0, 23.1), (33.0, 22.2), (47.0, 22.0)]);
    let room = panel("Room, °C", 1.0, None, 4.0, course("", Style::nth(0), &read));
    let used = hours(&[(0.0, 0.0), (9.0, 108.0), (23.0, 298.0), (33.0, 434.0), (47.0, 602.0)]);
    let label = "Degree-hours, °F h above 60 °F";
    let mut degree_hours = panel(label, 1.0, Some(0.0), 1200.0, course("", Style::nth(0), &used));
    degree_hours.targets = vec![target("limit 1200", 1200.0)];
    chart("fermentation", "B1 Juniper stick: fermentation", vec![acidity, room, degree_hours])
}

/// One piece against others.
pub(crate) fn comparison() -> Chart {
    let days = [0.0, 2.0, 5.0, 9.0, 14.0, 20.0, 27.0];
    let (slow, middle, fast) = (dried(24.0, &days), dried(19.0, &days), dried(16.0, &days));
    let edges = slow.iter().zip(&fast).map(|(slow, fast)| Edge { x: slow.0, low: slow.1, high: fast.1 });
    let own = dried(14.0, &days[..5]);
    let mut panel = losses(vec![course("median", Style::nth(3), &middle), course("#1", Style::nth(0), &own)]);
    panel.targets = Vec::new();
    panel.bands = vec![Band {
        name: "middle half of 7 batches of 4 members".to_owned(),
        extent: Extent::Along(edges.collect()),
    }];
    let chart = chart("comparison", "B1 Juniper stick, #1, beside the group", vec![panel]);
    Chart { horizontal: Horizontal::Days { label: "days since hung".to_owned() }, ..chart }
}

pub(crate) fn chamber() -> Chart {
    let read = [(0.2, 22.0), (1.0, 23.1), (2.0, 13.2), (5.0, 13.4), (8.0, 12.6)];
    let edges = [(0.0, 22.0), (1.5, 22.0), (1.5, 13.0), (8.5, 13.0)];
    let edges = edges.map(|(x, low)| Edge { x, low, high: low + 1.0 });
    let temperature = Panel {
        axis: Axis { label: "Temperature, °C".to_owned(), from: None, least_span: 4.0 },
        share: 1.0,
        series: vec![
            setting("set", &[(0.0, 22.0), (1.5, 13.0)]),
            course("read", Style::nth(0), &read),
            Series {
                between: Between::Nothing,
                ..course("warmest", Style::nth(1), &[(2.0, 24.8), (8.0, 14.6)])
            },
        ],
        bands: vec![Band {
            name: "drift of the controller".to_owned(),
            extent: Extent::Along(edges.to_vec()),
        }],
        targets: Vec::new(),
        fan: None,
    };
    let damp = [(0.2, 91.0), (1.0, 90.0), (2.0, 86.0), (5.0, 79.0), (8.0, 74.0)];
    let humidity = Panel {
        axis: Axis { label: "Relative humidity, %".to_owned(), from: None, least_span: 10.0 },
        series: vec![setting("set", &[(0.0, 90.0), (1.5, 78.0)]), course("read", Style::nth(0), &damp)],
        bands: Vec::new(),
        ..temperature.clone()
    };
    chart("chamber", "B1 Juniper stick: air of home", vec![temperature, humidity])
}

/// Signs that mean something in markup, letters that no font holds, and no end of them.
pub(crate) const HOSTILE: &str = "</text><script>alert(\"x\")</script>&amp;'\u{202e}\u{0}肉🥩 & a name that does not end while anybody reads it";

pub(crate) fn hostile() -> Chart {
    let mut chart = drying();
    let panel = &mut chart.panels[0];
    for series in &mut panel.series {
        series.name = format!("{} {HOSTILE}", series.name);
    }
    let texts = [&mut chart.title, &mut chart.alt, &mut panel.axis.label, &mut panel.targets[0].name];
    let fans = panel.fan.iter_mut().map(|fan| &mut fan.name);
    for text in texts.into_iter().chain(fans).chain(chart.marks.iter_mut().map(|mark| &mut mark.name)) {
        HOSTILE.clone_into(text);
    }
    chart
}

fn with_fan(open: bool, from: (f64, f64)) -> Chart {
    let style = Style::nth(0);
    let mut panel = losses(vec![course("#3", style, &[(0.0, 0.0), from])]);
    panel.fan = Some(fan(from, 38.0, open));
    chart("drying", "B1 Juniper stick: drying", vec![panel])
}

/// Every case, by its name.
pub(crate) fn all() -> Vec<(&'static str, Chart)> {
    let one = |values: &[(f64, f64)]| {
        chart("drying", "B3 One: drying", vec![losses(vec![course("#1", Style::nth(0), values)])])
    };
    vec![
        ("drying", drying()),
        ("drying_twenty", twenty()),
        ("drying_early_open", with_fan(true, (1.0, 2.5))),
        ("drying_one_forecast", with_fan(false, (9.0, 20.0))),
        ("drying_nearly_there", with_fan(false, (20.0, 36.5))),
        ("drying_empty", chart("drying", "B3 Empty: drying", vec![losses(Vec::new())])),
        ("drying_one_point", one(&[(0.0, 0.0)])),
        ("drying_all_equal", one(&[(0.0, 12.0), (4.0, 12.0), (9.0, 12.0)])),
        ("drying_gain", one(&[(0.0, 0.0), (4.0, -3.0), (9.0, 6.0)])),
        ("fermentation", fermentation()),
        ("chamber", chamber()),
        ("chamber_many", many()),
        ("comparison", comparison()),
        ("hostile", hostile()),
    ]
}
