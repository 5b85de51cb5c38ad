//! What came with a request: the fields of its address or its form, and a file where the form has one.

use super::problem::BenchProblem;
use axum::body::Body;
use axum::extract::multipart::{Field, MultipartError};
use axum::extract::{Form, FromRequest, Multipart, Query, Request};
use axum::http::header::CONTENT_TYPE;
use axum::http::request::Parts;
use axum::http::{HeaderMap, Method, StatusCode};

/// The fields by name, and the bytes of a file.
pub type Received = (Vec<(String, String)>, Option<Vec<u8>>);

/// A form has at most so many fields.
const MOST_FIELDS: usize = 200;

/// Does a request bring a file?
pub fn is_upload(headers: &HeaderMap) -> bool {
    let kind = headers
        .get(CONTENT_TYPE)
        .and_then(|kind| kind.to_str().ok());
    kind.is_some_and(|kind| kind.starts_with("multipart/form-data"))
}

/// The fields of a request.
pub async fn fields_of(parts: Parts, body: Body) -> Result<Received, BenchProblem> {
    if parts.method != Method::POST {
        let query = Query::<Vec<(String, String)>>::try_from_uri(&parts.uri);
        let query = query.map_err(|_| {
            BenchProblem::new(
                StatusCode::BAD_REQUEST,
                "The address of this page cannot be read.",
                "Go back and use the buttons.",
            )
        })?;
        return Ok((query.0, None));
    }
    let is_upload = is_upload(&parts.headers);
    let request = Request::from_parts(parts, body);
    if is_upload {
        return with_file(request).await;
    }
    let form = Form::<Vec<(String, String)>>::from_request(request, &()).await;
    let form = form.map_err(|rejection| unread_form(rejection.status()))?;
    Ok((form.0, None))
}

async fn with_file(request: Request) -> Result<Received, BenchProblem> {
    let form = Multipart::from_request(request, &()).await;
    let mut form = form.map_err(|rejection| unread_form(rejection.status()))?;
    let unread = |fault: MultipartError| unread_form(fault.status());
    let (mut fields, mut file) = (Vec::new(), None);
    while let Some(field) = form.next_field().await.map_err(unread)? {
        let name = field.name().unwrap_or_default().to_string();
        if fields.len() >= MOST_FIELDS {
            return Err(unread_form(StatusCode::BAD_REQUEST));
        }
        match field.file_name().is_some() {
            true => {
                // A form without a chosen file sends an empty one.
                let bytes = field.bytes().await.map_err(unread)?;
                file = file.or((!bytes.is_empty()).then(|| bytes.to_vec()));
            }
            false => fields.push((name, text(field).await?)),
        }
    }
    Ok((fields, file))
}

async fn text(field: Field<'_>) -> Result<String, BenchProblem> {
    let bytes = field
        .bytes()
        .await
        .map_err(|fault| unread_form(fault.status()))?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

fn unread_form(status: StatusCode) -> BenchProblem {
    match status {
        StatusCode::PAYLOAD_TOO_LARGE => BenchProblem::new(
            status,
            "What was sent is too large.",
            "Write less, or choose a smaller file. A photo has at most 8 MB.",
        ),
        status => BenchProblem::new(
            status,
            "The form did not arrive as a form.",
            "Open the page again and send the form from there.",
        ),
    }
}
