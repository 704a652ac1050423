//! Text of members and of ours as the platform shows it: nothing a member writes is a mention, a link or markup.

/// The text with everything escaped that the platform would take for markup.
pub(super) fn escaped(text: &str) -> String {
    text.lines().map(line).collect::<Vec<_>>().join("\n")
}

fn line(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 8);
    // What the platform would see at the beginning of the line, without what is left out below.
    let is_seen = |letter: &char| !turns_around(*letter) && !has_no_width(*letter);
    let text: String = text.chars().filter(is_seen).map(blank_if_control).collect();
    let mut link_ends = 0;
    for (at, letter) in text.char_indices() {
        if at >= link_ends {
            link_ends = at + message_link(&text[at..]);
        }
        if at < link_ends {
            out.push(letter);
            continue;
        }
        let rest = &text[at + letter.len_utf8()..];
        let marks = matches!(letter, '\\' | '*' | '_' | '~' | '`' | '|' | '<' | '@' | '[' | ']');
        // An address would become a link by itself.
        let links = letter == ':' && rest.starts_with("//");
        if marks || links {
            out.push('\\');
        }
        out.push(letter);
    }
    no_block(&out)
}

/// The length of the platform's own address of a message, where the text begins with one: it leads nowhere else, and shows
/// nothing to whoever may not read there, so it stays a link. 0 for anything else.
fn message_link(text: &str) -> usize {
    const DIGITS: std::ops::RangeInclusive<usize> = 1..=20;
    let digits = |part: &str| {
        let length = part.bytes().take_while(u8::is_ascii_digit).count();
        DIGITS.contains(&length).then_some(length)
    };
    let read = || {
        let ids = text.strip_prefix("https://discord.com/channels/")?;
        let rest = ids.get(if ids.starts_with("@me") { 3 } else { digits(ids)? }..)?;
        let rest = rest.strip_prefix('/')?;
        let rest = rest.get(digits(rest)?..)?.strip_prefix('/')?;
        let rest = rest.get(digits(rest)?..)?;
        let goes_on = |letter: char| letter.is_alphanumeric() || "/?#%@:_-=&".contains(letter);
        (!rest.chars().next().is_some_and(goes_on)).then_some(text.len() - rest.len())
    };
    read().unwrap_or_default()
}

/// Letters that turn the direction of what follows: figures after them would be read backwards.
const fn turns_around(letter: char) -> bool {
    matches!(
        letter,
        '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}'
    )
}

/// Letters that are not there to the eye: they would make two names look the same, or hide in a word. The joiners stay,
/// because scripts and emoji need them.
const fn has_no_width(letter: char) -> bool {
    matches!(letter, '\u{ad}' | '\u{200b}' | '\u{2060}'..='\u{2064}' | '\u{feff}')
}

fn blank_if_control(letter: char) -> char {
    if letter.is_control() { ' ' } else { letter }
}

/// The beginning of a line, so that it begins no heading, quotation or list. The platform renumbers a numbered list
/// by itself.
pub(super) fn no_block(text: &str) -> String {
    let start = text.trim_start();
    let indent = text.len() - start.len();
    let digits = start.len() - start.trim_start_matches(|letter: char| letter.is_ascii_digit()).len();
    let after = &start[digits..];
    let at = if digits > 0 && after.starts_with('.') && (after.len() == 1 || after.starts_with(". ")) {
        Some(indent + digits)
    } else if begins_block(start) {
        Some(indent)
    } else {
        None
    };
    at.map_or_else(|| text.to_owned(), |at| format!("{}\\{}", &text[..at], &text[at..]))
}

fn begins_block(start: &str) -> bool {
    let ends = |rest: &str| rest.is_empty() || rest.starts_with(char::is_whitespace);
    match start.chars().next() {
        Some('>') => true,
        Some('-') => start[1..].starts_with('#') || ends(&start[1..]),
        Some('#') => ends(start.trim_start_matches('#')),
        Some('+') => ends(&start[1..]),
        _ => false,
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

    #[test]
    fn only_the_address_of_a_message_stays_a_link() {
        let link = "https://discord.com/channels/1477576124006400003/7/24";
        let direct = "https://discord.com/channels/@me/7/24";
        for plain in [link, direct, &format!("1 photo, {link} (6).")] {
            assert_eq!(escaped(plain), plain);
        }
        assert_eq!(escaped(&format!("[x]({link})")), format!("\\[x\\]({link})"));
        for other in [
            "https://discord.com/channels/1/7",
            "https://discord.com/channels/@everyone/7/24",
            "https://discord.com/channels/1/7/24/../../x",
            "https://discord.com/channels/1/7/24?x",
            "https://discord.com.evil.example/channels/1/7/24",
            "https://discord.com@evil.example/channels/1/7/24",
            "http://discord.com/channels/1/7/24",
            "https://discord.com/channels/1/7/24@everyone",
        ] {
            let out = escaped(other);
            assert!(out.contains("\\://") && !out.replace("\\@", "").contains('@'), "{other}: {out}");
        }
    }

    /// Members read these all day: they stay as they are.
    #[test]
    fn figures_and_pieces_stay_readable() {
        for plain in ["#2 640 g", "-2.5 °C", "pH 5.08 at 21 °C", "38%", "B3 #1: 812 g (12)", "14:03"] {
            assert_eq!(escaped(plain), plain);
        }
    }

    #[test]
    fn lines_begin_no_list_and_nothing_turns_around() {
        assert_eq!(escaped("3. salted\n12.5 kg\n4.\n5.x"), "3\\. salted\n12.5 kg\n4\\.\n5.x");
        assert_eq!(escaped("\u{202e}812 g\u{202c} \u{61c}x"), "812 g x");
        assert_eq!(escaped("\u{200f}# big"), "\\# big");
        assert_eq!(escaped("pi\u{200b}nk\u{feff} \u{ad}# x"), "pink # x");
        assert_eq!(escaped("\u{200b}# big"), "\\# big");
    }

    /// The first letter that the platform would take for markup or a mention.
    fn unescaped(out: &str) -> Option<char> {
        let mut escaping = false;
        out.chars().find(|letter| {
            let is_mark = !escaping && "*_~`|<@[]".contains(*letter);
            escaping = !escaping && *letter == '\\';
            is_mark
        })
    }

    #[test]
    fn the_public_list_of_troublesome_texts_is_harmless() {
        assert!(naughty_strings::BLNS.len() > 400);
        for text in naughty_strings::BLNS {
            let out = escaped(text);
            assert_eq!(unescaped(&out), None, "{text:?} became {out:?}");
            assert!(!out.contains("://") || out.contains("\\://"), "{text:?} became {out:?}");
        }
    }

    proptest! {
        #[test]
        fn no_mention_and_no_mark_survives_unescaped(text in "\\PC{0,60}") {
            let out = escaped(&text);
            prop_assert_eq!(unescaped(&out), None, "{}", out);
        }
    }
}
