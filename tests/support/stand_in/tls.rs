//! TLS for the platform's name, so that a client with its rate limiter on can be sent to loopback.

use std::io;
use std::pin::Pin;
use std::sync::Arc;
use std::task::{Context, Poll};

use tokio::io::{AsyncRead, AsyncWrite, ReadBuf};
use tokio::net::TcpStream;
use tokio_rustls::TlsAcceptor;
use tokio_rustls::rustls::ServerConfig;
use tokio_rustls::rustls::crypto::ring;
use tokio_rustls::rustls::pki_types::PrivateKeyDer;
use tokio_rustls::server::TlsStream;

/// A self-signed certificate for `discord.com`, made anew for every stand-in.
#[derive(Clone)]
pub struct Identity {
    acceptor: TlsAcceptor,
    pub certificate_pem: String,
}

impl Identity {
    pub fn new() -> Self {
        let made = rcgen::generate_simple_self_signed(vec!["discord.com".to_owned()]).unwrap();
        let key = PrivateKeyDer::try_from(made.key_pair.serialize_der()).unwrap();
        let config = ServerConfig::builder_with_provider(Arc::new(ring::default_provider()))
            .with_safe_default_protocol_versions()
            .unwrap()
            .with_no_client_auth()
            .with_single_cert(vec![made.cert.der().clone()], key)
            .unwrap();
        Self { acceptor: TlsAcceptor::from(Arc::new(config)), certificate_pem: made.cert.pem() }
    }

    pub async fn accept(&self, stream: TcpStream) -> io::Result<TlsStream<TcpStream>> {
        self.acceptor.accept(stream).await
    }
}

/// Bytes with or without TLS.
pub enum Wire {
    Plain(TcpStream),
    Secured(Box<TlsStream<TcpStream>>),
}

impl AsyncRead for Wire {
    fn poll_read(
        mut self: Pin<&mut Self>,
        cx: &mut Context<'_>,
        buf: &mut ReadBuf<'_>,
    ) -> Poll<io::Result<()>> {
        match &mut *self {
            Self::Plain(stream) => Pin::new(stream).poll_read(cx, buf),
            Self::Secured(stream) => Pin::new(stream).poll_read(cx, buf),
        }
    }
}

impl AsyncWrite for Wire {
    fn poll_write(mut self: Pin<&mut Self>, cx: &mut Context<'_>, buf: &[u8]) -> Poll<io::Result<usize>> {
        match &mut *self {
            Self::Plain(stream) => Pin::new(stream).poll_write(cx, buf),
            Self::Secured(stream) => Pin::new(stream).poll_write(cx, buf),
        }
    }

    fn poll_flush(mut self: Pin<&mut Self>, cx: &mut Context<'_>) -> Poll<io::Result<()>> {
        match &mut *self {
            Self::Plain(stream) => Pin::new(stream).poll_flush(cx),
            Self::Secured(stream) => Pin::new(stream).poll_flush(cx),
        }
    }

    fn poll_shutdown(mut self: Pin<&mut Self>, cx: &mut Context<'_>) -> Poll<io::Result<()>> {
        match &mut *self {
            Self::Plain(stream) => Pin::new(stream).poll_shutdown(cx),
            Self::Secured(stream) => Pin::new(stream).poll_shutdown(cx),
        }
    }
}
