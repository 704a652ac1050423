#!/usr/bin/env bash
# Runs everything that must hold: format, lints, the pure build, all tests, the documentation, the licences.
# Needs a Rust toolchain and a C compiler; uses cargo-nextest and cargo-deny where they are there.
set -euo pipefail
cd "$(dirname "$0")/.."
export CARGO_TERM_COLOR="${CARGO_TERM_COLOR:-never}"

step() { printf '\n== %s\n' "$*"; }

step "format"
cargo fmt --all --check

step "lints"
cargo clippy --locked --all-targets -- -D warnings

step "the pure part builds and passes alone, without database, clock or chat"
cargo test --locked --lib --no-default-features --quiet

step "documentation"
cargo test --locked --doc --quiet
RUSTDOCFLAGS="-D warnings" cargo doc --locked --no-deps --quiet

step "licences, sources, bans"
if cargo deny --version >/dev/null 2>&1; then
    cargo deny check licenses sources bans
else
    echo "cargo-deny is not installed: licences, sources and bans not checked here"
fi
echo "advisories not checked (no database at hand)"

step "tests"
if cargo nextest --version >/dev/null 2>&1; then
    cargo nextest run --locked --no-fail-fast
else
    cargo test --locked --no-fail-fast --lib --bins --tests
fi
