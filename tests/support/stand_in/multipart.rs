//! Bodies with files: `payload_json` and `files[n]`.

use axum::body::Bytes;
use serde_json::Value;

/// An uploaded file.
#[derive(Debug, Clone)]
pub struct File {
    /// The name of the part, `files[0]`.
    pub part: String,
    pub filename: String,
    pub content_type: String,
    pub bytes: Vec<u8>,
}

impl File {
    /// The number in `files[n]`.
    pub fn number(&self) -> Option<u64> {
        self.part.strip_prefix("files[")?.strip_suffix(']')?.parse().ok()
    }
}

/// What a body holds, whatever its type; `None` where it can't be read.
pub async fn read(content_type: &str, body: Bytes) -> Option<(Value, Vec<File>)> {
    let Ok(boundary) = multer::parse_boundary(content_type) else {
        let empty = body.is_empty();
        let value = if empty { Value::Null } else { serde_json::from_slice(&body).ok()? };
        return Some((value, Vec::new()));
    };
    let stream = axum::body::Body::from(body).into_data_stream();
    let mut parts = multer::Multipart::new(stream, boundary);
    let (mut payload, mut files) = (Value::Null, Vec::new());
    while let Some(part) = parts.next_field().await.ok()? {
        let name = part.name().unwrap_or_default().to_owned();
        let filename = part.file_name().map(str::to_owned);
        let content_type = part.content_type().map(ToString::to_string);
        let bytes = part.bytes().await.ok()?.to_vec();
        if name == "payload_json" {
            payload = serde_json::from_slice(&bytes).ok()?;
        } else {
            let filename = filename.unwrap_or_else(|| "unknown".to_owned());
            let content_type = content_type.unwrap_or_else(|| guess(&filename).to_owned());
            files.push(File { part: name, filename, content_type, bytes });
        }
    }
    Some((payload, files))
}

/// The type by the ending, for parts that carry none.
pub fn guess(filename: &str) -> &'static str {
    match filename.rsplit('.').next() {
        Some("png") => "image/png",
        Some("jpg" | "jpeg") => "image/jpeg",
        Some("csv") => "text/csv",
        Some("json") => "application/json",
        Some("txt") => "text/plain",
        _ => "application/octet-stream",
    }
}
