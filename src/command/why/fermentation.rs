//! Why a course or a plan of a fermentation cannot be counted.

use super::Why;
use crate::curing::fermentation::CourseError;
use crate::curing::fermentation::schedule::ScheduleError;
use crate::reply::say;

impl Why for CourseError {
    fn why(&self) -> String {
        match self {
            Self::Empty => say("why.course.empty", &[]),
            Self::HoursOutOfRange(hours) => say("why.course.hours", &[("hours", &hours.to_string())]),
            Self::TemperatureOutOfRange(celsius) => {
                say("why.course.temperature", &[("celsius", &celsius.to_string())])
            }
        }
    }
}

impl Why for ScheduleError {
    fn why(&self) -> String {
        match self {
            Self::Course(error) => error.why(),
            Self::OpenStep => say("why.course.open_step", &[]),
        }
    }
}
