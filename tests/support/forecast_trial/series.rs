//! The open series: losses that were published, forecast to levels that lie between two samples.

use super::Trial;
use std::collections::BTreeMap;
use tallyhook::curing::drying::forecast::{Class, Knowledge};

const FILES: [(&str, Class); 4] = [
    (include_str!("../../references/galician_chorizo.csv"), Class::Sausage),
    (include_str!("../../references/drying_harbin.csv"), Class::Sausage),
    (include_str!("../../references/drying_harbin_yeast.csv"), Class::Sausage),
    (include_str!("../../references/drying_bacon.csv"), Class::WholeMuscle),
];

/// Every forecast that can be made from the series: levels of 30 to 62 % in steps of 4, after every sample before them.
/// The day of a level is interpolated between its samples. No diameter is published with them.
pub(crate) fn trials() -> Vec<Trial> {
    FILES
        .iter()
        .flat_map(|(text, class)| courses(text).into_values().flat_map(|course| of_course(&course, *class)))
        .collect()
}

/// Day and loss by series.
fn courses(text: &str) -> BTreeMap<String, Vec<(f64, f64)>> {
    let mut lines = text.lines().filter(|line| !line.starts_with('#'));
    let names: Vec<&str> = lines.next().unwrap_or_default().split(',').collect();
    let column = |name: &str| names.iter().position(|found| *found == name).expect("a column");
    let (series, day, loss) = (column("series"), column("day"), column("loss_pct"));
    let mut courses: BTreeMap<String, Vec<(f64, f64)>> = BTreeMap::new();
    for line in lines {
        let fields: Vec<&str> = line.split(',').collect();
        let number = |column: usize| fields[column].parse::<f64>().expect("a number");
        courses.entry(fields[series].into()).or_default().push((number(day), number(loss) / 100.0));
    }
    courses
}

fn of_course(course: &[(f64, f64)], class: Class) -> Vec<Trial> {
    let mut trials = Vec::new();
    for level in (30..=62).step_by(4).map(|percent| f64::from(percent) / 100.0) {
        let Some(reached) = course.iter().position(|(_, lost)| *lost >= level) else { continue };
        let ((from, lost_from), (to, lost_to)) = (course[reached - 1], course[reached]);
        let truth = from + (level - lost_from) / (lost_to - lost_from) * (to - from);
        for last in 1..reached {
            let weighings =
                course[1..=last].iter().map(|(day, lost)| (*day, 1000.0 * (1.0 - lost))).collect();
            trials.push(Trial {
                class,
                size_mm: None,
                green_g: 1000.0,
                weighings,
                target: level,
                truth,
                progress: course[last].1 / level,
                knowledge: Knowledge::default(),
            });
        }
    }
    trials
}
