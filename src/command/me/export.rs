//! `/me export`: everything that is kept about a member, as a file.

use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::error::CommandError;
use crate::command::spec::Spec;
use crate::record::{Event, Happening, MemberId};
use crate::reply::{File, Reply, say};

/// `/me export`
pub static SPEC: Spec = Spec {
    root: "me",
    verb: "export",
    aliases: &[],
    summary: "everything that is kept about you, as a file",
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
        let me = asking.member.id;
        let mut everything = services.store.everything_of(me).await?;
        everything.entries.iter_mut().for_each(|entry| leave_others_out(entry, me));
        let text = serde_json::to_string_pretty(&everything)
            .map_err(|error| CommandError::Internal(format!("an export cannot be written: {error}")))?;
        let mut reply = Reply::new("me export", say("me.export.headline", &[]));
        reply.files.push(File {
            name: "tallyhook-record.json".to_owned(),
            media_type: "application/json",
            bytes: text.into_bytes(),
            about: say("me.export.about_json", &[]),
        });
        Ok(Done::reply(reply))
    }
}

/// What a helper wrote into one's batch is part of the batch; who it was and their own words are theirs.
fn leave_others_out(entry: &mut Event, me: MemberId) {
    if entry.author != Some(me) {
        entry.author = None;
        entry.typed.clear();
        leave_names_out(&mut entry.what);
    }
}

/// The names that others gave to the files of their photos.
fn leave_names_out(what: &mut Happening) {
    match what {
        Happening::Pictured { pictures } => pictures.iter_mut().for_each(|picture| picture.name.clear()),
        Happening::Changed { to, .. } => leave_names_out(to),
        _ => {}
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::record::{BatchId, ChatId, EventId, Picture, PictureKind, Subject};

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
        let me = MemberId(1);
        let mut own = entry(Some(me));
        leave_others_out(&mut own, me);
        assert_eq!(own, entry(Some(me)));
        let mut foreign = entry(Some(MemberId(2)));
        leave_others_out(&mut foreign, me);
        assert_eq!(foreign, Event { typed: String::new(), ..entry(None) });
    }

    #[test]
    fn the_name_of_anothers_file_is_left_out_and_ones_own_is_not() {
        let picture = |name: &str| Picture {
            group: None,
            place: ChatId(7),
            message: ChatId(24),
            attachment: ChatId(38),
            name: name.to_owned(),
            bytes: 9,
            kind: PictureKind::Png,
        };
        let pictured = |name: &str| Happening::Pictured { pictures: vec![picture(name)] };
        let mut what = Happening::Changed { of: EventId(1), to: Box::new(pictured("rim.png")) };
        leave_names_out(&mut what);
        assert_eq!(what, Happening::Changed { of: EventId(1), to: Box::new(pictured("")) });
    }
}
