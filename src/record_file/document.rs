//! The file as a whole.

use super::entry::Entry;
use super::values::{Degrees, Grams, HumidityPercent};
use crate::quantity::{MassUnit, TemperatureScale};
use crate::record::{ReminderKind, Role};
use chrono::{DateTime, NaiveDateTime, Utc};
use serde::{Deserialize, Serialize};

/// Everything that is kept about one member, in the shape that `record.schema.json` describes.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RecordFile {
    /// Always `tallyhook-record`.
    pub format: String,
    /// Of the format.
    pub version: u32,
    /// When it was made.
    pub exported_at: DateTime<Utc>,
    /// Whose it is.
    pub owner: Owner,
    /// The groups the owner is in.
    pub groups: Vec<Group>,
    /// The owner's chambers.
    pub chambers: Vec<Named>,
    /// The owner's pH meters.
    pub meters: Vec<Named>,
    /// Every entry of the owner's batches, chambers and meters. What a batch is follows from them.
    pub entries: Vec<Entry>,
    /// Rows of data loggers' files, each with the entry that brought it.
    pub logged_air: Vec<LoggedRow>,
    /// Reminders, also those that were sent.
    pub reminders: Vec<Reminder>,
    /// What is shown on a group's board.
    pub shares: Vec<Share>,
    /// Recipes.
    pub formulations: Vec<Formulation>,
    /// What the owner wrote in the batches and chambers of others. To be read; it is not put back.
    pub entries_elsewhere: Vec<Entry>,
    /// The batches of others the owner helps with. To be read; it is not put back.
    pub helping: Vec<Helping>,
    /// Messages that were meant for the owner, without their words, which may tell of others. To be read; they are not
    /// put back.
    pub messages: Vec<Message>,
}

/// Whose file it is.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Owner {
    /// The number of the owner's account on the chat platform, in figures.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub chat_account: Option<String>,
    /// How they want to be spoken to.
    pub settings: Settings,
}

/// How a member wants to be spoken to.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Settings {
    /// Country whose rules count.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub country: Option<String>,
    /// Time zone, e.g. `Europe/Rome`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub timezone: Option<String>,
    /// Unit for meat and pieces.
    pub meat_unit: MassUnit,
    /// Unit for cure and salt.
    pub cure_unit: MassUnit,
    /// Scale for temperatures.
    pub temperature_scale: TemperatureScale,
    /// Step of the scale.
    pub scale_step_g: Grams,
    /// Reminders may go out at night.
    pub reminders_at_night: bool,
    /// A time in which reminders are held back.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub reminders_paused: Option<Pause>,
    /// Tag of the language that was chosen.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub language: Option<String>,
    /// Tag of the language the chat platform was last heard to be in.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub heard_language: Option<String>,
}

/// A time in which reminders are held back.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Pause {
    /// From when.
    pub since: DateTime<Utc>,
    /// Until when; nothing: until the owner says so.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub until: Option<DateTime<Utc>>,
}

/// A group the owner is in, and what it agreed on as far as it counts for the owner.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Group {
    /// Its number in this file.
    pub id: i64,
    /// What it is called.
    pub name: String,
    /// Its number on the chat platform, in figures.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub chat_group: Option<String>,
    /// What the owner is called there.
    pub member_name: String,
    /// What the owner may do there.
    pub role: Role,
    /// Country for members who set none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub country: Option<String>,
    /// Time zone for members who set none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub timezone: Option<String>,
    /// The hour at which reminders begin to wait for the morning, 0 to 23.
    pub quiet_from_hour: u32,
    /// The hour at which they go out again, 0 to 23.
    pub quiet_until_hour: u32,
}

/// A chamber or a meter.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Named {
    /// Its number.
    pub id: i64,
    /// What it is called.
    pub name: String,
}

/// What a data logger measured in the chamber of the entry that brought it: at least one of the two.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LoggedRow {
    /// The entry; while it counts, the row counts.
    pub entry: i64,
    /// When it was measured.
    pub at: DateTime<Utc>,
    /// Temperature of the air.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub temperature: Option<Degrees>,
    /// Relative humidity, as shown.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub humidity_percent: Option<HumidityPercent>,
}

/// Where a reminder stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum ReminderStanding {
    /// Not sent yet.
    Waiting,
    /// Sent.
    Sent,
    /// Could not be sent.
    GaveUp,
    /// No longer asked for by its batch.
    Withdrawn,
    /// Taken back by the owner.
    Cancelled,
}

/// A reminder.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Reminder {
    /// Its number.
    pub id: i64,
    /// Of which batch.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub batch: Option<i64>,
    /// What for.
    pub kind: ReminderKind,
    /// Which one of its kind, from 0.
    pub occurrence: u32,
    /// When.
    pub due: DateTime<Utc>,
    /// What it says.
    pub text: String,
    /// Comes again after so many days.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub every_days: Option<u32>,
    /// When one that comes again came first, by the owner's clock.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub first_local: Option<NaiveDateTime>,
    /// Where it stands.
    pub state: ReminderStanding,
    /// How often sending was tried.
    pub tries: u32,
    /// What it waits for though it is due.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub not_before: Option<DateTime<Utc>>,
    /// Until when the owner put it off.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub snoozed_until: Option<DateTime<Utc>>,
    /// When it was last sent.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub sent_at: Option<DateTime<Utc>>,
    /// Why the last try failed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub failure: Option<String>,
}

/// A finished batch on a group's board.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Share {
    /// Which batch.
    pub batch: i64,
    /// The group, by its number in this file.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub group: Option<i64>,
    /// Since when.
    pub shared_at: DateTime<Utc>,
    /// The record as it was when it was shared, line by line.
    pub record: String,
}

/// A recipe.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Formulation {
    /// What it is called.
    pub name: String,
    /// The group it was saved in, by its number in this file.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub group: Option<i64>,
    /// Part and name of each ingredient, as typed.
    pub items: Vec<String>,
    /// What the meat becomes: `sausage` or `muscle`.
    pub product: String,
    /// Allergens beside those that the names give away.
    pub allergens: Vec<String>,
    /// No name is shown beside it.
    pub unnamed: bool,
    /// The name of the shared recipe it was copied from. Whose that was is not said.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub copied_from: Option<String>,
    /// When it was saved last.
    pub saved_at: DateTime<Utc>,
    /// Since when the group sees it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub shared_at: Option<DateTime<Utc>>,
}

/// Help with a batch of somebody else's.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Helping {
    /// The batch's number where it is kept.
    pub batch: i64,
    /// When the owner was asked.
    pub invited_at: DateTime<Utc>,
    /// When they said yes.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub accepted_at: Option<DateTime<Utc>>,
}

/// A message that was meant for the owner.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Message {
    /// About which batch.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub batch: Option<i64>,
    /// Not before.
    pub due: DateTime<Utc>,
    /// Whether it was sent.
    pub is_sent: bool,
}
