use super::*;

fn step(celsius: f64, hours: Option<f64>) -> PlannedStep {
    PlannedStep { temperature: Temperature::celsius(celsius), hours: hours.map(Hours::new) }
}

fn plan(steps: &[(f64, Option<f64>)]) -> Schedule {
    let steps: Vec<_> = steps.iter().map(|(celsius, hours)| step(*celsius, *hours)).collect();
    Schedule::of(&steps, Systems::Strict).unwrap()
}

/// Less than so many hours, and the largest whole hour below.
fn longest(plan: &StepPlan) -> (f64, u32) {
    match plan.limit {
        StepLimit::Longest(longest) => (longest.less_than(), longest.whole_hours()),
        other => panic!("{other:?}"),
    }
}

#[test]
fn each_step_has_what_the_steps_before_it_left() {
    // By hand, °F-hours above 60 °F of 1200: 24 h × 15.2 = 364.8; 835.2 ÷ 26 (30 °C = 86 °F) = 32.12 h.
    let plan = plan(&[(24.0, Some(24.0)), (30.0, Some(20.0)), (15.0, Some(24.0))]);
    assert_eq!(longest(&plan.steps[0]), (78.9, 78));
    assert_eq!(longest(&plan.steps[1]), (32.1, 32));
    assert_eq!(plan.steps[2].limit, StepLimit::NotRunning);
    // 78.947 − 24 and 32.123 − 20.
    assert_eq!(plan.steps[0].left().map(HoursLeft::whole_hours), Some(54));
    assert_eq!(plan.steps[1].left().map(HoursLeft::less_than), Some(12.1));
    assert_eq!(plan.steps[2].left(), None);
    assert!(plan.is_allowed());
    assert_eq!(plan.must_end(), MustEnd::NoTimeRuns);
}

#[test]
fn a_warm_step_to_come_already_counts_for_the_band() {
    // 33 °C is 91.4 °F: 1000 of the US system for the whole plan. 1000 ÷ 15.2 = 65.79 h.
    let plan = plan(&[(24.0, Some(24.0)), (33.0, Some(10.0))]);
    assert_eq!(longest(&plan.steps[0]), (65.7, 65));
}

#[test]
fn the_hour_at_which_the_clock_must_have_ended() {
    let end = |steps: &[(f64, Option<f64>)]| plan(steps).must_end();
    let hours = |end: MustEnd| match end {
        MustEnd::InStep(step, end) => (step, end.less_than()),
        MustEnd::GoingOn(end) => (0, end.less_than()),
        MustEnd::NoTimeRuns => (0, 0.0),
    };
    assert_eq!(hours(end(&[(24.0, Some(48.0))])), (0, 78.9));
    assert_eq!(hours(end(&[(24.0, None)])), (1, 78.9));
    assert_eq!(hours(end(&[(24.0, Some(90.0)), (13.0, Some(24.0))])), (1, 78.9));
    // 24 h and then 32.12 h.
    assert_eq!(hours(end(&[(24.0, Some(24.0)), (30.0, Some(40.0))])), (2, 56.1));
    assert_eq!(end(&[(13.0, Some(240.0))]), MustEnd::NoTimeRuns);
}

#[test]
fn the_limit_hour_itself_is_too_late() {
    // 80 h at 75 °F are exactly 1200.
    let at = |hours| {
        let step = PlannedStep { temperature: Temperature::fahrenheit(75.0), hours: Some(Hours::new(hours)) };
        Schedule::of(&[step], Systems::Us).unwrap()
    };
    assert!(!at(80.0).is_allowed());
    assert!(at(79.0).is_allowed());
    assert_eq!(at(80.0).steps[0].left(), None);
}

#[test]
fn nothing_is_left_for_a_step_after_the_limit() {
    let plan = plan(&[(24.0, Some(80.0)), (20.0, Some(1.0))]);
    assert_eq!(plan.steps[1].limit, StepLimit::Spent);
    assert!(!plan.is_allowed());
}

#[test]
fn only_the_last_step_may_be_open_and_no_step_impossible() {
    let of = |steps: &[PlannedStep]| Schedule::of(steps, Systems::Strict);
    assert_eq!(of(&[step(24.0, None), step(15.0, Some(1.0))]), Err(ScheduleError::OpenStep));
    assert_eq!(of(&[]), Err(CourseError::Empty.into()));
    assert_eq!(of(&[step(90.0, None)]), Err(CourseError::TemperatureOutOfRange(90.0).into()));
    assert_eq!(of(&[step(24.0, Some(0.0))]), Err(CourseError::HoursOutOfRange(0.0).into()));
    assert_eq!(of(&[step(24.0, None)]).unwrap().report, None);
}

#[test]
fn the_open_step_s_warmth_counts_for_the_band_of_the_sums() {
    let report = plan(&[(24.0, Some(24.0)), (38.0, None)]).report.unwrap();
    assert!((report.sums[0].limit_upper - 900.0).abs() < 1e-9);
}

#[test]
fn a_room_at_the_base_has_no_row_in_the_planning_table() {
    let rooms = [15.0, 24.0, 33.0].map(Temperature::celsius);
    let table = planning_table(&rooms, Systems::Strict);
    let rows: Vec<_> =
        table.iter().map(|(_, longest)| (longest.less_than(), longest.whole_hours())).collect();
    assert_eq!(rows, [(78.9, 78), (31.8, 31)]);
}
