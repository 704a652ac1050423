//! Where the pH of a fermenting batch is going: the hours until it is where it is aimed at, or that it slows or stands
//! still. Said once, in one sentence, and never more than a forecast.

use crate::command::figures;
use crate::curing::fermentation::ph_forecast::{Pace, PhForecast, PhWindow, forecast, is_standstill};
use crate::curing::fermentation::stall::Stall;
use crate::curing::fermentation::{Fermentation, Verdict};
use crate::curing::{Level, rulebook};
use crate::quantity::{Ph, format};
use crate::record::{BatchStage, BatchState};
use crate::reply::{Note, Reply, say};
use chrono::{DateTime, Utc};

/// Where the pH is going.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outlook {
    target: Ph,
    forecast: PhForecast,
    stall: Option<Stall>,
}

/// In a word, what is wrong with how the pH falls.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Trouble {
    Slow,
    Slowing,
    Stalled,
}

impl Trouble {
    fn word(self) -> String {
        let key = match self {
            Self::Slow => "ferment.pace.word_slow",
            Self::Slowing => "ferment.pace.word_slowing",
            Self::Stalled => "ferment.pace.word_stalled",
        };
        say(key, &[])
    }
}

impl Outlook {
    /// Of a batch that ferments within its degree-hours; else there is nothing to wait for. Where no pH is aimed at, the
    /// one that ends the degree-hours is.
    pub fn of(state: &BatchState, fermentation: &Fermentation, now: DateTime<Utc>) -> Option<Self> {
        let is_over = fermentation.degree_hours.verdict() >= Verdict::MayBeExceeded;
        if state.stage().0 != BatchStage::Fermenting || is_over {
            return None;
        }
        let ends = rulebook::by_id("ph.end_point").and_then(|row| row.value).map(Ph::new);
        let target = state.plan.target_ph.or(ends)?;
        let forecast = forecast(&fermentation.acidity, &fermentation.rooms, target, now);
        Some(Self { target, forecast, stall: fermentation.stall() })
    }

    fn trouble(&self) -> Option<Trouble> {
        match self.forecast {
            PhForecast::Stalled(_) => Some(Trouble::Stalled),
            PhForecast::Slowing(_) => Some(Trouble::Slowing),
            // Past the custom's lag, what did not begin to fall stands still as well.
            _ => self.stall.map(
                |stall| {
                    if is_standstill(stall.moved) { Trouble::Stalled } else { Trouble::Slow }
                },
            ),
        }
    }

    /// What the pH moved by, and in how many hours.
    fn moved(&self) -> Option<(f64, f64)> {
        let pace = match self.forecast {
            PhForecast::Stalled(pace) | PhForecast::Slowing(pace) => Some(pace),
            _ => None,
        };
        let by_custom = self.stall.map(|stall| (stall.moved, stall.hours));
        by_custom.or(pace.map(|Pace { moved, hours, .. }| (moved, hours)))
    }

    /// What to do about a pH that does not fall as it should; in short where the answer before said so already.
    pub fn note(&self, before: Option<&Self>) -> Option<Note> {
        let trouble = self.trouble()?;
        let (moved, hours) = self.moved()?;
        let (amount, hours) = (format::trimmed(moved.abs(), 2), format::trimmed(hours, 0));
        let word = trouble.word();
        let moved = say(
            if moved < 0.0 { "ferment.pace.rose" } else { "ferment.pace.fell" },
            &[("moved", &amount), ("hours", &hours)],
        );
        let text = if before.and_then(Self::trouble) == Some(trouble) {
            say("ferment.pace.still", &[("word", &word.to_lowercase()), ("moved", &moved)])
        } else {
            let holes =
                [("word", &*word), ("moved", &moved), ("why", &self.why(trouble)), ("check", &self.check())];
            say("ferment.pace.trouble", &holes)
        };
        Some(Note { level: Level::Notice, text })
    }

    fn why(&self, trouble: Trouble) -> String {
        match (self.stall, trouble) {
            (Some(stall), _) => say(
                "ferment.pace.custom",
                &[
                    ("movement", &format::trimmed(stall.movement.value.unwrap_or_default(), 2)),
                    ("lag", &format::trimmed(stall.lag.value.unwrap_or_default(), 0)),
                ],
            ),
            (None, Trouble::Stalled) => say("ferment.pace.above", &[("target", &format::ph(self.target))]),
            (None, _) => say("ferment.pace.less", &[]),
        }
    }

    fn check(&self) -> String {
        let rose = self.moved().is_some_and(|(moved, _)| moved < 0.0);
        say(if rose { "ferment.pace.check_meter" } else { "ferment.pace.check" }, &[])
    }

    /// The window, where there is one and nothing is wrong.
    fn window(&self) -> Option<PhWindow> {
        match self.forecast {
            PhForecast::Window(window) if self.trouble().is_none() => Some(window),
            _ => None,
        }
    }

    /// "about 9 h more (5-20)".
    fn hours_shown(window: &PhWindow) -> String {
        let Some((from, middle)) = window.p10.zip(window.p50) else {
            return say("ferment.pace.never", &[]);
        };
        let whole = |hours: f64| format::number(hours, 0);
        let (from, middle) = (whole(from.floor()), whole(middle));
        if middle == "0" {
            return say("ferment.pace.by_now", &[]);
        }
        match window.p90 {
            Some(to) => {
                say("ferment.pace.window", &[("middle", &middle), ("from", &from), ("to", &whole(to.ceil()))])
            }
            None => say("ferment.pace.open", &[("middle", &middle), ("from", &from)]),
        }
    }

    /// Adds the figures and the line that says them; `said`: a line that speaks of the same pH and is said with it.
    pub fn add_window(&self, reply: &mut Reply, said: Option<String>) {
        let Some(window) = self.window() else {
            reply.lines.extend(said);
            return;
        };
        for (id, hours) in [("ph_p10", window.p10), ("ph_p50", window.p50), ("ph_p90", window.p90)] {
            reply.figures.extend(hours.map(|hours| figures::hours(id, hours).folded()));
        }
        let hours = Self::hours_shown(&window);
        reply.lines.push(match said {
            Some(said) => {
                say("ferment.pace.aimed", &[("aimed", said.trim_end_matches('.')), ("hours", &hours)])
            }
            None => say("ferment.pace.to", &[("target", &format::ph(self.target)), ("hours", &hours)]),
        });
    }
}
