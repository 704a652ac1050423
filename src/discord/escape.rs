//! Text of members and of ours as the platform shows it: nothing a member writes is a mention, a link or markup.

/// The text with everything escaped that the platform would take for markup.
pub(super) fn escaped(text: &str) -> String {
    text.lines().map(line).collect::<Vec<_>>().join("\n")
}

fn line(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 8);
    let start = text.trim_start();
    let indent = text.len() - start.len();
    for (at, letter) in text.char_indices() {
        let rest = &text[at + letter.len_utf8()..];
        let marks_anywhere = matches!(letter, '\\' | '*' | '_' | '~' | '`' | '|' | '<' | '@' | '[' | ']');
        // A line that begins so would be a heading, a quotation or a list.
        let marks_here =
            at == indent && matches!(letter, '#' | '>' | '-' | '+') && begins_block(letter, rest);
        // An address would become a link by itself.
        let links = letter == ':' && rest.starts_with("//");
        if letter.is_control() {
            out.push(' ');
            continue;
        }
        if marks_anywhere || marks_here || links {
            out.push('\\');
        }
        out.push(letter);
    }
    out
}

fn begins_block(letter: char, rest: &str) -> bool {
    match letter {
        '>' => true,
        '-' => rest.starts_with([' ', '#']),
        '#' => rest.trim_start_matches('#').starts_with(' '),
        _ => rest.starts_with(' '),
    }
}

#[cfg(test)]
mod tests {
    use super::escaped;
    use proptest::prelude::*;

    #[test]
    fn members_cannot_mark_up_ping_or_link() {
        assert_eq!(
            escaped("**loud** _x_ ~~y~~ ||z||"),
            "\\*\\*loud\\*\\* \\_x\\_ \\~\\~y\\~\\~ \\|\\|z\\|\\|"
        );
        assert_eq!(escaped("<@123> @everyone"), "\\<\\@123> \\@everyone");
        assert_eq!(escaped("[a](https://b)"), "\\[a\\](https\\://b)");
        assert_eq!(escaped("# big\n> said\n- one\n-# small"), "\\# big\n\\> said\n\\- one\n\\-# small");
        assert_eq!(escaped("<t:0:R> </x:1>"), "\\<t:0:R> \\</x:1>");
    }

    /// Members read these all day: they stay as they are.
    #[test]
    fn figures_and_pieces_stay_readable() {
        for plain in ["#2 640 g", "-2.5 °C", "pH 5.08 at 21 °C", "38%", "B3 #1: 812 g (12)", "14:03"] {
            assert_eq!(escaped(plain), plain);
        }
    }

    proptest! {
        #[test]
        fn no_mention_and_no_mark_survives_unescaped(text in "\\PC{0,60}") {
            let out = escaped(&text);
            let mut escaping = false;
            for letter in out.chars() {
                if escaping {
                    escaping = false;
                } else if letter == '\\' {
                    escaping = true;
                } else {
                    prop_assert!(!"*_~`|<@[]".contains(letter), "{out}");
                }
            }
        }
    }
}
