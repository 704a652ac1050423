//! Reads `tests/references/*.csv`: tables and worked examples typed from published pages.
//!
//! A file starts with comment lines `# source:`, `# where:`, `# standing:` and `# tolerance:`; the last one says
//! why ("…, because …"). A file without them is refused. After them come a header row and plain rows: commas
//! part the fields, there is no quoting, an empty field is "not given". Other comment lines are allowed anywhere.
//!
//! `standing` is one of `read`, `second_hand`, `derived`, `from_memory`, `practice`; or `by_row`, and then a column
//! `standing` says it for each row.

use std::collections::BTreeMap;
use std::path::Path;

const STANDINGS: [&str; 5] = ["read", "second_hand", "derived", "from_memory", "practice"];

/// A reference file.
pub(crate) struct Reference {
    file: String,
    /// The rows, in order.
    pub(crate) rows: Vec<Row>,
}

/// One row: column name to text.
pub(crate) struct Row {
    place: String,
    fields: BTreeMap<String, String>,
}

/// Reads a file of `tests/references`; panics with what is wrong with it.
pub(crate) fn load(file: &str) -> Reference {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/references").join(file);
    let text = std::fs::read_to_string(&path).unwrap_or_else(|mistake| panic!("{file}: {mistake}"));
    parse(file, &text).unwrap_or_else(|mistake| panic!("{mistake}"))
}

/// Reads the text of a reference file.
pub(crate) fn parse(file: &str, text: &str) -> Result<Reference, String> {
    let header = header(text);
    for key in ["source", "where", "standing", "tolerance"] {
        if header.get(key).is_none_or(String::is_empty) {
            return Err(format!("{file}: the header has no \"# {key}:\""));
        }
    }
    if !header["tolerance"].contains("because") {
        return Err(format!("{file}: \"# tolerance:\" must say why: \"…, because …\""));
    }
    let mut lines =
        text.lines().enumerate().filter(|(_, line)| !line.trim().is_empty() && !line.starts_with('#'));
    let (_, names) = lines.next().ok_or(format!("{file}: no header row"))?;
    let names: Vec<&str> = names.split(',').map(str::trim).collect();
    let rows =
        lines.map(|(index, line)| row(file, index + 1, line, &names)).collect::<Result<Vec<_>, _>>()?;
    if rows.is_empty() {
        return Err(format!("{file}: no rows"));
    }
    check_standing(file, &header["standing"], &rows)?;
    Ok(Reference { file: file.into(), rows })
}

fn header(text: &str) -> BTreeMap<String, String> {
    text.lines()
        .filter_map(|line| line.strip_prefix('#')?.split_once(':'))
        .map(|(key, value)| (key.trim().to_string(), value.trim().to_string()))
        .collect()
}

fn row(file: &str, number: usize, line: &str, names: &[&str]) -> Result<Row, String> {
    let fields: Vec<&str> = line.split(',').map(str::trim).collect();
    if fields.len() != names.len() {
        let (found, wanted) = (fields.len(), names.len());
        return Err(format!("{file}:{number}: {found} fields where {wanted} belong"));
    }
    let fields =
        names.iter().zip(fields).map(|(name, field)| ((*name).to_string(), field.to_string())).collect();
    Ok(Row { place: format!("{file}:{number}"), fields })
}

fn check_standing(file: &str, standing: &str, rows: &[Row]) -> Result<(), String> {
    if STANDINGS.contains(&standing) {
        return Ok(());
    }
    if standing != "by_row" {
        return Err(format!("{file}: \"{standing}\" is no standing"));
    }
    for row in rows {
        let own = row.fields.get("standing").map_or("", String::as_str);
        if !STANDINGS.contains(&own) {
            return Err(format!("{}: \"{own}\" is no standing", row.place));
        }
    }
    Ok(())
}

impl Reference {
    /// Holds every row against a check. All failures are reported together.
    pub(crate) fn each(&self, check: impl Fn(&Row) -> Result<(), String>) {
        let failures: Vec<String> = self
            .rows
            .iter()
            .filter_map(|row| check(row).err().map(|mistake| format!("{}: {mistake}", row.place)))
            .collect();
        assert!(failures.is_empty(), "{} fails:\n{}", self.file, failures.join("\n"));
    }
}

impl Row {
    /// A field that must be there.
    pub(crate) fn text(&self, name: &str) -> &str {
        self.optional(name).unwrap_or_else(|| panic!("{}: no \"{name}\"", self.place))
    }

    /// A field that may be empty.
    pub(crate) fn optional(&self, name: &str) -> Option<&str> {
        let field = self.fields.get(name).unwrap_or_else(|| panic!("{}: no column \"{name}\"", self.place));
        (!field.is_empty()).then_some(field.as_str())
    }

    /// A number that must be there.
    pub(crate) fn number(&self, name: &str) -> f64 {
        self.optional_number(name).unwrap_or_else(|| panic!("{}: no \"{name}\"", self.place))
    }

    /// A number that may be missing.
    pub(crate) fn optional_number(&self, name: &str) -> Option<f64> {
        let text = self.optional(name)?;
        let number = text.parse();
        Some(number.unwrap_or_else(|_| panic!("{}: \"{text}\" is not a number", self.place)))
    }

    /// Compares a computed figure with the field `name`, within an absolute tolerance.
    pub(crate) fn close(&self, name: &str, computed: f64, tolerance: f64) -> Result<(), String> {
        let printed = self.number(name);
        if (computed - printed).abs() <= tolerance {
            Ok(())
        } else {
            Err(format!("{name}: computed {computed}, printed {printed} ± {tolerance}"))
        }
    }
}

const GOOD: &str = "# source: a table\n# where: page 1\n# standing: read\n\
                    # tolerance: 1e-9, because it is exact\nid,value\nA,1.5\n";

#[test]
fn a_cited_file_is_read() {
    let reference = parse("good.csv", GOOD).unwrap();
    assert_eq!(reference.rows[0].text("id"), "A");
    assert!(reference.rows[0].close("value", 1.5, 0.0).is_ok());
    assert!(reference.rows[0].close("value", 1.6, 0.05).is_err());
    assert!(reference.rows[0].close("value", f64::NAN, 0.05).is_err());
}

#[test]
fn a_file_without_its_citation_is_refused() {
    for missing in ["# source: a table\n", "# where: page 1\n", "# standing: read\n"] {
        assert!(parse("bad.csv", &GOOD.replace(missing, "")).is_err(), "{missing}");
    }
    assert!(parse("bad.csv", &GOOD.replace(", because it is exact", "")).is_err());
    assert!(parse("bad.csv", &GOOD.replace("standing: read", "standing: surely")).is_err());
    assert!(parse("bad.csv", &GOOD.replace("standing: read", "standing: by_row")).is_err());
    assert!(parse("bad.csv", &GOOD.replace("A,1.5\n", "")).is_err());
    assert!(parse("bad.csv", &GOOD.replace("A,1.5", "A,1.5,2")).is_err());
}

#[test]
#[should_panic(expected = "computed 2")]
fn a_row_that_differs_fails() {
    parse("good.csv", GOOD).unwrap().each(|row| row.close("value", 2.0, 0.1));
}

/// Every reference file must be fit to be read, also one that no test has taken up yet.
#[test]
fn every_reference_file_is_cited() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/references");
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_some_and(|extension| extension == "csv") {
            load(&path.file_name().unwrap().to_string_lossy());
        }
    }
}
