//! HTTP by hand over the loopback, to send what no library would.

use std::net::SocketAddr;
use std::time::Duration;
use tokio::io::{AsyncReadExt, AsyncWriteExt};
use tokio::net::TcpStream;

/// Longest wait for an answer before a test fails.
const PATIENCE: Duration = Duration::from_secs(20);

/// Opens a connection and sends bytes.
pub async fn send(address: SocketAddr, bytes: &[u8]) -> TcpStream {
    let mut stream = TcpStream::connect(address).await.unwrap();
    stream.write_all(bytes).await.unwrap();
    stream
}

/// Reads until the server closes the connection.
pub async fn rest(stream: &mut TcpStream) -> String {
    let mut answer = Vec::new();
    let read = tokio::time::timeout(PATIENCE, stream.read_to_end(&mut answer)).await;
    // A reset after the answer is as good as an end.
    let _ = read.expect("the server neither answers nor closes");
    String::from_utf8_lossy(&answer).into_owned()
}

/// Sends a whole request and reads the whole answer.
pub async fn exchange(address: SocketAddr, request: &[u8]) -> String {
    rest(&mut send(address, request).await).await
}

/// Head of a request whose connection is closed after the answer.
pub fn head(line: &str, address: SocketAddr, further: &str) -> String {
    format!("{line} HTTP/1.1\r\nhost: {address}\r\nconnection: close\r\n{further}\r\n")
}

/// A GET.
pub async fn get(address: SocketAddr, path: &str) -> String {
    exchange(address, head(&format!("GET {path}"), address, "").as_bytes()).await
}

/// Drops a program.
pub async fn post(address: SocketAddr, name: &str, body: &[u8]) -> String {
    let length = format!("content-length: {}\r\n", body.len());
    let head = head(&format!("POST /api/v1/programs?name={name}"), address, &length);
    exchange(address, &[head.as_bytes(), body].concat()).await
}
