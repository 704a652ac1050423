//! A chart as an image file.

use crate::chart::png::{PngError, png};
use crate::chart::svg::svg;
use crate::desk::Answered;
use crate::reply::say;
use std::fs::{self, File};
use std::io::{self, Write};
use std::path::Path;

/// Why there is no file.
#[derive(Debug, thiserror::Error)]
pub(super) enum PictureError {
    /// The answer has no chart.
    #[error("the answer has no chart")]
    NoChart,
    /// A fault of ours.
    #[error(transparent)]
    Drawing(#[from] PngError),
    /// The file cannot be written.
    #[error(transparent)]
    Writing(#[from] io::Error),
}

impl PictureError {
    /// What the member is told.
    pub(super) fn sentence(&self, path: &Path) -> String {
        let file = path.display().to_string();
        match self {
            Self::NoChart => say("terminal.no_chart", &[]),
            Self::Drawing(_) => say("terminal.chart_not_drawn", &[]),
            Self::Writing(cause) => {
                say("terminal.chart_not_written", &[("file", &file), ("why", &cause.to_string())])
            }
        }
    }
}

/// Writes the chart of an answer: the whole image or nothing, so that no half of one lies where a script looks.
pub(super) fn write(answered: &Answered, path: &Path) -> Result<(), PictureError> {
    let chart = match answered {
        Answered::Reply(reply) => reply.chart.as_ref(),
        _ => None,
    };
    let image = png(&svg(chart.ok_or(PictureError::NoChart)?))?;
    Ok(whole_or_nothing(path, &image)?)
}

/// Writes a file beside its place and puts it there when it is whole.
pub(super) fn whole_or_nothing(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let Some(name) = path.file_name().filter(|_| !path.is_dir()) else {
        return Err(io::Error::from(io::ErrorKind::IsADirectory));
    };
    let mut beside = name.to_owned();
    beside.push(format!(".{}.part", std::process::id()));
    let beside = path.with_file_name(beside);
    let written = whole(&beside, bytes).and_then(|()| fs::rename(&beside, path));
    if written.is_err() {
        // What could not be put in its place is of no use; that it may not be there is as good.
        let _ = fs::remove_file(&beside);
    }
    written
}

fn whole(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let mut file = File::create(path)?;
    file.write_all(bytes)?;
    file.sync_all()
}
