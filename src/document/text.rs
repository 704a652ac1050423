//! Texts broken into lines of a width.

use crate::chart::measure::{drawable, width};

/// What stays with the number before it.
const UNITS: [&str; 17] = [
    "g",
    "kg",
    "mg/kg",
    "g/kg",
    "mm",
    "cm",
    "in",
    "oz",
    "lb",
    "%",
    "°C",
    "°F",
    "h",
    "d",
    "mV",
    "°C-hours",
    "°F-hours",
];
/// Stands for what was cut off.
const CUT: char = '…';

/// A text in lines that are at most so wide at a size; words that are wider are broken at
/// a hyphen, else anywhere. Letters that the font
/// does not have are left out as in the charts. A text of nothing is no line.
pub fn wrapped(text: &str, size: f64, bold: bool, most: f64) -> Vec<String> {
    let wide = |text: &str| width(text, size, bold);
    let space = wide(" ");
    let mut lines: Vec<String> = Vec::new();
    // Widths add up, because they leave kerning out.
    let (mut line, mut taken) = (String::new(), 0.0);
    for word in words(&drawable(text), |words| wide(words) <= most) {
        let own = wide(&word);
        if !line.is_empty() && taken + space + own <= most {
            line.push(' ');
            line.push_str(&word);
            taken += space + own;
            continue;
        }
        if !line.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        taken = 0.0;
        for part in word.split_inclusive('-') {
            let own = wide(part);
            if taken + own <= most {
                line.push_str(part);
                taken += own;
                continue;
            }
            if !line.is_empty() {
                lines.push(std::mem::take(&mut line));
            }
            taken = 0.0;
            for letter in part.chars() {
                let own = wide(letter.encode_utf8(&mut [0; 4]));
                if taken + own > most && !line.is_empty() {
                    lines.push(std::mem::take(&mut line));
                    taken = 0.0;
                }
                line.push(letter);
                taken += own;
            }
        }
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

/// The words of a text; a number and its unit are one, where both fit into a line.
fn words(text: &str, fits: impl Fn(&str) -> bool) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    for word in text.split(' ').filter(|word| !word.is_empty()) {
        let unit = word.trim_end_matches([',', '.', ';', ':', ')']);
        let is_unit = UNITS.contains(&unit);
        if let Some(number) =
            words.last_mut().filter(|last| is_unit && last.ends_with(|end: char| end.is_ascii_digit()))
        {
            let both = format!("{number} {word}");
            if fits(&both) {
                *number = both;
                continue;
            }
        }
        words.push(word.to_owned());
    }
    words
}

/// As [`wrapped`], with at most so many lines; what is left out is marked.
pub fn wrapped_to(text: &str, size: f64, bold: bool, most: f64, most_lines: usize) -> Vec<String> {
    let mut lines = wrapped(text, size, bold, most);
    if lines.len() > most_lines {
        lines.truncate(most_lines);
        if let Some(last) = lines.last_mut() {
            while !last.is_empty() && width(&format!("{last}{CUT}"), size, bold) > most {
                last.pop();
            }
            *last = format!("{}{CUT}", last.trim_end());
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_fit_and_lose_no_word() {
        let text = "Fermented sausage of 1.6 kg pork and 0.4 kg back fat, started on Saturday in the attic";
        let lines = wrapped(text, 9.5, false, 120.0);
        assert!(lines.len() > 3 && lines.iter().all(|line| width(line, 9.5, false) <= 120.0), "{lines:?}");
        assert_eq!(lines.join(" "), text);
    }

    #[test]
    fn a_word_without_end_is_broken() {
        let lines = wrapped(&"x".repeat(300), 9.5, false, 100.0);
        assert!(lines.iter().all(|line| width(line, 9.5, false) <= 100.0));
        assert_eq!(lines.concat().len(), 300);
    }

    #[test]
    fn a_number_stays_with_its_unit() {
        let lines = wrapped("highest room temperature below 33 °C, salt 50 g", 8.0, false, 126.0);
        assert_eq!(lines, ["highest room temperature", "below 33 °C, salt 50 g"]);
        let narrow = wrapped("665 °C-hours", 8.0, false, 50.0);
        assert_eq!(narrow, ["665", "°C-hours"]);
    }

    #[test]
    fn a_word_too_wide_is_broken_at_its_hyphen() {
        assert_eq!(wrapped("US-Gradstundensumme", 8.0, false, 86.0), ["US-", "Gradstundensumme"]);
    }

    #[test]
    fn what_is_cut_off_is_marked() {
        let lines = wrapped_to("one two three four five six seven eight", 9.5, false, 60.0, 2);
        assert_eq!(lines.len(), 2);
        assert!(lines[1].ends_with('…') && width(&lines[1], 9.5, false) <= 60.0, "{lines:?}");
    }

    #[test]
    fn nothing_is_no_line() {
        assert_eq!(wrapped(" \u{202e}\u{1f969} ", 9.5, false, 100.0), [""; 0]);
    }
}
