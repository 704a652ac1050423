//! Messages with files. One file goes by the library. Of several it (0.12.5) numbers each 0 where a request is made by
//! hand, so that each would be taken for the first; here they are numbered as the body names them. The rest of such a
//! request is the library's: address, token, errors. Its limiter is passed by, so it is kept for what is rare: answers that
//! carry several files.

use super::{Api, Upload};
use reqwest::header::CONTENT_LENGTH;
use reqwest::multipart::{Form, Part};
use serde_json::Value;
use serenity::builder::CreateAttachment;
use serenity::http::{ErrorResponse, HttpError, Multipart, MultipartUpload, Request};

/// A body with the one file that it names.
pub(super) fn with_one(body: &Value, file: &Upload) -> Multipart {
    let attachment = CreateAttachment::bytes(file.bytes.as_slice(), file.name.as_str());
    Multipart {
        upload: MultipartUpload::Attachments(vec![attachment]),
        fields: Vec::new(),
        payload_json: Some(body.to_string()),
    }
}

impl Api {
    /// Sends a body with several files.
    pub(super) async fn with_several(
        &self,
        request: Request<'_>,
        body: &Value,
        files: &[Upload],
    ) -> Result<reqwest::Response, serenity::Error> {
        let built = request.build(&self.client, self.http.token(), self.http.proxy.as_deref())?;
        let mut built = built.multipart(form(body, files)?).build()?;
        // The library has said that nothing is in it.
        built.headers_mut().remove(CONTENT_LENGTH);
        let method = built.method().clone();
        let response = self.client.execute(built).await?;
        if response.status().is_success() {
            return Ok(response);
        }
        let refused = ErrorResponse::from_response(response, method).await;
        Err(HttpError::UnsuccessfulRequest(refused).into())
    }
}

/// The body and the files, in the order the body names them.
fn form(body: &Value, files: &[Upload]) -> Result<Form, reqwest::Error> {
    let mut form = Form::new();
    for (position, file) in files.iter().enumerate() {
        let part = Part::bytes(file.bytes.clone()).file_name(file.name.clone());
        form = form.part(format!("files[{position}]"), part.mime_str(media_type(&file.name))?);
    }
    Ok(form.text("payload_json", body.to_string()))
}

/// What sort of file it is, by its ending: those that are sent, and bytes of any sort.
fn media_type(name: &str) -> &'static str {
    match name.rsplit_once('.').map(|(_, ending)| ending) {
        Some("json") => "application/json",
        Some("csv") => "text/csv",
        Some("pdf") => "application/pdf",
        Some("png") => "image/png",
        _ => "application/octet-stream",
    }
}
