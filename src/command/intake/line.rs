//! A line while it is being read: what was found so far, and what each token turned out to be.

use crate::command::intake::cursor::Cursor;
use crate::command::intake::draft::{Check, Draft, Mark, Said};
use crate::command::intake::error::IntakeError;
use crate::command::intake::item::{Context, What, When};
use crate::quantity::Temperature;
use crate::record::PieceNumber;

/// Pieces named before what is said of them.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct Prefix {
    pieces: Vec<PieceNumber>,
    clause: usize,
    is_used: bool,
    tokens: std::ops::Range<usize>,
    text: String,
}

/// A line while it is being read.
pub(super) struct Line<'c> {
    /// What is known beside the line.
    pub(super) context: &'c Context<'c>,
    /// What was found so far.
    pub(super) drafts: Vec<Draft>,
    /// What each token is; as long as the line.
    pub(super) marks: Vec<Mark>,
    /// The clause of each token.
    pub(super) clauses: Vec<usize>,
    /// Tokens in the midst of something understood that were not: "attic" in "power out in the attic 9h".
    pub(super) left_unread: Vec<usize>,
    /// The clause being read.
    pub(super) clause: usize,
    /// When, and in which clause it was said.
    pub(super) at: Option<(When, usize)>,
    /// Which batch.
    pub(super) batch: Option<String>,
    /// Which chamber.
    pub(super) chamber: Option<String>,
    /// Where the sample is spoken of: clause and token.
    pub(super) samples: Vec<(usize, usize)>,
    /// Temperature of the sample, said apart from the pH.
    pub(super) sample_temperature: Option<Temperature>,
    /// Clauses that speak of the batch as a whole.
    pub(super) whole_clauses: Vec<usize>,
    /// "hung" was said: the token.
    pub(super) hanging: Option<usize>,
    /// How many pieces are being hung, where it was said, with the words.
    pub(super) announced: Option<(usize, String)>,
    /// The clauses that begin behind a semicolon or a line's end.
    pub(super) breaks: Vec<usize>,
    /// A temperature that may be the air's or a set point.
    pub(super) has_bare_temperature: bool,
    /// A meter's check.
    pub(super) check: Option<Check>,
    /// The words of what goes with the pH wherever it stands: a meter's check, the sample's temperature.
    pub(super) beside_ph: Vec<String>,
    /// Bare numbers that would be weights if as many pieces hung.
    pub(super) bare_numbers: usize,
    /// The token up to which they stand.
    pub(super) refused_up_to: usize,
    /// Whether "#n" stands somewhere in the line.
    pub(super) names_pieces: bool,
    /// Something that was read can mean two things.
    pub(super) is_doubtful: bool,
    /// What is wrong if the line turns out to be a reading; in chatter it is nobody's business.
    pub(super) objection: Option<IntakeError>,
    prefix: Prefix,
    /// Every piece named before what is said of it, with its clause.
    prefixes: Vec<(PieceNumber, usize)>,
}

impl<'c> Line<'c> {
    /// A line of so many tokens, nothing read.
    pub(super) fn new(context: &'c Context<'c>, length: usize, names_pieces: bool) -> Self {
        Self {
            context,
            drafts: Vec::new(),
            marks: vec![Mark::Unread; length],
            clauses: vec![0; length],
            left_unread: Vec::new(),
            clause: 0,
            at: None,
            batch: None,
            chamber: None,
            samples: Vec::new(),
            sample_temperature: None,
            whole_clauses: Vec::new(),
            hanging: None,
            announced: None,
            breaks: Vec::new(),
            has_bare_temperature: false,
            check: None,
            beside_ph: Vec::new(),
            bare_numbers: 0,
            refused_up_to: 0,
            names_pieces,
            is_doubtful: false,
            objection: None,
            prefix: Prefix::default(),
            prefixes: Vec::new(),
        }
    }

    /// Says what the tokens between two places are.
    pub(super) fn mark(&mut self, from: &Cursor<'_>, to: &Cursor<'_>, mark: Mark) {
        for at in from.at()..to.at() {
            if let Some(slot) = self.marks.get_mut(at) {
                *slot = mark;
            }
            if let Some(slot) = self.clauses.get_mut(at) {
                *slot = self.clause;
            }
        }
    }

    /// Marks what a reader passed over as unread, so that it is asked about like any other unread word.
    pub(super) fn give_back_unread(&mut self) {
        for at in std::mem::take(&mut self.left_unread) {
            if let Some(slot) = self.marks.get_mut(at) {
                *slot = Mark::Unread;
            }
        }
    }

    /// Keeps what was said; pieces named before it are its own.
    pub(super) fn add(&mut self, said: Said, typed: &str) {
        let pieces = self.named_pieces();
        let named = if pieces.is_empty() { "" } else { self.prefix.text.as_str() };
        let typed = format!("{named} {typed}");
        self.add_of(said, pieces, &typed);
    }

    /// Keeps what was said of certain pieces.
    pub(super) fn add_of(&mut self, said: Said, pieces: Vec<PieceNumber>, typed: &str) {
        self.drafts.push(Draft { said, pieces, typed: tidied(typed), clause: self.clause });
    }

    /// Whether a pH was read in a clause.
    pub(super) fn has_ph_in(&self, clause: usize) -> bool {
        self.drafts
            .iter()
            .any(|draft| draft.clause == clause && matches!(draft.said, Said::Known(What::Ph { .. })))
    }

    /// Whether a pH of this clause still lacks its sample's temperature.
    pub(super) fn has_ph_without_temperature_in(&self, clause: usize) -> bool {
        let lacks = |said: &Said| matches!(said, Said::Known(What::Ph { sample_temperature: None, .. }));
        self.drafts.iter().any(|draft| draft.clause == clause && lacks(&draft.said))
    }

    /// Whether a bare temperature stands in one clause with a pH that has none: the room's or the sample's.
    pub(super) fn has_temperature_of_either(&self) -> bool {
        let bare =
            |said: &Said| matches!(said, Said::Known(What::Room { temperature: Some(_), humidity: None }));
        self.drafts.iter().any(|draft| bare(&draft.said) && self.has_ph_without_temperature_in(draft.clause))
    }

    /// Leaves the sample unread where no pH goes with it.
    pub(super) fn release_samples(&mut self) {
        for (clause, at) in self.samples.clone() {
            let has_ph = self.has_ph_in(clause) || self.sample_temperature.is_some();
            if let Some(slot) = self.marks.get_mut(at)
                && !has_ph
            {
                *slot = Mark::Unread;
            }
        }
    }

    /// Names pieces for what follows. Pieces named before of which nothing was said are left unread.
    pub(super) fn name_pieces(&mut self, pieces: Vec<PieceNumber>, from: &Cursor<'_>, to: &Cursor<'_>) {
        self.release_unused();
        self.prefixes.extend(pieces.iter().map(|piece| (*piece, self.clause)));
        self.prefix = Prefix {
            pieces,
            clause: self.clause,
            is_used: false,
            tokens: from.at()..to.at(),
            text: to.text_since(from).trim_end_matches(':').to_owned(),
        };
    }

    /// Leaves the pieces named last unread when nothing was said of them.
    pub(super) fn release_unused(&mut self) {
        if self.awaits_reading() {
            for slot in self.marks.get_mut(self.prefix.tokens.clone()).into_iter().flatten() {
                *slot = Mark::Unread;
            }
        }
    }

    /// The words that named the pieces last.
    pub(super) fn prefix_text(&self) -> &str {
        &self.prefix.text
    }

    /// Whether pieces were named and nothing was said of them yet.
    pub(super) fn awaits_reading(&self) -> bool {
        !self.prefix.pieces.is_empty() && !self.prefix.is_used
    }

    /// The pieces that what is said now speaks of: named in this clause, or before it with nothing said of them yet.
    pub(super) fn named_pieces(&mut self) -> Vec<PieceNumber> {
        if self.prefix.clause != self.clause && self.prefix.is_used {
            return Vec::new();
        }
        self.prefix.is_used = true;
        self.prefix.clause = self.clause;
        self.prefix.pieces.clone()
    }

    /// Whether [`Self::named_pieces`] would give any.
    pub(super) fn has_named_pieces(&self) -> bool {
        !self.prefix.pieces.is_empty() && (self.prefix.clause == self.clause || !self.prefix.is_used)
    }

    /// The piece that a clause speaks of without naming it: the only one of the line, when it was named before in the
    /// same part of it.
    pub(super) fn only_piece(&self, clause: usize) -> Option<PieceNumber> {
        let (first, named_in) = self.prefixes.first()?;
        let is_only = self.prefixes.iter().all(|(piece, _)| piece == first);
        (is_only && *named_in <= clause && self.part(*named_in) == self.part(clause)).then_some(*first)
    }

    /// The part of the line in which a clause stands: parts end at a semicolon and at a line's end.
    pub(super) fn part(&self, clause: usize) -> usize {
        self.breaks.iter().filter(|first| **first <= clause).count()
    }

    /// Remembers the first thing that is wrong if the line turns out to be a reading.
    pub(super) fn object(&mut self, error: IntakeError) {
        self.objection.get_or_insert(error);
    }

    /// The same on a condition.
    pub(super) fn object_if(&mut self, is_wrong: bool, error: IntakeError) {
        if is_wrong {
            self.object(error);
        }
    }

    /// Sets the time.
    pub(super) fn set_time(&mut self, when: When) {
        let Some((before, clause)) = &mut self.at else {
            self.at = Some((when, self.clause));
            return;
        };
        // "now set to 12 C yesterday 8pm": a "now" in the same breath says nothing.
        let is_now = |when: &When| when.typed.eq_ignore_ascii_case("now");
        let same_clause = *clause == self.clause;
        if same_clause && is_now(&when) {
            return;
        }
        if before.at == when.at {
            // The same in other words, "2 nov" and "2026-11-02": both were said.
            if !before.typed.eq_ignore_ascii_case(&when.typed) {
                before.typed = format!("{} {}", before.typed, when.typed);
            }
            return;
        }
        if same_clause && is_now(before) {
            *before = when;
        } else {
            self.object(IntakeError::SaidTwice { what: "time".to_owned() });
        }
    }

    /// What was said of a meter's check so far.
    pub(super) fn check_mut(&mut self) -> &mut Check {
        self.check.get_or_insert_default()
    }
}

/// A text with single spaces.
pub(super) fn tidied(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}
