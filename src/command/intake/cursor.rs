//! A place in a line of tokens. It is copied to look ahead and assigned back to move on.

use crate::command::intake::token::{Kind, Token};

/// A place in a line.
#[derive(Debug, Clone, Copy)]
pub(in crate::command) struct Cursor<'a> {
    line: &'a str,
    tokens: &'a [Token],
    at: usize,
}

impl<'a> Cursor<'a> {
    /// The beginning of a line.
    pub(in crate::command) const fn new(line: &'a str, tokens: &'a [Token]) -> Self {
        Self { line, tokens, at: 0 }
    }

    /// How many tokens lie behind.
    pub(in crate::command) const fn at(&self) -> usize {
        self.at
    }

    /// The place before the token with this number.
    pub(in crate::command) const fn back_to(mut self, at: usize) -> Self {
        self.at = at;
        self
    }

    /// Whether nothing lies ahead.
    pub(in crate::command) fn is_at_end(&self) -> bool {
        self.at >= self.tokens.len()
    }

    /// The token ahead.
    pub(in crate::command) fn peek(&self) -> Option<&'a Token> {
        self.tokens.get(self.at)
    }

    /// The kind of the token ahead.
    pub(in crate::command) fn kind(&self) -> Option<&'a Kind> {
        self.peek().map(|token| &token.kind)
    }

    /// The token just passed.
    pub(in crate::command) fn passed(&self) -> Option<&'a Token> {
        self.at.checked_sub(1).and_then(|before| self.tokens.get(before))
    }

    /// Passes one token.
    pub(in crate::command) fn skip(&mut self) {
        self.at = (self.at + 1).min(self.tokens.len());
    }

    /// This place with one token passed.
    #[must_use]
    pub(in crate::command) fn after_one(mut self) -> Self {
        self.skip();
        self
    }

    /// The word ahead, in lower case.
    pub(in crate::command) fn word(&self) -> Option<&'a str> {
        match self.kind() {
            Some(Kind::Word(word)) => Some(word),
            _ => None,
        }
    }

    /// Whether the word ahead is one of these.
    pub(in crate::command) fn sees(&self, words: &[&str]) -> bool {
        self.word().is_some_and(|word| words.contains(&word))
    }

    /// Passes the word ahead if it is one of these.
    pub(in crate::command) fn take(&mut self, words: &[&str]) -> bool {
        let seen = self.sees(words);
        if seen {
            self.skip();
        }
        seen
    }

    /// Passes every word ahead that is one of these.
    pub(in crate::command) fn take_all(&mut self, words: &[&str]) {
        while self.take(words) {}
    }

    /// Whether the sign ahead is one of these.
    pub(in crate::command) fn sees_sign(&self, signs: &[char]) -> bool {
        matches!(self.kind(), Some(Kind::Sign(sign)) if signs.contains(sign))
    }

    /// Passes the sign ahead if it is one of these.
    pub(in crate::command) fn take_sign(&mut self, signs: &[char]) -> bool {
        let seen = self.sees_sign(signs);
        if seen {
            self.skip();
        }
        seen
    }

    /// Whether the token ahead stands right behind the one before it.
    pub(in crate::command) fn is_glued(&self) -> bool {
        self.peek().is_some_and(|token| token.glued)
    }

    /// The text of the token ahead, as typed.
    pub(in crate::command) fn text(&self) -> &'a str {
        self.peek().and_then(|token| self.line.get(token.start..token.end)).unwrap_or("")
    }

    /// The text from an earlier place up to this one, as typed.
    pub(in crate::command) fn text_since(&self, start: &Self) -> &'a str {
        let first = start.peek().map(|token| token.start);
        let last = self.passed().map(|token| token.end);
        first.zip(last).and_then(|(first, last)| self.line.get(first..last)).unwrap_or("")
    }

    /// The text ahead, as typed.
    pub(in crate::command) fn rest(&self) -> &'a str {
        self.peek().and_then(|token| self.line.get(token.start..)).unwrap_or("")
    }
}
