//! `/ferment degree-hours`: the live budget of a batch, or what a stated course uses.

use crate::command::Args;
use crate::command::access::Deed;
use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::error::{Code, UserError};
use crate::command::intake;
use crate::command::lookup::{self, Found};
use crate::command::spec::{OptionKind, Spec, maybe};
use crate::command::status::fermentation::Outlook;
use crate::command::status::{Look, fermentation};
use crate::command::tap;
use crate::command::why::Why;
use crate::curing::fermentation::{DegreeHourReport, Systems, assess_course};
use crate::curing::{Finding, Level};
use crate::quantity::{Hours, Temperature, format};
use crate::record::{BatchKind, BatchStage, BatchState};
use crate::reply::{Reply, say, words};

/// `/ferment degree-hours`
pub static SPEC: Spec = Spec {
    root: "ferment",
    verb: "degree-hours",
    aliases: &["degreehours"],
    summary: "degree-hours used and left, for a batch or for a stated course",
    options: &[
        maybe("batch", OptionKind::Batch, "number or name; your only open one when not said"),
        maybe("course", OptionKind::Text, "hours at temperature, e.g. 10 h at 24 C, 15 h at 35 C"),
        maybe(
            "system",
            OptionKind::Choice(&["us", "canada", "strict"]),
            "strict runs both and reports the worse",
        ),
    ],
    examples: [
        "ferment degree-hours batch:B1",
        "ferment degree-hours course:10 h at 24 C, 15 h at 35 C system:strict",
    ],
    private: false,
};

/// What the sums are made over.
#[derive(Debug, Clone)]
enum Over {
    Batch(Option<String>),
    Course(Vec<(Hours, Temperature)>),
}

/// A look at degree-hours.
#[derive(Debug, Clone)]
pub struct FermentDegreeHours {
    over: Over,
    systems: Systems,
}

impl FermentDegreeHours {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        let systems = args.choice("system", Systems::parse)?.unwrap_or_default();
        let Some(course) = args.text("course") else {
            return Ok(Self { over: Over::Batch(args.text("batch").map(str::to_owned)), systems });
        };
        if args.text("batch").is_some() {
            return Err(args.error(Code::UnknownOption, say("ferment.batch_or_course", &[])));
        }
        let scale = args.asking.member.settings.temperature;
        let steps = intake::course(course, scale).map_err(|error| args.intake_error("course", &error))?;
        Ok(Self { over: Over::Course(steps), systems })
    }

    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        match &self.over {
            Over::Course(steps) => self.of_course(steps, asking),
            Over::Batch(named) => self.of_batch(named.as_deref(), services, asking).await,
        }
    }

    fn of_course(&self, steps: &[(Hours, Temperature)], asking: &Asking) -> Outcome {
        let report = assess_course(steps, self.systems).map_err(|error| {
            let sentence = say("error.option_value", &[("option", "course"), ("why", &error.why())]);
            UserError::new(Code::OutOfRange, sentence, SPEC.examples[1])
        })?;
        let hours = format::number(report.hours_counted, 1);
        let verdict = say(fermentation::verdict_key(report.verdict()), &[]);
        let headline =
            say("ferment.course", &[("hours", hours.trim_end_matches(".0")), ("verdict", &verdict)]);
        let findings = report.findings().cloned().collect();
        Ok(Done::reply(reply(headline, &report, findings, asking)))
    }

    async fn of_batch(&self, named: Option<&str>, services: &Services, asking: &Asking) -> Outcome {
        let state =
            match lookup::batch(services, asking, named, Deed::LookAt, "ferment degree-hours batch:{batch}")
                .await?
            {
                Found::Batch(state) => state,
                Found::Ask(question) => return Ok(Done::question(question)),
            };
        let Some(fermentation) =
            fermentation::of_batch(Look::at_record(services, asking), &state, self.systems).await?
        else {
            return Ok(Done::reply(not_applicable(&state)));
        };
        let report = &fermentation.degree_hours;
        let holes = [
            ("batch", state.id.to_string()),
            ("name", state.plan.name.clone()),
            ("verdict", say(fermentation::verdict_key(report.verdict()), &[])),
            ("clock", say(fermentation::clock_key(report.state), &[])),
        ];
        let holes: Vec<(&str, &str)> = holes.iter().map(|(name, text)| (*name, text.as_str())).collect();
        let findings = fermentation.findings().cloned().collect();
        let mut reply = reply(say("ferment.batch", &holes), report, findings, asking);
        if let Some(outlook) = Outlook::of(&state, &fermentation, asking.now) {
            outlook.add_window(&mut reply, None);
            reply.notes.extend(outlook.note(None));
        }
        let key = fermentation::next_key(report);
        reply.batch = Some(state.id);
        reply.taps.extend(key.and_then(|key| tap::after(key, state.id)));
        reply.next = key.map(|key| say(key, &[("batch", &state.id.to_string())]));
        Ok(Done::reply(reply))
    }
}

fn reply(headline: String, report: &DegreeHourReport, mut findings: Vec<Finding>, asking: &Asking) -> Reply {
    let mut reply = Reply::new("ferment degree-hours", headline);
    findings.sort_by_key(|finding| std::cmp::Reverse((finding.level, finding.outcome)));
    reply.findings = findings;
    reply.figures = fermentation::figures(report, asking);
    reply.working = fermentation::working(report);
    if !report.gaps.is_empty() {
        reply.note(Level::Notice, say("ferment.gaps", &[("count", &report.gaps.len().to_string())]));
    }
    reply.judges = true;
    reply
}

fn not_applicable(state: &BatchState) -> Reply {
    let key = if state.plan.kind == BatchKind::FermentedSausage && state.stage().0 < BatchStage::Fermenting {
        "ferment.not_begun"
    } else {
        "ferment.not_applicable"
    };
    let holes = [
        ("batch", &*state.id.to_string()),
        ("name", &*state.plan.name),
        ("kind", &*words::kind(state.plan.kind)),
    ];
    Reply::new("ferment degree-hours", say(key, &holes))
}
