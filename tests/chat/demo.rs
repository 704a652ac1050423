//! The demonstration tells a batch from raw weights to a shared record, and nothing in it is refused or asked about.

use tallyhook::terminal::demo;

#[tokio::test]
async fn the_story_runs_through() {
    let told = demo::told().await.unwrap();
    let refused: Vec<&str> = told
        .lines()
        .filter(|line| line.starts_with("bot< For example:") || line.starts_with("bot< Answer with:"))
        .collect();
    assert!(refused.is_empty(), "{told}");
    for step in [
        "cure",
        "fermenting",
        "ends the degree-hours",
        "drying",
        "at its target",
        "finished after",
        "on the board",
    ] {
        assert!(told.contains(step), "{step} is missing");
    }
    assert!(!told.contains("WARNING"), "the story is one that went well");
}
