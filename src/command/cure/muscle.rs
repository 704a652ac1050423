//! `/cure muscle`: how warm a whole muscle may be at each stage, and what must be measured before it may be warmer.

use super::options;
use crate::command::Args;
use crate::command::asking::{Asking, Done, Outcome};
use crate::command::error::{Code, CommandError, UserError};
use crate::command::figures;
use crate::command::spec::{OptionKind, Spec, maybe};
use crate::curing::cure::{Product, advice};
use crate::curing::finding::{Finding, Level, Outcome as Judgement};
use crate::curing::whole_muscle::{Course, CourseStage, Muscle, Warmer};
use crate::quantity::{Temperature, format, parse};
use crate::reply::finding::{printed, source};
use crate::reply::{Quiet, Reply, finding, say};

/// `/cure muscle`
pub static SPEC: Spec = Spec {
    root: "cure",
    verb: "muscle",
    aliases: &[],
    summary: "how warm a whole muscle or ham may be at each stage, and with or without nitrite",
    options: &[
        maybe(
            "product",
            OptionKind::Choice(&["muscle", "ham"]),
            "muscle when not said; ham with bone or as thick",
        ),
        maybe(
            "nitrite",
            OptionKind::Choice(&["yes", "no"]),
            "whether its cure holds nitrite; yes when not said",
        ),
        maybe("stage", OptionKind::Choice(&["salting", "resting", "drying"]), "where it is"),
        maybe("temperature", OptionKind::Text, "of the core or the room, e.g. 4 C"),
        maybe("aw", OptionKind::Text, "water activity measured in the core, e.g. 0.95"),
        maybe("salt", OptionKind::Percent, "salt measured in the core, e.g. 4.5%"),
        maybe("moisture", OptionKind::Percent, "moisture measured in the core, e.g. 60%"),
        maybe("ph", OptionKind::Text, "of the raw meat, e.g. 5.7"),
    ],
    examples: [
        "cure muscle product:ham stage:resting temperature:4 C",
        "cure muscle product:ham nitrite:no aw:0.91",
    ],
    private: false,
};

/// Under this salt hardly moves: 36 °F, rounded down (USDA Farmers' Bulletin 2265, 1978, read in the source).
const COLDEST_CELSIUS: f64 = 2.0;

/// A piece in its course.
#[derive(Debug, Clone, Copy)]
pub struct CureMuscle {
    muscle: Muscle,
}

impl CureMuscle {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        let product = options::product(args)?.unwrap_or(Product::Muscle);
        if !matches!(product, Product::Muscle | Product::Ham) {
            return Err(args.unknown_choice("product", product.word()));
        }
        let with_nitrite = args.choice("nitrite", |word| match word {
            "yes" => Some(true),
            "no" => Some(false),
            _ => None,
        })?;
        let muscle = Muscle {
            product,
            with_nitrite: with_nitrite.unwrap_or(true),
            stage: args.choice("stage", CourseStage::parse)?,
            temperature: args.read("temperature", parse::temperature)?,
            water_activity: args.read("aw", parse::water_activity)?,
            salt: args.percent("salt")?,
            moisture: args.percent("moisture")?,
            start_ph: args.ph("ph")?,
        };
        if muscle.temperature.is_some() && muscle.stage.is_none() {
            let mut error = args.missing("stage");
            error.example = args.line().with("stage", "resting");
            return Err(error);
        }
        if muscle.moisture.is_some() && muscle.salt.is_none() {
            let mut error = args.missing("salt");
            error.example = args.line().with("salt", "4.5%");
            return Err(error);
        }
        if muscle.salt.zip(muscle.moisture).is_some_and(|(salt, water)| salt.as_one() + water.as_one() > 1.0)
        {
            return Err(args.error(Code::OutOfRange, say("cure.muscle.more_than_all", &[])));
        }
        Ok(Self { muscle })
    }

    /// Carries it out.
    pub fn perform(&self, asking: &Asking) -> Outcome {
        let course = self.muscle.course();
        let course =
            course.ok_or_else(|| CommandError::Internal("a row of the whole muscle is gone".into()))?;
        let mut reply = Reply::new("cure muscle", self.headline(&course, asking));
        self.figures(&mut reply, &course, asking);
        self.remarks(&mut reply, &course);
        reply.findings = course.findings;
        reply.quiet = Quiet::About("start_ph");
        reply.judges = true;
        Ok(Done::reply(reply))
    }

    fn headline(&self, course: &Course, asking: &Asking) -> String {
        if let Some(ph) = self.muscle.start_ph.filter(|_| course.is_dark) {
            return say("cure.muscle.dark", &[("ph", &format::ph(ph))]);
        }
        if let Some((temperature, stage)) = self.muscle.temperature.zip(self.muscle.stage) {
            let shown = format::temperature(temperature, asking.member.settings.temperature);
            let is_over = |finding: &Finding| {
                finding.limit.id == course.warmest.id && finding.outcome == Judgement::Over
            };
            let over = course.findings.iter().any(is_over);
            let key = if over { "cure.muscle.too_warm" } else { "cure.muscle.cold_enough" };
            let warmest = printed(course.warmest);
            let holes = [
                ("stage", &*say(&format!("word.muscle_stage.{}", stage.word()), &[])),
                ("temperature", &shown),
                ("warmest", &warmest),
            ];
            return say(key, &holes);
        }
        Self::may_go_warmer(course)
    }

    fn may_go_warmer(course: &Course) -> String {
        let key = match course.warmer {
            Warmer::ByCustom => "cure.muscle.by_custom",
            Warmer::Measured => "cure.muscle.measured",
            Warmer::NotYet => "cure.muscle.not_yet",
            Warmer::Unmeasured => "cure.muscle.unmeasured",
        };
        say(key, &[])
    }

    fn figures(&self, reply: &mut Reply, course: &Course, asking: &Asking) {
        if let Some(temperature) = self.muscle.temperature {
            reply.figures.push(figures::temperature("temperature", temperature, asking));
        }
        if let Some(activity) = self.muscle.water_activity {
            reply.figures.push(figures::number("core_water_activity", activity.value(), 3));
        }
        if let Some(salt) = course.water_phase_salt {
            reply.figures.push(figures::percent("water_phase_salt", salt));
        }
    }

    fn remarks(&self, reply: &mut Reply, course: &Course) {
        let ham_rule = course.warmer != Warmer::ByCustom;
        let drying = self.muscle.stage == Some(CourseStage::Drying);
        if ham_rule && drying && self.muscle.temperature.is_some() && course.warmer != Warmer::Measured {
            reply.lines.push(Self::may_go_warmer(course));
        }
        if self.muscle.temperature.is_none() && self.muscle.water_activity.is_none() && !course.is_dark {
            let key = if ham_rule { "cure.muscle.course_ham" } else { "cure.muscle.course_custom" };
            reply.lines.push(say(key, &[]));
            if self.muscle.product == Product::Ham {
                reply.lines.push(say("cure.muscle.bone", &[]));
            }
        }
        let is_freezing = |temperature: Temperature| temperature.as_celsius() < COLDEST_CELSIUS;
        if !drying && self.muscle.temperature.is_some_and(is_freezing) {
            reply.note(Level::Notice, say("cure.muscle.too_cold", &[]));
        }
        if course.warmer == Warmer::Measured {
            reply.note(Level::Notice, say("cure.muscle.from_memory", &[]));
        }
        if !self.muscle.with_nitrite {
            Self::without_nitrite(reply, course);
        }
        reply.working.push(say("cure.muscle.warmest_source", &[("source", &source(course.warmest))]));
    }

    fn without_nitrite(reply: &mut Reply, course: &Course) {
        if course.keeps_without_nitrite == Some(true) {
            reply.lines.extend(course.met_without_nitrite().map(finding::sentence));
            reply.note(Level::Caution, say("cure.muscle.one_is_enough", &[]));
        } else {
            reply.note(Level::Warning, say(advice::HAM_WITHOUT_NITRITE, &[]));
        }
        reply.note(Level::Warning, say("cure.muscle.never_rolled", &[]));
    }
}
