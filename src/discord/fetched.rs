//! A file that a member hands to a command which takes one. Nothing else is ever fetched, and this only from the
//! platform's own hosts, without the token, following nobody elsewhere, and no more of it than is taken.

use super::api::NotFetched;
use super::attached::Handed;
use super::front::Front;
use crate::desk::{Answered, DeskError, FileSent, Incoming, MOST_FILE_BYTES, Said};
use crate::reply::{Language, say, spoken_in};
use serenity::model::permissions::Permissions;
use std::collections::VecDeque;
use std::sync::Arc;

/// Files that may still be asked about; beyond them the oldest is let go, and has to be attached again.
const MOST_KEPT: usize = 8;

/// Files by what they were handed in with, so that a press under a question about one need not fetch it again. A restart
/// loses them: then the command says that the file is missing.
#[derive(Debug, Default)]
pub(super) struct HandedIn {
    files: VecDeque<(String, Arc<FileSent>)>,
}

impl HandedIn {
    fn keep(&mut self, with: &str, file: &Arc<FileSent>) {
        self.files.retain(|(known, _)| known != with);
        self.files.push_back((with.to_owned(), Arc::clone(file)));
        while self.files.len() > MOST_KEPT {
            self.files.pop_front();
        }
    }

    fn of(&self, with: &str) -> Option<Arc<FileSent>> {
        self.files.iter().find(|(known, _)| known == with).map(|(_, file)| Arc::clone(file))
    }
}

impl Front {
    /// Asks the desk what was said, with the file it hands over; gives what was asked beside the answer.
    pub(super) async fn answered_with(
        &self,
        incoming: Incoming,
        handed: &[Handed],
        may: Option<Permissions>,
    ) -> (Incoming, Answered, Language) {
        let language = self.desk.language_of(&incoming.sender);
        match spoken_in(language, self.with_file(&incoming, handed)).await {
            Ok(with_file) => {
                let incoming = with_file.unwrap_or(incoming);
                let (answered, language) = self.answered(&incoming, may).await;
                (incoming, answered, language)
            }
            Err(error) => (incoming, Answered::Error(error), language),
        }
    }

    /// What was said with the file it hands over; `None` where its command takes none.
    async fn with_file(&self, incoming: &Incoming, handed: &[Handed]) -> Result<Option<Incoming>, DeskError> {
        if !incoming.takes_file() {
            return Ok(None);
        }
        let with = incoming.id.clone().unwrap_or_default();
        let file = match handed {
            [] => self.handed_in().of(&with),
            [one] => {
                let file = Arc::new(self.fetched(one).await?);
                self.handed_in().keep(&with, &file);
                Some(file)
            }
            _ => return Err(refused("log.import.one_file", "")),
        };
        let said = match &incoming.said {
            // It is no photo, and is not told to be none.
            Said::Sent { text, .. } => Said::Line(text.clone()),
            said => said.clone(),
        };
        Ok(Some(Incoming { said, file, ..incoming.clone() }))
    }

    async fn fetched(&self, handed: &Handed) -> Result<FileSent, DeskError> {
        let name = &handed.name;
        let Some(address) = &handed.address else { return Err(refused("log.import.elsewhere", name)) };
        let too_large = || refused("log.import.too_large", name);
        if handed.bytes > MOST_FILE_BYTES as u64 {
            return Err(too_large());
        }
        match self.api.fetch(address, MOST_FILE_BYTES).await {
            Ok(bytes) => Ok(FileSent { name: name.clone(), bytes }),
            Err(NotFetched::TooLarge) => Err(too_large()),
            Err(cause) => {
                tracing::warn!(%cause, "a file could not be fetched");
                Err(refused("log.import.not_fetched", name))
            }
        }
    }
}

fn refused(key: &str, file: &str) -> DeskError {
    DeskError {
        code: "does_not_fit",
        message: say(key, &[("file", file)]),
        example: String::new(),
        ours: false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_last_few_files_are_there_for_their_questions() {
        let mut kept = HandedIn::default();
        let file = |name: &str| Arc::new(FileSent { name: name.to_owned(), bytes: Vec::new() });
        for number in 0..=MOST_KEPT {
            kept.keep(&format!("i{number}"), &file(&number.to_string()));
        }
        kept.keep("i1", &file("one again"));
        assert_eq!(kept.of("i0"), None);
        assert_eq!(kept.of("i1").unwrap().name, "one again");
        assert_eq!(kept.of("i2").unwrap().name, "2");
        assert_eq!(kept.files.len(), MOST_KEPT);
    }
}
