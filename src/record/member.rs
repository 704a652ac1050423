//! Members, groups, chambers, meters and their settings.

use super::ids::{BatchId, ChamberId, ChatId, GroupId, MemberId, MeterId};
use crate::quantity::{Mass, MassUnit, TemperatureScale};
use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};

/// What a member may do in a group.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Role {
    /// Looks after the group.
    Steward,
    /// Makes batches.
    Member,
}

/// How a member wants to be spoken to. Each unit is set for itself: meat in pounds, cure in grams.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct MemberSettings {
    /// Country as in `country:`; `None` until said.
    pub country: Option<String>,
    /// Time zone name, e.g. `Europe/Rome`; `None` until said.
    pub timezone: Option<String>,
    /// Unit for meat and pieces.
    pub mass: MassUnit,
    /// Unit for cure and salt.
    pub cure: MassUnit,
    /// Scale for temperatures.
    pub temperature: TemperatureScale,
    /// Step of the member's scale.
    pub scale_step: Mass,
    /// Reminders may go out at night too.
    pub reminders_at_night: bool,
    /// The last time in which reminders were to be held back; it may be over.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub reminders_paused: Option<Pause>,
    /// Tag of the language they chose (BCP 47), e.g. `de`; `None` until said.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub language: Option<String>,
    /// Tag of the language that their chat platform was last heard to be in; counts until one is chosen. Messages
    /// bring no such word, and reminders come unasked, so it is kept.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub heard_language: Option<String>,
}

/// A time in which reminders are held back, all but those that a fermentation cannot wait for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Pause {
    /// From when.
    pub since: DateTime<Utc>,
    /// Until when; `None` until the member says so.
    pub until: Option<DateTime<Utc>>,
}

impl Pause {
    /// Whether it lasts at a moment. When it ends it no longer does.
    pub fn lasts_at(self, moment: DateTime<Utc>) -> bool {
        self.since <= moment && self.until.is_none_or(|until| moment < until)
    }
}

impl Default for MemberSettings {
    fn default() -> Self {
        Self {
            country: None,
            timezone: None,
            mass: MassUnit::Gram,
            cure: MassUnit::Gram,
            temperature: TemperatureScale::Celsius,
            scale_step: Mass::grams(0.1),
            reminders_at_night: false,
            reminders_paused: None,
            language: None,
            heard_language: None,
        }
    }
}

/// A member.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Member {
    /// Number.
    pub id: MemberId,
    /// The group this view of the member is for.
    pub group: GroupId,
    /// Name as shown.
    pub name: String,
    /// What they may do in that group.
    pub role: Role,
    /// How they want to be spoken to.
    pub settings: MemberSettings,
    /// Their number on a chat platform; `None` for who only used the terminal.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub chat: Option<ChatId>,
}

/// What a group agreed on; a member's own settings come first.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(default)]
pub struct GroupSettings {
    /// Country for members who set none.
    pub country: Option<String>,
    /// Time zone for members who set none.
    pub timezone: Option<String>,
    /// Between which hours the members are left alone.
    pub quiet_hours: QuietHours,
    /// Channels in which the assistant reads what is written to nobody, where its operator lets it read at all.
    pub listen: Vec<ChatId>,
    /// Answers to commands are for the eyes of who asked.
    pub private_answers: bool,
    /// The forum of the chat platform in which batches get their posts; `None`: a thread where the batch was started.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub forum: Option<ChatId>,
}

/// The hours in which nothing goes out that the assistant thought of itself, on the member's clock.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct QuietHours {
    /// The hour at which they begin, 0 to 23.
    pub from: u32,
    /// The hour at which they end, 0 to 23, as a rule on the day after.
    pub until: u32,
}

impl Default for QuietHours {
    fn default() -> Self {
        Self { from: 22, until: 7 }
    }
}

impl QuietHours {
    /// How long they last, in hours of a day on which no clock is changed; a whole day where both are the same.
    pub const fn length(self) -> u32 {
        match (self.until + 24 - self.from) % 24 {
            0 => 24,
            hours => hours,
        }
    }
}

/// A group of members.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Group {
    /// Number.
    pub id: GroupId,
    /// Name as shown.
    pub name: String,
    /// What they agreed on.
    pub settings: GroupSettings,
    /// Its number on a chat platform; that of the member where it is one member's direct conversation.
    pub chat: Option<ChatId>,
    /// Since when the assistant is no longer let into it; `None` while it is there.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub left: Option<DateTime<Utc>>,
}

/// A member whom a batch's owner asked to help with it. They may do nothing there until they accept.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Helper {
    /// With which batch.
    pub batch: BatchId,
    /// Who.
    pub member: MemberId,
    /// When they were asked.
    pub invited_at: DateTime<Utc>,
    /// When they said yes; `None` until then.
    pub accepted_at: Option<DateTime<Utc>>,
}

/// A chamber of a member's.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Chamber {
    /// Number.
    pub id: ChamberId,
    /// Whose.
    pub owner: MemberId,
    /// Name as shown; who never names one has `home`.
    pub name: String,
}

/// A pH meter of a member's. A hygrometer is its chamber's and needs no name.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Meter {
    /// Number.
    pub id: MeterId,
    /// Whose.
    pub owner: MemberId,
    /// Name as shown; who never names one has `1`.
    pub name: String,
}
