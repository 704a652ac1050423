//! The check of requests against the platform's published description, and the check of that check.
//!
//! A test program of its own (`harness = false`): whether the description is at hand is known only when it runs, and
//! what was not run must show as ignored.
#![expect(clippy::print_stdout, reason = "this is its own test runner")]
#![expect(clippy::expect_used, reason = "a test that cannot get its material fails by panicking")]

#[path = "../support/mod.rs"]
mod support;

mod conformance_builders;
mod conformance_cases;

use std::process::ExitCode;

/// A check by name.
type Case = (&'static str, fn());

const NOT_RUN: &str = "conformance_not_run_no_description";

/// Speaks as much of the test runners' language as `cargo test` and `cargo nextest` need.
fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let has = |flag: &str| arguments.iter().any(|argument| argument == flag);
    let given = support::conformance::description_given();
    let cases: &[Case] = if given { conformance_cases::CASES } else { &[] };
    if has("--list") {
        let ignored: &[&str] = if given { &[] } else { &[NOT_RUN] };
        let only_ignored = has("--ignored");
        let listed = cases.iter().map(|(name, _)| name).filter(|_| !only_ignored).chain(ignored);
        listed.for_each(|name| println!("{name}: test"));
        return ExitCode::SUCCESS;
    }
    let wanted = |name: &str| {
        let mut names = arguments.iter().filter(|argument| !argument.starts_with("--")).peekable();
        let exact = has("--exact");
        names.peek().is_none()
            || names.any(|wanted| if exact { wanted == name } else { name.contains(wanted.as_str()) })
    };
    let (mut passed, mut failed) = (0, 0);
    for (name, check) in cases.iter().filter(|(name, _)| wanted(name) && !has("--ignored")) {
        let good = std::panic::catch_unwind(check).is_ok();
        println!("test {name} ... {}", if good { "ok" } else { "FAILED" });
        if good { passed += 1 } else { failed += 1 }
    }
    let ignored = usize::from(!given);
    if !given {
        println!("test {NOT_RUN} ... ignored, CHAT_API_DESCRIPTION names no file");
    }
    let result = if failed == 0 { "ok" } else { "FAILED" };
    println!(
        "\ntest result: {result}. {passed} passed; {failed} failed; {ignored} ignored; 0 measured; 0 filtered out\n"
    );
    if failed == 0 { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}
