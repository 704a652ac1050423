//! How a file is laid out: one entry, one row, one reminder a line, so that a place is found by its line and a season of
//! rows stays small.

use super::document::RecordFile;
use serde::Serialize;
use serde_json::Serializer;
use serde_json::ser::Formatter;
use std::io::{self, Write};

/// How deep things stand in lines of their own: the fields of the file, and what its lists hold.
const IN_LINES: usize = 2;

impl RecordFile {
    /// The file's bytes.
    ///
    /// # Errors
    /// Where a number is none.
    pub fn written(&self) -> Result<Vec<u8>, serde_json::Error> {
        let mut bytes = Vec::new();
        self.serialize(&mut Serializer::with_formatter(&mut bytes, Lines::default()))?;
        bytes.push(b'\n');
        Ok(bytes)
    }
}

/// New lines near the surface, none further down.
#[derive(Debug, Default)]
struct Lines {
    depth: usize,
}

impl Lines {
    fn begin<W: ?Sized + Write>(&mut self, out: &mut W, sign: &[u8]) -> io::Result<()> {
        self.depth += 1;
        out.write_all(sign)
    }

    fn end<W: ?Sized + Write>(&mut self, out: &mut W, sign: &[u8]) -> io::Result<()> {
        self.depth -= 1;
        if self.depth < IN_LINES {
            self.line(out)?;
        }
        out.write_all(sign)
    }

    fn part<W: ?Sized + Write>(&self, out: &mut W, is_first: bool) -> io::Result<()> {
        if !is_first {
            out.write_all(b",")?;
        }
        if self.depth <= IN_LINES {
            self.line(out)?;
        }
        Ok(())
    }

    fn line<W: ?Sized + Write>(&self, out: &mut W) -> io::Result<()> {
        out.write_all(b"\n")?;
        out.write_all(" ".repeat(self.depth).as_bytes())
    }
}

impl Formatter for Lines {
    fn begin_array<W: ?Sized + Write>(&mut self, out: &mut W) -> io::Result<()> {
        self.begin(out, b"[")
    }

    fn end_array<W: ?Sized + Write>(&mut self, out: &mut W) -> io::Result<()> {
        self.end(out, b"]")
    }

    fn begin_array_value<W: ?Sized + Write>(&mut self, out: &mut W, is_first: bool) -> io::Result<()> {
        self.part(out, is_first)
    }

    fn begin_object<W: ?Sized + Write>(&mut self, out: &mut W) -> io::Result<()> {
        self.begin(out, b"{")
    }

    fn end_object<W: ?Sized + Write>(&mut self, out: &mut W) -> io::Result<()> {
        self.end(out, b"}")
    }

    fn begin_object_key<W: ?Sized + Write>(&mut self, out: &mut W, is_first: bool) -> io::Result<()> {
        self.part(out, is_first)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_list_holds_stands_in_lines_of_its_own() {
        let mut bytes = Vec::new();
        let value = serde_json::json!({"a": [{"b": [1, {"c": 2}]}, 3], "d": {"e": [4]}, "f": []});
        value.serialize(&mut Serializer::with_formatter(&mut bytes, Lines::default())).unwrap();
        let text = String::from_utf8(bytes).unwrap();
        let lines = [
            "{",
            " \"a\":[",
            "  {\"b\":[1,{\"c\":2}]},",
            "  3",
            " ],",
            " \"d\":{",
            "  \"e\":[4]",
            " },",
            " \"f\":[",
            " ]",
            "}",
        ];
        assert_eq!(text.lines().collect::<Vec<_>>(), lines);
        assert_eq!(serde_json::from_str::<serde_json::Value>(&text).unwrap(), value);
    }
}
