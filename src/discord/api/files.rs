//! Files that are sent and fetched. One file of a message goes by the library. Of several it (0.12.5) numbers each 0 where
//! a request is made by hand, so that each would be taken for the first; here they are numbered as the body names them. The
//! rest of such a request is the library's: address, token, errors. Its limiter is passed by, so it is kept for what is
//! rare: answers that carry several files.

use super::{Api, Upload};
use crate::discord::attached::OwnAddress;
use reqwest::StatusCode;
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

/// Why a file was not fetched. Nothing of its address is in it.
#[derive(Debug, thiserror::Error)]
pub(in crate::discord) enum NotFetched {
    /// There is more of it than is taken.
    #[error("it is too large")]
    TooLarge,
    /// It is not there, or said to be elsewhere, where nobody follows.
    #[error("the answer was {0}")]
    NotThere(u16),
    /// The way broke.
    #[error("{0}")]
    Broken(reqwest::Error),
}

impl From<reqwest::Error> for NotFetched {
    fn from(error: reqwest::Error) -> Self {
        Self::Broken(error.without_url())
    }
}

impl Api {
    /// Fetches a file from one of the platform's own hosts: without the token, and no more of it than is taken.
    pub(in crate::discord) async fn fetch(
        &self,
        address: &OwnAddress,
        most: usize,
    ) -> Result<Vec<u8>, NotFetched> {
        let mut response = self.client.get(address.parsed().clone()).send().await?;
        if response.status() != StatusCode::OK {
            return Err(NotFetched::NotThere(response.status().as_u16()));
        }
        let mut bytes = Vec::new();
        while let Some(chunk) = response.chunk().await? {
            bytes.extend_from_slice(&chunk);
            if bytes.len() > most {
                return Err(NotFetched::TooLarge);
            }
        }
        Ok(bytes)
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
