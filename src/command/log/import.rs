//! `/log import`: a data logger's file into a chamber, or a table of weighings into batches. Read, shown, and kept
//! only after a yes.

mod air;
mod refused;
mod shown;
mod standing;
mod weights;

use super::reading::{clock, echo};
use crate::command::Args;
use crate::command::asking::{Asking, Done, Outcome, Services};
use crate::command::error::{Code, UserError};
use crate::command::intake::AIR_CELSIUS;
use crate::command::line::shown as shortened;
use crate::command::spec::{OptionKind, Spec, maybe};
use crate::quantity::{MassUnit, TemperatureScale};
use crate::reply::say;
use crate::sheet::{self, Asked, DateOrder, DecimalSign, Rows};

/// The largest file that is taken, which is also what the chat platform takes without a paid plan.
pub const MOST_FILE_BYTES: usize = sheet::MOST_BYTES;

const DATES: &[&str] = &["day-first", "month-first"];
const DECIMAL: &[&str] = &["comma", "point"];
const UNITS: &[&str] = &["C", "F", "g", "kg", "oz", "lb"];

/// `/log import`
pub static SPEC: Spec = Spec {
    root: "log",
    verb: "import",
    aliases: &[],
    summary: "a data logger's file into a chamber, or a table of weighings into batches",
    options: &[
        maybe("file", OptionKind::File, "the file as text with columns: attached, or its path in a terminal"),
        maybe("chamber", OptionKind::Text, "whose air it is; your only chamber when not said"),
        maybe("batch", OptionKind::Batch, "of weighings whose columns name no batch: which batch"),
        maybe("unit", OptionKind::Choice(UNITS), "the unit, where the file has none"),
        maybe(
            "dates",
            OptionKind::Choice(DATES),
            "what stands first in 03/04/2026, where nothing in the file tells",
        ),
        maybe("decimal", OptionKind::Choice(DECIMAL), "the decimal sign, where 1.234 could be either"),
        maybe(
            "temperature-column",
            OptionKind::Text,
            "number of the column to take, where there are several",
        ),
        maybe("humidity-column", OptionKind::Text, "number of the column to take, where there are several"),
    ],
    examples: ["log import file:box.csv chamber:home", "log import file:weights.csv batch:B1 unit:g"],
    private: true,
};

/// A file to be kept.
#[derive(Debug, Clone)]
pub struct LogImport {
    file: Option<String>,
    chamber: Option<String>,
    batch: Option<String>,
    unit: Option<Unit>,
    dates: Option<DateOrder>,
    decimal: Option<DecimalSign>,
    columns: [Option<u32>; 2],
    /// The line as typed: a question's answers say more behind it.
    line: String,
}

#[derive(Debug, Clone, Copy)]
enum Unit {
    Temperature(TemperatureScale),
    Mass(MassUnit),
}

impl LogImport {
    /// Reads the options.
    pub fn read(args: Args<'_>) -> Result<Self, UserError> {
        let column = |name| -> Result<Option<u32>, UserError> {
            let typed = args.text(name).map(|typed| args.whole_number(name, typed)).transpose()?;
            // There is no such column, and it is said so.
            Ok(typed.map(|number| u32::try_from(number).unwrap_or(u32::MAX)))
        };
        Ok(Self {
            file: args.text("file").map(str::to_owned),
            chamber: args.text("chamber").map(str::to_owned),
            batch: args.text("batch").map(str::to_owned),
            unit: args.choice("unit", unit)?,
            dates: args.choice("dates", |word| match word {
                "day-first" => Some(DateOrder::DayFirst),
                "month-first" => Some(DateOrder::MonthFirst),
                _ => None,
            })?,
            decimal: args.choice("decimal", |word| match word {
                "comma" => Some(DecimalSign::Comma),
                "point" => Some(DecimalSign::Point),
                _ => None,
            })?,
            columns: [column("temperature-column")?, column("humidity-column")?],
            line: args.line().typed(),
        })
    }

    /// Carries it out.
    pub async fn perform(&self, services: &Services, asking: &Asking) -> Outcome {
        let Some(file) = asking.file.as_deref() else { return Err(self.no_file().into()) };
        // A season of minutes is read in less than a tenth of a second.
        let sheet = match sheet::read(&file.bytes, &self.asked(asking)) {
            Ok(sheet) => sheet,
            Err(refused) => {
                return match refused::question(&refused, &self.line) {
                    Some(question) => Ok(Done::question(question)),
                    None => Err(refused::error(&refused, file, asking).into()),
                };
            }
        };
        match &sheet.rows {
            Rows::Air(rows) => air::perform(self, &sheet, rows, file, (services, asking)).await,
            Rows::Weights(rows) => weights::perform(self, &sheet, rows, file, (services, asking)).await,
        }
    }

    /// What the line says where the file does not.
    fn asked(&self, asking: &Asking) -> Asked {
        let [temperature_column, humidity_column] = self.columns;
        let (temperature, mass) = match self.unit {
            Some(Unit::Temperature(scale)) => (Some(scale), None),
            Some(Unit::Mass(unit)) => (None, Some(unit)),
            None => (None, None),
        };
        Asked {
            air_celsius: AIR_CELSIUS,
            temperature,
            mass,
            date_order: self.dates,
            decimal_sign: self.decimal,
            temperature_column,
            humidity_column,
            ..Asked::new(asking.zone(), asking.now)
        }
    }

    /// A file is named here, and handed over by the front end.
    fn no_file(&self) -> UserError {
        match &self.file {
            Some(file) => {
                let sentence = say("log.import.not_there", &[("file", &shortened(file))]);
                UserError::new(Code::NoSuchThing, sentence, SPEC.examples[0])
            }
            None => UserError::new(Code::MissingOption, say("log.import.no_file", &[]), SPEC.examples[0]),
        }
    }
}

fn unit(word: &str) -> Option<Unit> {
    Some(match word {
        "c" => Unit::Temperature(TemperatureScale::Celsius),
        "f" => Unit::Temperature(TemperatureScale::Fahrenheit),
        "g" => Unit::Mass(MassUnit::Gram),
        "kg" => Unit::Mass(MassUnit::Kilogram),
        "oz" => Unit::Mass(MassUnit::Ounce),
        "lb" => Unit::Mass(MassUnit::Pound),
        _ => return None,
    })
}
