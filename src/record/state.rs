//! What a batch is at a moment: a pure fold over its events.

use super::appraisal::Appraisal;
use super::batch::{BatchPlan, BatchStage, Dose, PieceFate, PieceHung};
use super::correction::{corrected, effective};
use super::event::{Event, Happening, ObservationKind, Subject};
use super::ids::{BatchId, ChamberId, EventId, PieceNumber};
use super::reading::PhReading;
use super::storage::Storage;
use crate::quantity::Mass;
use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};

/// A batch as its events add up.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct BatchState {
    /// Its number.
    pub id: BatchId,
    /// As planned.
    pub plan: BatchPlan,
    /// The stages it reached, with the time, in order; the last one is where it stands.
    pub stages: Vec<(BatchStage, DateTime<Utc>)>,
    /// The chambers it was in, in order; each stay ends where the next begins.
    pub stays: Vec<(ChamberId, DateTime<Utc>)>,
    /// The cures it got. Two methods on one piece add up.
    pub doses: Vec<Dose>,
    /// Its pieces, by number.
    pub pieces: Vec<Piece>,
    /// Weighings of the batch as a whole.
    pub total_weighings: Vec<Weighing>,
    /// Its pH readings in order.
    pub ph: Vec<PhReading>,
    /// What was seen.
    pub observations: Vec<Observation>,
    /// How it was put away, and when.
    #[serde(default)]
    pub stored: Vec<(Storage, DateTime<Utc>)>,
    /// What its maker says of it, finished.
    #[serde(default)]
    pub appraisal: Appraisal,
    /// How many notes it has (their text stays in the history).
    pub notes: u32,
    /// Why it was thrown away.
    pub discard_reason: Option<String>,
    /// Time of the last event that was folded in.
    pub last_at: DateTime<Utc>,
    /// Number of the last event that was folded in.
    pub last_event: EventId,
}

/// One piece.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Piece {
    /// As it was hung.
    pub hung: PieceHung,
    /// When it was hung.
    pub hung_at: DateTime<Utc>,
    /// Its weighings in order.
    pub weighings: Vec<Weighing>,
    /// How and when it left; hung again, it is back.
    pub left: Option<(PieceFate, DateTime<Utc>)>,
}

/// One weighing.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Weighing {
    /// The event it came with.
    pub event: EventId,
    /// When.
    pub at: DateTime<Utc>,
    /// What the scale showed, tare included.
    pub gross: Mass,
}

/// Something seen, smelled or felt.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Observation {
    /// When.
    pub at: DateTime<Utc>,
    /// On which piece, if one was named.
    pub piece: Option<PieceNumber>,
    /// What sort of thing.
    pub kind: ObservationKind,
    /// In the member's words.
    pub text: String,
}

impl Piece {
    /// Net weight at hanging: the green weight that the loss is counted from.
    pub fn green(&self) -> Mass {
        self.hung.hung - self.hung.tare
    }

    /// The weighings since it was hung; older ones belong to an earlier hanging.
    pub fn since_hung(&self) -> &[Weighing] {
        let first = self.weighings.partition_point(|weighing| weighing.at < self.hung_at);
        self.weighings.get(first..).unwrap_or_default()
    }

    /// The last weighing since it was hung, or the hanging itself.
    pub fn last_gross(&self) -> (Mass, DateTime<Utc>) {
        self.since_hung()
            .last()
            .map_or((self.hung.hung, self.hung_at), |weighing| (weighing.gross, weighing.at))
    }

    /// Net weight at the last weighing.
    pub fn last_net(&self) -> Mass {
        self.last_gross().0 - self.hung.tare
    }
}

impl BatchState {
    /// Folds every event of a batch; `None` when the one that started it is not among them.
    pub fn rebuild(events: &[Event]) -> Option<Self> {
        Self::fold_all(&effective(events))
    }

    /// As [`Self::rebuild`], with only what had happened by a moment; corrections made later still count.
    pub fn rebuild_as_of(events: &[Event], moment: DateTime<Utc>) -> Option<Self> {
        let mut counting = effective(events);
        counting.retain(|event| event.at <= moment);
        Self::fold_all(&counting)
    }

    fn fold_all(counting: &[Event]) -> Option<Self> {
        let start = counting.iter().find(|event| matches!(event.what, Happening::Started { .. }))?;
        let mut state = Self::started(start)?;
        for event in counting.iter().filter(|event| event.id != start.id) {
            state.fold(event);
        }
        Some(state)
    }

    /// Whether an event can be folded onto this state, or the whole batch must be folded again.
    pub fn takes_at_end(&self, event: &Event) -> bool {
        corrected(&event.what).is_none() && (event.at, event.id) > (self.last_at, self.last_event)
    }

    /// The state right after the event that started the batch; `None` for any other event.
    pub fn started(event: &Event) -> Option<Self> {
        let (Happening::Started { plan }, Some(id)) = (&event.what, event.subject.batch()) else {
            return None;
        };
        Some(Self {
            id,
            plan: plan.clone(),
            stages: vec![(BatchStage::Planned, event.at)],
            stays: vec![(plan.chamber, event.at)],
            doses: Vec::new(),
            pieces: Vec::new(),
            total_weighings: Vec::new(),
            ph: Vec::new(),
            observations: Vec::new(),
            stored: Vec::new(),
            appraisal: Appraisal::default(),
            notes: 0,
            discard_reason: None,
            last_at: event.at,
            last_event: event.id,
        })
    }

    /// Folds one event that comes after everything folded so far. An event that does not fit changes nothing.
    pub fn fold(&mut self, event: &Event) {
        let piece = match event.subject {
            Subject::Piece(_, number) => Some(number),
            _ => None,
        };
        match &event.what {
            Happening::StageReached { stage } => self.stages.push((*stage, event.at)),
            Happening::Moved { chamber } => self.stays.push((*chamber, event.at)),
            Happening::Cured { dose } => self.doses.push(dose.clone()),
            Happening::PiecesHung { pieces } => pieces.iter().for_each(|piece| self.hang(*piece, event.at)),
            Happening::TareSet { tare } => self.pieces.iter_mut().for_each(|piece| piece.hung.tare = *tare),
            Happening::Weighed { gross } => {
                self.weigh(piece, Weighing { event: event.id, at: event.at, gross: *gross });
            }
            Happening::PhRead { ph, instrument, sample_temperature, calibration } => {
                self.ph.push(PhReading {
                    event: event.id,
                    at: event.at,
                    ph: *ph,
                    instrument: *instrument,
                    sample_temperature: *sample_temperature,
                    calibration: *calibration,
                    from_sample: matches!(event.subject, Subject::Sample(_)),
                });
            }
            Happening::Observed { kind, text } => {
                self.observations.push(Observation { at: event.at, piece, kind: *kind, text: text.clone() });
            }
            Happening::Stored { storage } => self.stored.push((*storage, event.at)),
            Happening::Appraised { appraisal } => self.appraisal = appraisal.over(self.appraisal),
            Happening::Noted { .. } => self.notes += 1,
            Happening::PieceLeft { fate, .. } => self.leave(piece, *fate, event.at),
            Happening::Discarded { reason } => {
                self.discard_reason = Some(reason.clone());
                self.stages.push((BatchStage::Discarded, event.at));
            }
            Happening::Started { .. }
            | Happening::RoomRead { .. }
            | Happening::RoomSet { .. }
            | Happening::RoomExtremes { .. }
            | Happening::PowerOut { .. }
            | Happening::AirLogged { .. }
            | Happening::MeterChecked { .. }
            | Happening::HygrometerChecked { .. }
            | Happening::Undone { .. }
            | Happening::Changed { .. } => {}
        }
        (self.last_at, self.last_event) = (event.at, event.id);
    }

    fn hang(&mut self, hung: PieceHung, at: DateTime<Utc>) {
        if let Some(piece) = self.pieces.iter_mut().find(|piece| piece.hung.number == hung.number) {
            (piece.hung, piece.hung_at, piece.left) = (hung, at, None);
            return;
        }
        self.pieces.push(Piece { hung, hung_at: at, weighings: Vec::new(), left: None });
        self.pieces.sort_by_key(|piece| piece.hung.number);
    }

    fn weigh(&mut self, piece: Option<PieceNumber>, weighing: Weighing) {
        match piece {
            None => self.total_weighings.push(weighing),
            Some(number) => {
                if let Some(piece) = self.piece_mut(number) {
                    piece.weighings.push(weighing);
                }
            }
        }
    }

    fn leave(&mut self, piece: Option<PieceNumber>, fate: PieceFate, at: DateTime<Utc>) {
        if let Some(piece) = piece.and_then(|number| self.piece_mut(number)) {
            piece.left = Some((fate, at));
        }
    }

    fn piece_mut(&mut self, number: PieceNumber) -> Option<&mut Piece> {
        self.pieces.iter_mut().find(|piece| piece.hung.number == number)
    }

    /// A piece by its number.
    pub fn piece(&self, number: PieceNumber) -> Option<&Piece> {
        self.pieces.iter().find(|piece| piece.hung.number == number)
    }

    /// The pieces that still hang.
    pub fn hanging(&self) -> impl Iterator<Item = &Piece> {
        self.pieces.iter().filter(|piece| piece.left.is_none())
    }

    /// Raw weight of the heaviest piece. Where a piece's weight before the cure is not known, that one may be the
    /// heaviest: then all of the meat.
    pub fn heaviest_raw_piece(&self) -> Mass {
        let raw: Option<Vec<Mass>> = self.pieces.iter().map(|piece| piece.hung.before_cure).collect();
        let heaviest =
            raw.unwrap_or_default().into_iter().max_by(|a, b| a.as_grams().total_cmp(&b.as_grams()));
        heaviest.unwrap_or(self.plan.meat())
    }

    /// Where it stands and since when.
    pub fn stage(&self) -> (BatchStage, DateTime<Utc>) {
        self.stages.last().copied().unwrap_or((BatchStage::Planned, self.last_at))
    }

    /// When it first reached a stage.
    pub fn reached(&self, stage: BatchStage) -> Option<DateTime<Utc>> {
        self.stages.iter().find(|(reached, _)| *reached == stage).map(|(_, at)| *at)
    }

    /// Since when it is more than a plan; `None` while it is one.
    pub fn in_hand_since(&self) -> Option<DateTime<Utc>> {
        self.stages.iter().find(|(stage, _)| *stage != BatchStage::Planned).map(|(_, at)| *at)
    }

    /// The chamber it is in.
    pub fn chamber(&self) -> ChamberId {
        self.stays.last().map_or(self.plan.chamber, |(chamber, _)| *chamber)
    }

    /// The chamber it was in at a moment; `None` before it was started.
    pub fn chamber_at(&self, moment: DateTime<Utc>) -> Option<ChamberId> {
        self.stays.iter().rev().find(|(_, since)| *since <= moment).map(|(chamber, _)| *chamber)
    }

    /// Whether a dose went over a published maximum and nothing resolved it.
    pub fn carries_over(&self) -> bool {
        self.doses.iter().any(Dose::is_over)
    }
}

#[cfg(test)]
mod tests;
