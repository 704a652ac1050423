//! Entries that are kept, as the file says them. Of others only what they did to the owner's things goes along: not who
//! they are, and not the words they typed.

use super::entry::{About, By, Entry, What};
use super::parts::{
    Appraisal, BufferPoint, Calibration, Dose, Meat, Photo, PieceHung, Plan, SaltPoint, Shown, Storage,
    Verdict,
};
use crate::record::{self, Event, Happening, MemberId, Subject, meter};

impl Entry {
    /// An entry in the file of its owner.
    pub fn of(event: &Event, owner: MemberId) -> Self {
        let is_own = event.author == Some(owner);
        let mut what = What::from(&event.what);
        if !is_own {
            leave_names_out(&mut what);
        }
        Self {
            id: event.id.0,
            about: event.subject.into(),
            at: event.at,
            recorded_at: event.recorded_at,
            zone: event.zone.clone(),
            by: if is_own { By::Owner } else { By::Another },
            what,
            typed: if is_own { event.typed.clone() } else { String::new() },
        }
    }
}

/// The names that others gave to the files of their photos.
fn leave_names_out(what: &mut What) {
    match what {
        What::Picture { pictures } => pictures.iter_mut().for_each(|picture| picture.name.clear()),
        What::Changed { to, .. } => leave_names_out(to),
        _ => {}
    }
}

impl From<&record::Picture> for Photo {
    fn from(picture: &record::Picture) -> Self {
        Self {
            platform_group: picture.group.map(|group| group.0),
            place: picture.place.0,
            message: picture.message.0,
            attachment: picture.attachment.0,
            name: picture.name.clone(),
            bytes: picture.bytes,
            sort: picture.kind,
        }
    }
}

impl From<Subject> for About {
    fn from(subject: Subject) -> Self {
        match subject {
            Subject::Batch(batch) => Self::Batch(batch.0),
            Subject::Piece(batch, piece) => Self::Piece { batch: batch.0, number: piece.0 },
            Subject::Sample(batch) => Self::Sample(batch.0),
            Subject::Chamber(chamber) => Self::Chamber(chamber.0),
            Subject::Meter(meter) => Self::Meter(meter.0),
        }
    }
}

impl From<&Happening> for What {
    fn from(what: &Happening) -> Self {
        match what {
            Happening::Started { plan } => Self::BatchStarted(plan.into()),
            Happening::StageReached { stage } => Self::Stage { stage: *stage },
            Happening::Cured { dose } => Self::Cure(dose.into()),
            Happening::PiecesHung { pieces } => {
                Self::PiecesHung { pieces: pieces.iter().map(PieceHung::from).collect() }
            }
            Happening::TareSet { tare } => Self::Tare { tare_g: (*tare).into() },
            Happening::Weighed { gross } => Self::Weight { gross_g: (*gross).into() },
            Happening::PhRead { ph, instrument, sample_temperature, calibration } => Self::Ph {
                ph: (*ph).into(),
                instrument: *instrument,
                sample_temperature: sample_temperature.map(Into::into),
                calibration: calibration.map(Into::into),
            },
            Happening::Moved { chamber } => Self::Moved { chamber: chamber.0 },
            Happening::Observed { kind, text } => Self::Observation { of: *kind, text: text.clone() },
            Happening::Stored { storage } => Self::Stored((*storage).into()),
            Happening::Appraised { appraisal } => Self::Appraisal((*appraisal).into()),
            Happening::Pictured { pictures } => {
                Self::Picture { pictures: pictures.iter().map(Photo::from).collect() }
            }
            Happening::Noted { text } => Self::Note { text: text.clone() },
            Happening::PieceLeft { fate, reason } => Self::PieceLeft { fate: *fate, reason: reason.clone() },
            Happening::Discarded { reason } => Self::Discarded { reason: reason.clone() },
            Happening::Undone { of } => Self::Undone { of: of.0 },
            Happening::Changed { of, to } => Self::Changed { of: of.0, to: Box::new((&**to).into()) },
            Happening::RoomRead { temperature, humidity } => Self::RoomReading {
                temperature: temperature.map(Into::into),
                humidity_percent: humidity.map(Into::into),
            },
            Happening::RoomSet { temperature, humidity, hysteresis_celsius } => Self::RoomSetting {
                temperature: temperature.map(Into::into),
                humidity_percent: humidity.map(Into::into),
                hysteresis_c: *hysteresis_celsius,
            },
            Happening::RoomExtremes { since, max, min } => {
                Self::RoomExtremes { since: *since, max: (*max).into(), min: min.map(Into::into) }
            }
            Happening::PowerOut { since, reached } => {
                Self::PowerOut { since: *since, reached: reached.map(Into::into) }
            }
            Happening::AirLogged { file, first, rows } => {
                Self::AirLogged { file: file.clone(), first: *first, rows: *rows }
            }
            Happening::MeterChecked { check } => meter_check(check),
            Happening::HygrometerChecked { name, check } => {
                let points = check.points.iter().map(SaltPoint::from).collect();
                Self::HygrometerCheck { name: name.clone(), points }
            }
        }
    }
}

fn meter_check(check: &meter::MeterCheck) -> What {
    What::MeterCheck {
        temperature: check.temperature.into(),
        points: check.points.iter().map(BufferPoint::from).collect(),
        said_slope_percent: check.said_slope_percent,
    }
}

impl From<&record::BatchPlan> for Plan {
    fn from(plan: &record::BatchPlan) -> Self {
        let meat = |meat: &record::Meat| Meat { species: meat.species.clone(), weight_g: meat.mass.into() };
        Self {
            name: plan.name.clone(),
            group: Some(plan.group.0),
            kind: plan.kind,
            meats: plan.meats.iter().map(meat).collect(),
            thickness_mm: plan.thickness.map(Into::into),
            target_loss_of_one: plan.target_loss.map(Into::into),
            target_ph: plan.target_ph.map(Into::into),
            chamber: plan.chamber.0,
        }
    }
}

impl From<&record::Dose> for Dose {
    fn from(dose: &record::Dose) -> Self {
        let verdict = |verdict: &record::batch::DoseVerdict| Verdict {
            rule: verdict.rule.clone(),
            country: verdict.country.clone(),
            outcome: verdict.outcome.clone(),
        };
        Self {
            method: dose.method.clone(),
            product: dose.product.clone(),
            meat_g: dose.meat.into(),
            cure_g: dose.cure.into(),
            nitrite_of_one: dose.nitrite.into(),
            nitrate_of_one: dose.nitrate.into(),
            salt_of_one: dose.salt.map(Into::into),
            ingoing_nitrite_mg_per_kg: dose.ingoing_nitrite_mg_per_kg,
            ingoing_nitrate_mg_per_kg: dose.ingoing_nitrate_mg_per_kg,
            country: dose.country.clone(),
            verdicts: dose.verdicts.iter().map(verdict).collect(),
        }
    }
}

impl From<&record::PieceHung> for PieceHung {
    fn from(piece: &record::PieceHung) -> Self {
        Self {
            number: piece.number.0,
            gross_g: piece.hung.into(),
            tare_g: piece.tare.into(),
            before_cure_g: piece.before_cure.map(Into::into),
        }
    }
}

impl From<record::Calibration> for Calibration {
    fn from(known: record::Calibration) -> Self {
        Self {
            age_h: known.age.map(Into::into),
            slope_percent: known.slope_percent,
            offset_mv: known.offset_mv,
            one_buffer_passed: known.one_buffer_passed,
            buffer_missed: known.buffer_missed,
        }
    }
}

impl From<&meter::BufferPoint> for BufferPoint {
    fn from(point: &meter::BufferPoint) -> Self {
        let shown = match point.shown {
            meter::Shown::Ph(ph) => Shown::Ph(ph.into()),
            meter::Shown::Millivolts(voltage) => Shown::Mv(voltage.into()),
        };
        Self { buffer_ph: point.buffer.into(), shown }
    }
}

impl From<&meter::SaltPoint> for SaltPoint {
    fn from(point: &meter::SaltPoint) -> Self {
        Self {
            salt: point.salt.clone(),
            temperature: point.temperature.into(),
            reference_percent: point.reference.into(),
            shown_percent: point.shown.into(),
        }
    }
}

impl From<record::Storage> for Storage {
    fn from(storage: record::Storage) -> Self {
        Self {
            how: storage.kind,
            temperature: storage.temperature.map(Into::into),
            weight_g: storage.weight.map(Into::into),
            portions: storage.portions,
            ph: storage.ph.map(Into::into),
            water_activity: storage.water_activity.map(Into::into),
        }
    }
}

impl From<record::Appraisal> for Appraisal {
    fn from(appraisal: record::Appraisal) -> Self {
        Self {
            finished_weight_g: appraisal.finished_weight.map(Into::into),
            taste: appraisal.taste,
            texture: appraisal.texture,
            look: appraisal.look,
        }
    }
}
