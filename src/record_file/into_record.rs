//! What the file says, as it is kept: for a member whose number is new, in groups whose numbers are new. Every other
//! number stays, because members know their batches and entries by it.

use super::document::{Formulation, Named, Reminder, ReminderStanding, Settings};
use super::entry::{About, By, Entry, What};
use super::parts::{
    Appraisal, BufferPoint, Calibration, Dose, Photo, PieceHung, Plan, SaltPoint, Shown, Storage,
};
use crate::record::{
    self, BatchId, Chamber, ChamberId, CopiedFrom, Event, EventId, GroupId, Happening, MemberId,
    MemberSettings, Meter, MeterId, PieceNumber, Recipe, ReminderId, ReminderState, Subject, meter,
};
use std::collections::BTreeMap;

/// For whom the file is taken back.
#[derive(Debug, Clone)]
pub struct Owned {
    /// The member.
    pub member: MemberId,
    /// The groups of the file, by their number in it.
    pub groups: BTreeMap<i64, GroupId>,
    /// The group of what belongs to none of them.
    pub home: GroupId,
}

impl Owned {
    /// The group a number of the file stands for.
    pub fn group(&self, number: Option<i64>) -> GroupId {
        number.and_then(|number| self.groups.get(&number)).copied().unwrap_or(self.home)
    }

    /// An entry.
    pub fn event(&self, entry: &Entry) -> Event {
        Event {
            id: EventId(entry.id),
            subject: entry.about.into(),
            at: entry.at,
            recorded_at: entry.recorded_at,
            author: (entry.by == By::Owner).then_some(self.member),
            zone: entry.zone.clone(),
            what: self.happening(&entry.what),
            typed: entry.typed.clone(),
        }
    }

    fn happening(&self, what: &What) -> Happening {
        match what {
            What::BatchStarted(plan) => Happening::Started { plan: self.plan(plan) },
            What::Stage { stage } => Happening::StageReached { stage: *stage },
            What::Cure(dose) => Happening::Cured { dose: dose.into() },
            What::PiecesHung { pieces } => {
                Happening::PiecesHung { pieces: pieces.iter().map(record::PieceHung::from).collect() }
            }
            What::Tare { tare_g } => Happening::TareSet { tare: (*tare_g).into() },
            What::Weight { gross_g } => Happening::Weighed { gross: (*gross_g).into() },
            What::Ph { ph, instrument, sample_temperature, calibration } => Happening::PhRead {
                ph: (*ph).into(),
                instrument: *instrument,
                sample_temperature: sample_temperature.map(Into::into),
                calibration: calibration.as_ref().map(Into::into),
            },
            What::Moved { chamber } => Happening::Moved { chamber: ChamberId(*chamber) },
            What::Observation { of, text } => Happening::Observed { kind: *of, text: text.clone() },
            What::Stored(storage) => Happening::Stored { storage: storage.into() },
            What::Appraisal(appraisal) => Happening::Appraised { appraisal: appraisal.into() },
            What::Picture { pictures } => {
                Happening::Pictured { pictures: pictures.iter().map(picture).collect() }
            }
            What::Note { text } => Happening::Noted { text: text.clone() },
            What::PieceLeft { fate, reason } => Happening::PieceLeft { fate: *fate, reason: reason.clone() },
            What::Discarded { reason } => Happening::Discarded { reason: reason.clone() },
            What::Undone { of } => Happening::Undone { of: EventId(*of) },
            What::Changed { of, to } => {
                Happening::Changed { of: EventId(*of), to: Box::new(self.happening(to)) }
            }
            What::RoomReading { temperature, humidity_percent } => Happening::RoomRead {
                temperature: temperature.map(Into::into),
                humidity: humidity_percent.map(Into::into),
            },
            What::RoomSetting { temperature, humidity_percent, hysteresis_c } => Happening::RoomSet {
                temperature: temperature.map(Into::into),
                humidity: humidity_percent.map(Into::into),
                hysteresis_celsius: *hysteresis_c,
            },
            What::RoomExtremes { since, max, min } => {
                Happening::RoomExtremes { since: *since, max: (*max).into(), min: min.map(Into::into) }
            }
            What::PowerOut { since, reached } => {
                Happening::PowerOut { since: *since, reached: reached.map(Into::into) }
            }
            What::AirLogged { file, first, rows } => {
                Happening::AirLogged { file: file.clone(), first: *first, rows: *rows }
            }
            What::MeterCheck { temperature, points, said_slope_percent } => {
                let points = points.iter().map(meter::BufferPoint::from).collect();
                let (temperature, said_slope_percent) = ((*temperature).into(), *said_slope_percent);
                Happening::MeterChecked {
                    check: meter::MeterCheck { temperature, points, said_slope_percent },
                }
            }
            What::HygrometerCheck { name, points } => {
                let points = points.iter().map(meter::SaltPoint::from).collect();
                Happening::HygrometerChecked { name: name.clone(), check: meter::HygrometerCheck { points } }
            }
        }
    }

    fn plan(&self, plan: &Plan) -> record::BatchPlan {
        let meats = plan.meats.iter();
        record::BatchPlan {
            name: plan.name.clone(),
            owner: self.member,
            group: self.group(plan.group),
            kind: plan.kind,
            meats: meats
                .map(|meat| record::Meat { species: meat.species.clone(), mass: meat.weight_g.into() })
                .collect(),
            thickness: plan.thickness_mm.map(Into::into),
            target_loss: plan.target_loss_of_one.map(Into::into),
            target_ph: plan.target_ph.map(Into::into),
            chamber: ChamberId(plan.chamber),
        }
    }

    /// A chamber.
    pub fn chamber(&self, named: &Named) -> Chamber {
        Chamber { id: ChamberId(named.id), owner: self.member, name: named.name.clone() }
    }

    /// A meter.
    pub fn meter(&self, named: &Named) -> Meter {
        Meter { id: MeterId(named.id), owner: self.member, name: named.name.clone() }
    }

    /// A reminder.
    pub fn reminder(&self, kept: &Reminder) -> record::Reminder {
        let state = match kept.state {
            ReminderStanding::Waiting => ReminderState::Scheduled,
            ReminderStanding::Sent => ReminderState::Sent,
            ReminderStanding::GaveUp => ReminderState::GaveUp,
            ReminderStanding::Withdrawn => ReminderState::Withdrawn,
            ReminderStanding::Cancelled => ReminderState::Cancelled,
        };
        record::Reminder {
            id: ReminderId(kept.id),
            member: self.member,
            batch: kept.batch.map(BatchId),
            kind: kept.kind,
            occurrence: kept.occurrence,
            due: kept.due,
            text: kept.text.clone(),
            every_days: kept.every_days,
            anchor: kept.first_local,
            state,
            tries: kept.tries,
            not_before: kept.not_before,
            snoozed: kept.snoozed_until,
            sent: kept.sent_at,
            failure: kept.failure.clone(),
        }
    }

    /// A recipe.
    pub fn formulation(&self, kept: &Formulation) -> record::Formulation {
        let after = kept.copied_from.as_ref().map(|name| CopiedFrom { name: name.clone(), owner: None });
        record::Formulation {
            owner: self.member,
            name: kept.name.clone(),
            group: self.group(kept.group),
            recipe: Recipe {
                items: kept.items.clone(),
                product: kept.product.clone(),
                allergens: kept.allergens.clone(),
                unnamed: kept.unnamed,
                after,
            },
            saved_at: kept.saved_at,
            shared_at: kept.shared_at,
        }
    }
}

impl From<About> for Subject {
    fn from(about: About) -> Self {
        match about {
            About::Batch(batch) => Self::Batch(BatchId(batch)),
            About::Piece { batch, number } => Self::Piece(BatchId(batch), PieceNumber(number)),
            About::Sample(batch) => Self::Sample(BatchId(batch)),
            About::Chamber(chamber) => Self::Chamber(ChamberId(chamber)),
            About::Meter(meter) => Self::Meter(MeterId(meter)),
        }
    }
}

impl From<&Dose> for record::Dose {
    fn from(dose: &Dose) -> Self {
        let verdicts = dose.verdicts.iter();
        Self {
            method: dose.method.clone(),
            product: dose.product.clone(),
            meat: dose.meat_g.into(),
            cure: dose.cure_g.into(),
            nitrite: dose.nitrite_of_one.into(),
            nitrate: dose.nitrate_of_one.into(),
            salt: dose.salt_of_one.map(Into::into),
            ingoing_nitrite_mg_per_kg: dose.ingoing_nitrite_mg_per_kg,
            ingoing_nitrate_mg_per_kg: dose.ingoing_nitrate_mg_per_kg,
            country: dose.country.clone(),
            verdicts: verdicts
                .map(|verdict| record::batch::DoseVerdict {
                    rule: verdict.rule.clone(),
                    country: verdict.country.clone(),
                    outcome: verdict.outcome.clone(),
                })
                .collect(),
        }
    }
}

impl From<&PieceHung> for record::PieceHung {
    fn from(piece: &PieceHung) -> Self {
        Self {
            number: PieceNumber(piece.number),
            hung: piece.gross_g.into(),
            tare: piece.tare_g.into(),
            before_cure: piece.before_cure_g.map(Into::into),
        }
    }
}

impl From<&Calibration> for record::Calibration {
    fn from(known: &Calibration) -> Self {
        Self {
            age: known.age_h.map(Into::into),
            slope_percent: known.slope_percent,
            offset_mv: known.offset_mv,
            one_buffer_passed: known.one_buffer_passed,
            buffer_missed: known.buffer_missed,
        }
    }
}

impl From<&BufferPoint> for meter::BufferPoint {
    fn from(point: &BufferPoint) -> Self {
        let shown = match point.shown {
            Shown::Ph(ph) => meter::Shown::Ph(ph.into()),
            Shown::Mv(voltage) => meter::Shown::Millivolts(voltage.into()),
        };
        Self { buffer: point.buffer_ph.into(), shown }
    }
}

impl From<&SaltPoint> for meter::SaltPoint {
    fn from(point: &SaltPoint) -> Self {
        Self {
            salt: point.salt.clone(),
            temperature: point.temperature.into(),
            reference: point.reference_percent.into(),
            shown: point.shown_percent.into(),
        }
    }
}

impl From<&Storage> for record::Storage {
    fn from(storage: &Storage) -> Self {
        Self {
            kind: storage.how,
            temperature: storage.temperature.map(Into::into),
            weight: storage.weight_g.map(Into::into),
            portions: storage.portions,
            ph: storage.ph.map(Into::into),
            water_activity: storage.water_activity.map(Into::into),
        }
    }
}

impl From<&Appraisal> for record::Appraisal {
    fn from(appraisal: &Appraisal) -> Self {
        Self {
            finished_weight: appraisal.finished_weight_g.map(Into::into),
            taste: appraisal.taste,
            texture: appraisal.texture,
            look: appraisal.look,
        }
    }
}

impl From<&Settings> for MemberSettings {
    fn from(settings: &Settings) -> Self {
        let pause = settings.reminders_paused.as_ref();
        Self {
            country: settings.country.clone(),
            timezone: settings.timezone.clone(),
            mass: settings.meat_unit,
            cure: settings.cure_unit,
            temperature: settings.temperature_scale,
            scale_step: settings.scale_step_g.into(),
            reminders_at_night: settings.reminders_at_night,
            reminders_paused: pause.map(|pause| record::Pause { since: pause.since, until: pause.until }),
            language: settings.language.clone(),
            heard_language: settings.heard_language.clone(),
        }
    }
}

fn picture(photo: &Photo) -> record::Picture {
    record::Picture {
        group: photo.platform_group.map(record::ChatId),
        place: record::ChatId(photo.place),
        message: record::ChatId(photo.message),
        attachment: record::ChatId(photo.attachment),
        name: record::picture::file_name(&photo.name),
        bytes: photo.bytes,
        kind: photo.sort,
    }
}
