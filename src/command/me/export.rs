//! `/me export`: everything that is kept about a member, as files: the whole as JSON, which comes back with
//! `tallyhook restore`, and tables for a spreadsheet.

mod entries;
mod line;
mod logged;
mod readings;
mod table;

use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::error::CommandError;
use crate::command::spec::Spec;
use crate::record::Member;
use crate::record_file::{
    Entry, FORMAT, Formulation, Group, LoggedRow, Owner, RecordFile, Reminder, Share, VERSION,
};
use crate::reply::{File, Reply, say};
use crate::store::Everything;
use line::Lines;

/// `/me export`
pub static SPEC: Spec = Spec {
    root: "me",
    verb: "export",
    aliases: &[],
    summary: "everything that is kept about you, as files: JSON and tables",
    options: &[],
    examples: ["me export", "/me export"],
    private: true,
};

/// A request for everything.
#[derive(Debug, Clone, Copy)]
pub struct MeExport;

impl MeExport {
    /// Carries it out.
    pub async fn perform(self, services: &Services, asking: &Asking) -> Outcome {
        let everything = services.store.everything_of(asking.member.id).await?;
        let file = record_file(&everything, services, asking);
        let bytes = file
            .written()
            .map_err(|error| CommandError::Internal(format!("an export cannot be written: {error}")))?;
        let mut reply = Reply::new("me export", say("me.export.headline", &[]));
        reply.files.push(File {
            name: format!("{FORMAT}.json"),
            media_type: "application/json",
            bytes,
            about: say("me.export.about_json", &[]),
        });
        reply.files.extend(tables(&everything, asking)?);
        Ok(Done::reply(reply))
    }
}

/// What was read, and everything that was written down, for a spreadsheet; what loggers measured, where they did.
fn tables(everything: &Everything, asking: &Asking) -> Result<Vec<File>, CommandError> {
    let lines = Lines::new(everything, asking.member.id);
    let settings = &asking.member.settings;
    let read = table::written(&readings::header(settings), &readings::rows(everything, &lines, settings))?;
    let all = table::written(&entries::header(), &entries::rows(everything, &lines, asking))?;
    let table =
        |name: &str, bytes, about| File { name: name.to_owned(), media_type: "text/csv", bytes, about };
    let mut tables = vec![
        table("tallyhook-readings.csv", read, say("me.export.about_readings", &[])),
        table("tallyhook-entries.csv", all, say("me.export.about_entries", &[])),
    ];
    if !everything.logged.is_empty() {
        let air = table::written(&logged::header(settings), &logged::rows(everything, &lines, settings))?;
        tables.push(table("tallyhook-logged-air.csv", air, say("me.export.about_logged", &[])));
    }
    Ok(tables)
}

fn record_file(everything: &Everything, services: &Services, asking: &Asking) -> RecordFile {
    let me = asking.member.id;
    let group = |member: &Member| Some(Group::of(&services.store.group(member.group)?, member));
    let share = |share: &crate::store::Share| Share {
        batch: share.batch.0,
        group: Some(share.group.0),
        shared_at: share.shared_at,
        record: share.record.clone(),
    };
    let mut file = RecordFile {
        format: FORMAT.to_owned(),
        version: VERSION,
        exported_at: asking.now,
        owner: Owner::of(&asking.member),
        groups: everything.memberships.iter().filter_map(group).collect(),
        chambers: everything.chambers.iter().map(Into::into).collect(),
        meters: everything.meters.iter().map(Into::into).collect(),
        entries: everything.entries.iter().map(|event| Entry::of(event, me)).collect(),
        logged_air: everything.logged.iter().flat_map(LoggedRow::all_of).collect(),
        reminders: everything.reminders.iter().map(Reminder::from).collect(),
        shares: everything.shares.iter().map(share).collect(),
        formulations: everything.formulations.iter().map(Formulation::from).collect(),
        entries_elsewhere: everything.entries_elsewhere.iter().map(|event| Entry::of(event, me)).collect(),
        helping: everything.helping.iter().map(Into::into).collect(),
        messages: everything.messages.iter().map(Into::into).collect(),
    };
    file.leave_out_what_is_elsewhere();
    file
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::record::{
        BatchId, ChatId, Event, EventId, Happening, MemberId, Picture, PictureKind, Subject,
    };

    #[test]
    fn who_else_wrote_is_left_out() {
        let entry = |author| Event {
            id: EventId(1),
            subject: Subject::Batch(BatchId(1)),
            at: "2026-11-02T08:00:00Z".parse().unwrap(),
            recorded_at: "2026-11-02T08:00:00Z".parse().unwrap(),
            author,
            zone: "UTC".to_owned(),
            what: Happening::Noted { text: "cold smoked".to_owned() },
            typed: "batch note batch:B1 text:cold smoked".to_owned(),
        };
        let in_file = |author| serde_json::to_value(Entry::of(&entry(author), MemberId(1))).unwrap();
        let (own, foreign) = (in_file(Some(MemberId(1))), in_file(Some(MemberId(2))));
        assert_eq!((&own["by"], &own["typed"]), (&"owner".into(), &entry(None).typed.into()));
        assert_eq!((&foreign["by"], &foreign["typed"]), (&"another".into(), &"".into()));
        assert_eq!(foreign, in_file(None), "of others it is not told which of them");
    }

    #[test]
    fn the_name_of_anothers_file_is_left_out_and_ones_own_is_not() {
        let picture = Picture {
            group: None,
            place: ChatId(7),
            message: ChatId(24),
            attachment: ChatId(38),
            name: "rim.png".to_owned(),
            bytes: 9,
            kind: PictureKind::Png,
        };
        let pictured = Happening::Pictured { pictures: vec![picture] };
        let entry = |author| Event {
            id: EventId(2),
            subject: Subject::Batch(BatchId(1)),
            at: "2026-11-02T08:00:00Z".parse().unwrap(),
            recorded_at: "2026-11-02T08:00:00Z".parse().unwrap(),
            author,
            zone: "UTC".to_owned(),
            what: Happening::Changed { of: EventId(1), to: Box::new(pictured.clone()) },
            typed: String::new(),
        };
        let in_file = |author| serde_json::to_string(&Entry::of(&entry(author), MemberId(1))).unwrap();
        assert!(in_file(Some(MemberId(1))).contains("rim.png"));
        let foreign = in_file(Some(MemberId(2)));
        assert!(!foreign.contains("rim.png") && foreign.contains("38"), "{foreign}");
    }
}
