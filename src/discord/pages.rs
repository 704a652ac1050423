//! A long answer in pages, cut between lines, else between words, and never inside a number.

use super::escape::no_block;
use super::limits::{DESCRIPTION, in_number, width};

/// Characters of a page: two screens of a phone, and far inside what an embed takes.
pub(super) const PAGE: usize = 2_400;

// The line that counts the pages fits too.
const _: () = assert!(PAGE + 100 <= DESCRIPTION);

/// The lines put together into pages of at most `most` characters each.
pub(super) fn paged(lines: &[String], most: usize) -> Vec<String> {
    let mut pages: Vec<String> = Vec::new();
    let pieces = lines.iter().flat_map(|line| cut(line, most));
    for piece in pieces {
        match pages.last_mut() {
            Some(page) if width(page) + 1 + width(&piece) <= most => {
                page.push('\n');
                page.push_str(&piece);
            }
            _ => pages.push(piece),
        }
    }
    pages
}

/// One line in pieces of at most `most` characters.
pub(super) fn cut(line: &str, most: usize) -> Vec<String> {
    let mut pieces = Vec::new();
    let mut rest = line.to_owned();
    while width(&rest) > most {
        let (piece, after) = rest.split_at(place_to_cut(&rest, most));
        pieces.push(piece.trim_end().to_owned());
        // What stood in the middle of a line now begins one.
        rest = no_block(after.trim_start());
    }
    pieces.push(rest);
    pieces
}

/// The last place within `most` characters where a line may be cut: after a space, else where neither a number nor an
/// escape would be broken, else at the very end.
fn place_to_cut(line: &str, most: usize) -> usize {
    let mut taken = 0;
    let mut after_space = None;
    let mut between = None;
    let mut last = 0;
    let mut before: Option<char> = None;
    for (at, letter) in line.char_indices() {
        let fits = taken <= most;
        if !fits {
            break;
        }
        if let Some(before) = before {
            last = at;
            if before == ' ' {
                after_space = Some(at);
            } else if before != '\\' && !(in_number(before) && in_number(letter)) {
                between = Some(at);
            }
        }
        before = Some(letter);
        taken += letter.len_utf16();
    }
    // A line of one endless word is cut late rather than at a space near its beginning.
    let useful = after_space.filter(|at| *at > last / 2);
    useful.or(between).or(after_space).unwrap_or_else(|| last.max(1))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn lines_stay_whole_where_they_fit() {
        let lines: Vec<String> = ["one", "two", "three"].map(str::to_owned).to_vec();
        assert_eq!(paged(&lines, 7), ["one\ntwo", "three"]);
    }

    #[test]
    fn a_number_is_never_cut() {
        assert_eq!(cut("loss 38.25% of 1234.5 g", 18), ["loss 38.25% of", "1234.5 g"]);
        assert_eq!(cut("abcdefgh12345", 10), ["abcdefgh", "12345"]);
    }

    proptest! {
        #[test]
        fn every_page_fits_and_nothing_but_spaces_is_lost(
            lines in proptest::collection::vec("[a-zé🥩0-9., \\\\*]{0,80}", 1..12),
            most in 10_usize..60,
        ) {
            let pages = paged(&lines, most);
            for page in &pages {
                prop_assert!(width(page) <= most, "{page:?} is longer than {most}");
            }
            let bare = |texts: &[String]| texts.concat().replace([' ', '\n', '\\'], "");
            prop_assert_eq!(bare(&pages), bare(&lines));
        }

        #[test]
        fn numbers_that_fit_come_out_whole(numbers in proptest::collection::vec("[0-9]{1,6}\\.[0-9]", 1..40)) {
            let line = numbers.join(" ");
            let pieces = cut(&line, 20);
            let again: Vec<&str> = pieces.iter().flat_map(|piece| piece.split(' ')).collect();
            prop_assert_eq!(again, numbers.iter().map(String::as_str).collect::<Vec<_>>());
        }
    }
}
