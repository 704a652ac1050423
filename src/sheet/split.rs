//! Delimited text to records of cells (RFC 4180), with the line each begins in.
//!
//! Lenient where loggers are: blanks around a cell are taken off, records may differ in length, a quotation mark
//! inside a bare cell is a letter. Written here because a fault names its line: what is said of line 7 has to be
//! line 7 of the file, also after blank lines, CR LF and cells of several lines.

use super::refused::Refused;
use std::borrow::Cow;

/// Most records that are read.
pub(super) const MOST_RECORDS: usize = 1_000_000;
/// Most cells in all: what keeps a file of nothing but delimiters from filling the memory.
const MOST_CELLS: usize = 6_000_000;

/// A line of cells, or several lines where a quoted cell goes over their end.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct Record<'a> {
    /// The line it begins in, the first is 1.
    pub(super) line: u32,
    pub(super) cells: Vec<Cow<'a, str>>,
}

impl Record<'_> {
    /// The cell of an index; nothing where the record is shorter.
    pub(super) fn cell(&self, index: usize) -> &str {
        self.cells.get(index).map_or("", |cell| cell)
    }

    /// Cells up to the last that is not empty.
    pub(super) fn filled(&self) -> usize {
        self.cells.iter().rposition(|cell| !cell.is_empty()).map_or(0, |last| last + 1)
    }
}

/// The records of a text.
pub(super) struct Records<'a> {
    text: &'a str,
    delimiter: u8,
    at: usize,
    line: u32,
    pub(super) quoted: bool,
}

impl<'a> Records<'a> {
    pub(super) fn new(text: &'a str, delimiter: u8) -> Self {
        Self { text, delimiter, at: 0, line: 1, quoted: false }
    }

    /// Every record that holds anything.
    pub(super) fn all(&mut self) -> Result<Vec<Record<'a>>, Refused> {
        let mut records = Vec::new();
        let mut cells = 0;
        while let Some(record) = self.read()? {
            cells += record.cells.len();
            if records.len() >= MOST_RECORDS || cells > MOST_CELLS {
                return Err(Refused::TooLong { line: record.line });
            }
            if record.filled() > 0 {
                records.push(record);
            }
        }
        Ok(records)
    }

    /// The first records that hold anything, as far as they can be read.
    pub(super) fn sample(&mut self, count: usize) -> Vec<Record<'a>> {
        let mut records = Vec::new();
        while let Ok(Some(record)) = self.read() {
            if record.filled() > 0 {
                records.push(record);
            }
            if records.len() == count {
                break;
            }
        }
        records
    }

    fn read(&mut self) -> Result<Option<Record<'a>>, Refused> {
        if self.at >= self.text.len() {
            return Ok(None);
        }
        let mut record = Record { line: self.line, cells: Vec::with_capacity(4) };
        loop {
            let (cell, ended) = self.cell()?;
            record.cells.push(cell);
            if record.cells.len() > MOST_CELLS {
                return Err(Refused::TooLong { line: record.line });
            }
            if ended {
                return Ok(Some(record));
            }
        }
    }

    /// One cell, and whether the record ends with it.
    fn cell(&mut self) -> Result<(Cow<'a, str>, bool), Refused> {
        let rest = &self.text.as_bytes()[self.at..];
        let blanks = rest.iter().take_while(|byte| **byte == b' ').count();
        if rest.get(blanks) == Some(&b'"') {
            self.at += blanks + 1;
            self.quoted = true;
            return self.quoted_cell();
        }
        let from = self.at;
        let end = self.end_of_bare(from);
        Ok((Cow::Borrowed(self.text[from..end].trim()), self.step_over(end)))
    }

    fn end_of_bare(&self, from: usize) -> usize {
        let bytes = &self.text.as_bytes()[from..];
        let delimiter = self.delimiter;
        let length = bytes.iter().position(|byte| *byte == delimiter || *byte == b'\n');
        from + length.unwrap_or(bytes.len())
    }

    /// Goes past what ends a cell; true where the record ends.
    fn step_over(&mut self, end: usize) -> bool {
        self.at = end + 1;
        match self.text.as_bytes().get(end) {
            Some(byte) if *byte == self.delimiter => false,
            Some(_) => {
                self.line += 1;
                true
            }
            None => true,
        }
    }

    fn quoted_cell(&mut self) -> Result<(Cow<'a, str>, bool), Refused> {
        let opened = self.line;
        let bytes = self.text.as_bytes();
        let from = self.at;
        let mut doubled = false;
        let mut at = from;
        loop {
            match bytes.get(at) {
                None => return Err(Refused::QuoteOpen { line: opened }),
                Some(b'"') if bytes.get(at + 1) == Some(&b'"') => {
                    doubled = true;
                    at += 2;
                }
                Some(b'"') => break,
                Some(byte) => {
                    self.line += u32::from(*byte == b'\n');
                    at += 1;
                }
            }
        }
        let inside = &self.text[from..at];
        let inside = if doubled { Cow::Owned(inside.replace("\"\"", "\"")) } else { Cow::Borrowed(inside) };
        let end = self.end_of_bare(at + 1);
        // What stands after the closing mark belongs to the cell: no character is lost.
        let tail = self.text[at + 1..end].trim();
        let cell = match (inside, tail.is_empty()) {
            (Cow::Borrowed(text), true) => Cow::Borrowed(text.trim()),
            (text, _) => Cow::Owned(format!("{}{tail}", text.trim())),
        };
        Ok((cell, self.step_over(end)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn split(text: &str) -> Vec<(u32, Vec<String>)> {
        let records = Records::new(text, b',').all().unwrap();
        records
            .into_iter()
            .map(|record| (record.line, record.cells.into_iter().map(Cow::into_owned).collect()))
            .collect()
    }

    #[test]
    fn the_examples_of_rfc_4180() {
        // RFC 4180, section 2, rules 1, 2, 5, 6 and 7.
        assert_eq!(split("aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n").len(), 2);
        assert_eq!(
            split("aaa,bbb,ccc\r\nzzz,yyy,xxx")[1],
            (2, vec!["zzz".into(), "yyy".into(), "xxx".into()])
        );
        assert_eq!(split("\"aaa\",\"bbb\",\"ccc\"\r\nzzz,yyy,xxx")[0].1, ["aaa", "bbb", "ccc"]);
        let over = split("\"aaa\",\"b\r\nbb\",\"ccc\"\r\nzzz,yyy,xxx");
        assert_eq!((over[0].0, over[0].1[1].as_str(), over[1].0), (1, "b\r\nbb", 3));
        assert_eq!(split("\"aaa\",\"b\"\"bb\",\"ccc\"")[0].1[1], "b\"bb");
    }

    #[test]
    fn lines_are_those_of_the_file() {
        let lines: Vec<u32> =
            split("a\r\n\r\n\r\nb,1\r\n,,\r\nc").into_iter().map(|(line, _)| line).collect();
        assert_eq!(lines, [1, 4, 6]);
    }

    #[test]
    fn a_mark_that_is_never_closed_is_named_by_its_line() {
        let open = Records::new("a,b\n1,\"2\n3,4\n", b',').all();
        assert_eq!(open, Err(Refused::QuoteOpen { line: 2 }));
        assert_eq!(split("probe 5\",x")[0].1, ["probe 5\"", "x"]);
        assert_eq!(split("\"a\" b, c ")[0].1, ["ab", "c"]);
    }
}
