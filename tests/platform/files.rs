//! Files: sent by the application with their description, fetched, exchanged, and sent by members.

use serenity::all::{
    AttachmentId, ChannelId, CreateAttachment, CreateMessage, EditAttachments, EditMessage, MessageId,
};

use crate::client;
use crate::support::conformance::assert_conforming;
use crate::support::stand_in::{Id, Options, Reply, StandIn, permissions};

/// The first 24 bytes of a PNG of 4 by 3 pixels (PNG specification, 5.2 and 11.2.2).
const PNG_4_BY_3: [u8; 24] = *b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR\0\0\0\x04\0\0\0\x03";

async fn place() -> (StandIn, client::Guarded, Id, Id) {
    let stand_in = StandIn::start(Options::default()).await;
    let anna = stand_in.user("anna", "Anna");
    let cellar = stand_in.guild("Cellar (invented)", anna);
    let log = stand_in.channel(cellar, "log");
    let http = client::http(&stand_in, stand_in.token());
    (stand_in, http, anna, log)
}

#[tokio::test]
async fn a_file_keeps_name_bytes_and_description_and_can_be_exchanged() {
    let (stand_in, http, _, log) = place().await;
    let curve = CreateAttachment::bytes(PNG_4_BY_3, "curve.png").description("pH falls from 5.6 to 5.0");
    let message = CreateMessage::new().content("the curve").add_file(curve);
    let sent = ChannelId::new(log.0).send_message(&http, message).await.unwrap();
    let kept = &sent.attachments[0];
    assert_eq!((kept.filename.as_str(), kept.width, kept.height), ("curve.png", Some(4), Some(3)));
    let described = &stand_in.message(Id(sent.id.get())).unwrap().attachments[0].description;
    assert_eq!(described.as_deref(), Some("pH falls from 5.6 to 5.0"));
    let fetched = reqwest::get(&kept.url).await.unwrap().bytes().await.unwrap();
    assert_eq!(fetched.as_ref(), PNG_4_BY_3);
    let other =
        EditAttachments::keep_all(&sent).remove(kept.id).add(CreateAttachment::bytes(*b"a,b", "curve.csv"));
    let edit = EditMessage::new().attachments(other);
    let edited = ChannelId::new(log.0).edit_message(&http, sent.id, edit).await.unwrap();
    let names: Vec<&str> = edited.attachments.iter().map(|file| file.filename.as_str()).collect();
    assert_eq!(names, ["curve.csv"]);
    assert_ne!(edited.attachments[0].id, AttachmentId::new(1));
    assert_conforming(&stand_in.records());
}

#[tokio::test]
async fn files_need_their_permission_and_fit_the_limits() {
    let (stand_in, http, _, log) = place().await;
    let channel = ChannelId::new(log.0);
    let with = |count: usize, bytes: usize| {
        CreateMessage::new()
            .add_files((0..count).map(move |_| CreateAttachment::bytes(vec![0; bytes], "a.txt")))
    };
    let refusal = |result: serenity::Result<serenity::all::Message>| result.unwrap_err().to_string();
    assert!(refusal(channel.send_message(&http, with(11, 1)).await).contains("Maximum number"));
    assert!(refusal(channel.send_message(&http, with(1, 10 * 1024 * 1024 + 1)).await).contains("too large"));
    stand_in.deny_bot(log, permissions::ATTACH_FILES);
    assert!(refusal(channel.send_message(&http, with(1, 1)).await).contains("Missing Permissions"));
}

#[tokio::test]
async fn a_members_file_can_be_fetched() {
    let (stand_in, http, anna, log) = place().await;
    let posted = stand_in.post_with(anna, log, "", Reply::None, &[("scale.csv", b"812")]);
    stand_in.direct(anna, "so that a session is not needed");
    let line = stand_in.direct_line(anna);
    let direct = stand_in.post_with(anna, line, "", Reply::None, &[("scale.csv", b"812")]);
    let read = http.get_message(line.0.into(), MessageId::new(direct.0)).await.unwrap();
    let bytes = reqwest::get(&read.attachments[0].url).await.unwrap().bytes().await.unwrap();
    assert_eq!((bytes.as_ref(), read.attachments[0].size), (b"812".as_slice(), 3));
    let hidden = http.get_message(log.0.into(), MessageId::new(posted.0)).await.unwrap();
    assert!(hidden.attachments.is_empty(), "without the content intent there is nothing to fetch");
}
