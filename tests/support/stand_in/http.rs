//! The HTTP interface: one handler that records, strikes with faults, checks the token and finds the route.

use std::io;
use std::net::SocketAddr;
use std::pin::Pin;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::task::{Context, Poll};

use axum::Router;
use axum::extract::connect_info::Connected;
use axum::extract::{ConnectInfo, Request, State as Shared};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use axum::routing::any;
use axum::serve::{IncomingStream, Listener};
use serde_json::{Value, json};
use tokio::io::{AsyncRead, AsyncWrite, ReadBuf};
use tokio::net::TcpListener;

use super::faults::Action;
use super::multipart::{self, File};
use super::record::Recorded;
use super::refusal::Refusal;
use super::tls::{self, Wire};
use super::{Inner, State, gateway, routes};

/// Most bytes of a body (the platform's reference names 25 MiB).
const MOST_BYTES: usize = 26 * 1024 * 1024;

/// A request as the routes see it.
pub struct Call {
    pub method: String,
    pub path: String,
    pub query: Vec<(String, String)>,
    pub body: Value,
    pub files: Vec<File>,
}

/// What a route answers: a status and, but for 204, a body.
pub type Outcome = Result<(u16, Value), Refusal>;

/// Whether this connection is to end without another byte.
#[derive(Debug, Clone, Default)]
pub struct Cut(Arc<AtomicBool>);

/// A connection that can be cut from inside a handler.
pub struct Connection {
    wire: Wire,
    cut: Cut,
}

/// Accepts connections, with TLS or without.
pub struct Door {
    pub listener: TcpListener,
    pub tls: Option<tls::Identity>,
}

impl Listener for Door {
    type Io = Connection;
    type Addr = SocketAddr;

    async fn accept(&mut self) -> (Connection, SocketAddr) {
        loop {
            let Ok((stream, address)) = self.listener.accept().await else { continue };
            let _ = stream.set_nodelay(true);
            let wire = match &self.tls {
                None => Wire::Plain(stream),
                Some(identity) => match identity.accept(stream).await {
                    Ok(stream) => Wire::Secured(Box::new(stream)),
                    Err(_) => continue,
                },
            };
            return (Connection { wire, cut: Cut::default() }, address);
        }
    }

    fn local_addr(&self) -> io::Result<SocketAddr> {
        self.listener.local_addr()
    }
}

impl Connected<IncomingStream<'_, Door>> for Cut {
    fn connect_info(stream: IncomingStream<'_, Door>) -> Self {
        stream.io().cut.clone()
    }
}

impl Connection {
    fn wire(&mut self) -> io::Result<Pin<&mut Wire>> {
        if self.cut.0.load(Ordering::SeqCst) {
            return Err(io::ErrorKind::ConnectionAborted.into());
        }
        Ok(Pin::new(&mut self.wire))
    }
}

impl AsyncRead for Connection {
    fn poll_read(
        mut self: Pin<&mut Self>,
        cx: &mut Context<'_>,
        buf: &mut ReadBuf<'_>,
    ) -> Poll<io::Result<()>> {
        self.wire()?.poll_read(cx, buf)
    }
}

impl AsyncWrite for Connection {
    fn poll_write(mut self: Pin<&mut Self>, cx: &mut Context<'_>, buf: &[u8]) -> Poll<io::Result<usize>> {
        self.wire()?.poll_write(cx, buf)
    }

    fn poll_flush(mut self: Pin<&mut Self>, cx: &mut Context<'_>) -> Poll<io::Result<()>> {
        self.wire()?.poll_flush(cx)
    }

    fn poll_shutdown(mut self: Pin<&mut Self>, cx: &mut Context<'_>) -> Poll<io::Result<()>> {
        self.wire()?.poll_shutdown(cx)
    }
}

/// Serves until the task is dropped.
pub async fn serve(door: Door, inner: Arc<Inner>) {
    let router = Router::new()
        .route("/", any(gateway::upgrade))
        .fallback(handle)
        .with_state(inner)
        .into_make_service_with_connect_info::<Cut>();
    if let Err(error) = axum::serve(door, router).await {
        panic!("the stand-in stopped serving: {error}");
    }
}

async fn handle(
    Shared(inner): Shared<Arc<Inner>>,
    ConnectInfo(cut): ConnectInfo<Cut>,
    request: Request,
) -> Response {
    let (head, body) = request.into_parts();
    let text = |name: &str| head.headers.get(name).and_then(|value| value.to_str().ok()).unwrap_or_default();
    let whole_path = head.uri.path().to_owned();
    if let Some(file) = inner.with(|state| routes::attachment(state, &whole_path)) {
        // Files lie on a host of their own, which is no part of the described interface.
        return file.into_response();
    }
    let path = whole_path.strip_prefix("/api/v10").unwrap_or_default().to_owned();
    let query = head.uri.query().unwrap_or_default();
    let query: Vec<(String, String)> = query
        .split('&')
        .filter_map(|pair| pair.split_once('='))
        .map(|(key, value)| (key.to_owned(), value.to_owned()))
        .collect();
    let bytes = axum::body::to_bytes(body, MOST_BYTES).await.unwrap_or_default();
    let read = multipart::read(text("content-type"), bytes).await;
    let unreadable = read.is_none();
    let (body, files) = read.unwrap_or_default();
    let call = Call { method: head.method.to_string(), path, query, body, files };
    let authorized = text("authorization") == format!("Bot {}", inner.options.token);
    answer(&inner, &cut, call, authorized, unreadable).await
}

#[expect(clippy::disallowed_methods, reason = "a late answer is late by the machine's time")]
async fn answer(inner: &Inner, cut: &Cut, call: Call, authorized: bool, unreadable: bool) -> Response {
    let action = inner.with(|state| strike(state, &call));
    if let Some(Action::Delay(pause)) = &action {
        tokio::time::sleep(*pause).await;
    }
    let mut headers = Vec::new();
    let (status, response) = match &action {
        Some(Action::DropBefore) => (0, Value::Null),
        Some(Action::Status { code, body, headers: added }) => {
            headers.clone_from(added);
            (*code, body.clone())
        }
        Some(Action::TooMany { retry_after_seconds, global }) => {
            headers = too_many(*retry_after_seconds, *global);
            let message = "You are being rate limited.";
            let body = json!({ "message": message, "retry_after": retry_after_seconds, "global": global, "code": 0 });
            (429, body)
        }
        _ => inner.with(|state| carry_out(state, inner, &call, authorized, unreadable)),
    };
    if let Some(Action::Headers(added)) = &action {
        headers.clone_from(added);
    }
    let dropped = matches!(action, Some(Action::DropBefore | Action::DropAfter));
    inner.with(|state| {
        let files = call.files.iter().map(|file| (file.part.clone(), file.filename.clone())).collect();
        state.records.push(Recorded {
            method: call.method,
            path: call.path,
            query: call.query,
            body: call.body,
            files,
            status: if dropped { 0 } else { status },
            response: response.clone(),
            at: state.world.clock.now(),
        });
    });
    if dropped {
        cut.0.store(true, Ordering::SeqCst);
        return StatusCode::INTERNAL_SERVER_ERROR.into_response();
    }
    respond(status, &response, headers)
}

fn respond(status: u16, response: &Value, headers: Vec<(String, String)>) -> Response {
    let mut built = Response::builder().status(status);
    for (name, value) in headers {
        built = built.header(name, value);
    }
    let text = if response.is_null() { String::new() } else { response.to_string() };
    built.header("content-type", "application/json").body(text.into()).unwrap()
}

fn too_many(retry_after_seconds: f64, global: bool) -> Vec<(String, String)> {
    let mut headers = vec![
        ("retry-after".to_owned(), retry_after_seconds.to_string()),
        ("x-ratelimit-reset-after".to_owned(), retry_after_seconds.to_string()),
        ("x-ratelimit-scope".to_owned(), if global { "global" } else { "user" }.to_owned()),
    ];
    if global {
        headers.push(("x-ratelimit-global".to_owned(), "true".to_owned()));
    }
    headers
}

fn strike(state: &mut State, call: &Call) -> Option<Action> {
    let fault = state.faults.iter_mut().find(|fault| fault.fits(&call.method, &call.path))?;
    fault.times -= 1;
    Some(fault.action.clone())
}

fn carry_out(
    state: &mut State,
    inner: &Inner,
    call: &Call,
    authorized: bool,
    unreadable: bool,
) -> (u16, Value) {
    if unreadable {
        return (400, json!({ "code": 50109, "message": "The request body contains invalid JSON." }));
    }
    match routes::route(state, inner, call, authorized) {
        Ok(answer) => answer,
        Err(refusal) => (refusal.status, refusal.body),
    }
}
