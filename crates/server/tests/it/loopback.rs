//! The server on a socket: restart, stop, slow and rude clients.

use crate::desk::{demo, shop};
use crate::folder::Folder;
use crate::raw::{exchange, get, head, post, rest, send};
use kw_server::{Limits, ServeError, ServeOptions, serve_until};
use std::net::SocketAddr;
use std::path::Path;
use std::time::{Duration, Instant};
use tokio::io::AsyncWriteExt;
use tokio::sync::oneshot;
use tokio::task::JoinHandle;

struct Running {
    address: SocketAddr,
    stop: oneshot::Sender<()>,
    ended: JoinHandle<Result<(), ServeError>>,
}

impl Running {
    async fn start(data: &Path, limits: Limits) -> Self {
        let options = ServeOptions {
            shop: shop(),
            data_folder: data.to_owned(),
            listen: ([127, 0, 0, 1], 0).into(),
            host_names: Vec::new(),
            limits,
        };
        let (ready, address) = oneshot::channel();
        let (stop, stopped) = oneshot::channel::<()>();
        let ended =
            tokio::spawn(serve_until(options, |address| ready.send(address).unwrap(), async {
                stopped.await.unwrap_or_default()
            }));
        Self { address: address.await.unwrap(), stop, ended }
    }

    /// Asks it to stop; gives how long it took.
    async fn stop(self) -> Duration {
        let asked = Instant::now();
        self.stop.send(()).unwrap();
        self.ended.await.unwrap().unwrap();
        asked.elapsed()
    }
}

fn body(answer: &str) -> &str {
    answer.split_once("\r\n\r\n").map_or("", |(_, body)| body)
}

#[tokio::test(flavor = "multi_thread")]
async fn programs_are_there_after_a_restart() {
    let folder = Folder::new("restart");
    let data = folder.path().join("made/by/the/server");
    let first = Running::start(&data, Limits::default()).await;
    let text = demo("nest-box-set.nc");
    let dropped = post(first.address, "nest-box-set.nc", &text).await;
    assert!(dropped.starts_with("HTTP/1.1 201"), "{dropped}");
    let listed = get(first.address, "/api/v1/programs").await;
    first.stop().await;
    let second = Running::start(&data, Limits::default()).await;
    let again = get(second.address, "/api/v1/programs").await;
    assert!(body(&listed).contains("nest-box-set.nc"));
    assert_eq!(body(&again), body(&listed));
    let source = get(second.address, "/api/v1/programs/1/source").await;
    assert_eq!(body(&source).as_bytes(), text);
    second.stop().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn two_servers_share_a_folder_but_not_an_address() {
    let folder = Folder::new("shared");
    let (one, two) = tokio::join!(
        Running::start(folder.path(), Limits::default()),
        Running::start(folder.path(), Limits::default()),
    );
    post(one.address, "a.nc", b"G0 X1").await;
    assert!(get(two.address, "/api/v1/programs/1").await.contains("a.nc"));
    let same = ServeOptions {
        shop: shop(),
        data_folder: folder.path().to_owned(),
        listen: one.address,
        host_names: Vec::new(),
        limits: Limits::default(),
    };
    let refused = serve_until(same, |_| {}, async {}).await.unwrap_err().to_string();
    assert!(refused.contains("cannot be listened on"), "{refused}");
    one.stop().await;
    two.stop().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_request_under_way_ends_before_the_server_does() {
    let folder = Folder::new("farewell");
    let running = Running::start(folder.path(), Limits::default()).await;
    let request =
        head("POST /api/v1/programs?name=a.nc", running.address, "content-length: 12\r\n");
    let mut stream = send(running.address, (request + "G0 X1\n").as_bytes()).await;
    let idle = send(running.address, b"").await;
    tokio::time::sleep(Duration::from_millis(100)).await;
    let address = running.address;
    let stopping = tokio::spawn(running.stop());
    tokio::time::sleep(Duration::from_millis(100)).await;
    assert!(!stopping.is_finished(), "it waits for the upload");
    assert!(tokio::net::TcpStream::connect(address).await.is_err(), "it takes no new ones");
    stream.write_all(b"G0 X2\n").await.unwrap();
    assert!(rest(&mut stream).await.starts_with("HTTP/1.1 201"));
    let took = stopping.await.unwrap();
    assert!(took < Limits::default().farewell, "idle connections do not hold it: {took:?}");
    drop(idle);
}

#[tokio::test(flavor = "multi_thread")]
async fn a_request_that_never_ends_does_not_hold_the_server() {
    let folder = Folder::new("never-ends");
    let limits = Limits { farewell: Duration::from_millis(200), ..Limits::default() };
    let running = Running::start(folder.path(), limits).await;
    let request =
        head("POST /api/v1/programs?name=a.nc", running.address, "content-length: 12\r\n");
    let stream = send(running.address, request.as_bytes()).await;
    tokio::time::sleep(Duration::from_millis(100)).await;
    let took = running.stop().await;
    assert!(took < Duration::from_secs(5), "{took:?}");
    drop(stream);
}

#[tokio::test(flavor = "multi_thread")]
async fn slow_clients_are_let_go() {
    let folder = Folder::new("slow");
    let limits = Limits {
        head: Duration::from_millis(100),
        receive_silence: Duration::from_millis(100),
        ..Limits::default()
    };
    let running = Running::start(folder.path(), limits).await;
    let mut half_a_head = send(running.address, b"GET / HTTP/1.1\r\nhost: loc").await;
    assert_eq!(rest(&mut half_a_head).await, "", "closed without a word");
    let request =
        head("POST /api/v1/programs?name=a.nc", running.address, "content-length: 99\r\n");
    let mut half_a_body = send(running.address, (request + "G0 X1\n").as_bytes()).await;
    let told = rest(&mut half_a_body).await;
    assert!(told.starts_with("HTTP/1.1 408") && told.contains("6 bytes"), "{told}");
    running.stop().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn broken_off_uploads_leave_nothing_and_large_ones_are_told_why() {
    let folder = Folder::new("rude");
    let limits = Limits { program_bytes: 3_000_000, ..Limits::default() };
    let running = Running::start(folder.path(), limits).await;
    let request =
        head("POST /api/v1/programs?name=a.nc", running.address, "content-length: 99\r\n");
    drop(send(running.address, (request + "G0 X1\n").as_bytes()).await);
    let told = post(running.address, "big.nc", &b"G0 X1\n".repeat(900_000)).await;
    assert!(told.starts_with("HTTP/1.1 413") && told.contains("3000000 bytes"), "{told}");
    let chunked =
        head("POST /api/v1/programs?name=b.nc", running.address, "transfer-encoding: chunked\r\n");
    let cut = exchange(running.address, (chunked + "5\r\nG0 X1\r\nnonsense").as_bytes()).await;
    assert!(cut.starts_with("HTTP/1.1 400") || cut.is_empty(), "{cut}");
    assert_eq!(body(&get(running.address, "/api/v1/programs").await), "[]");
    running.stop().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn odd_requests_are_refused_and_the_next_is_served() {
    let folder = Folder::new("odd");
    let limits = Limits { head: Duration::from_millis(300), ..Limits::default() };
    let running = Running::start(folder.path(), limits).await;
    let (address, long) = (running.address, "x".repeat(1_000_000));
    for request in [
        "\r\n\r\n".to_owned(),
        "\u{1}\u{2}\u{3}\r\n\r\n".to_owned(),
        "GET / HTTP/1.1\r\nconnection: close\r\n\r\n".to_owned(),
        format!("GET /{long} HTTP/1.1\r\nhost: {address}\r\nconnection: close\r\n\r\n"),
        head("GET /", address, &format!("a: {long}\r\n")),
        head("POST /api/v1/programs?name=a.nc", address, "content-length: -1\r\n"),
        head("GET http://example.com/", address, "host: example.com\r\n"),
        "PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n".to_owned(),
    ] {
        let start: String = request.chars().take(30).collect();
        let answer = exchange(address, request.as_bytes()).await;
        assert!(answer.is_empty() || answer.starts_with("HTTP/1.1 4"), "{start:?}: {answer}");
    }
    let passwd = get(address, "/../../../../../../etc/passwd").await;
    assert!(!passwd.contains("root:"));
    assert!(get(address, "/api/v1/shop").await.starts_with("HTTP/1.1 200"));
    running.stop().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn connections_beyond_the_limit_wait_their_turn() {
    let folder = Folder::new("many");
    let limits = Limits { connections: 2, head: Duration::from_millis(200), ..Limits::default() };
    let running = Running::start(folder.path(), limits).await;
    let idle = [send(running.address, b"").await, send(running.address, b"").await];
    // Served once the idle ones have been let go.
    assert!(get(running.address, "/api/v1/programs").await.starts_with("HTTP/1.1 200"));
    drop(idle);
    running.stop().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_folder_that_cannot_be_made_is_told() {
    let folder = Folder::new("no-folder");
    let file = folder.path().join("file");
    std::fs::write(&file, "here is a file").unwrap();
    let options = ServeOptions {
        shop: shop(),
        data_folder: file.join("data"),
        listen: ([127, 0, 0, 1], 0).into(),
        host_names: Vec::new(),
        limits: Limits::default(),
    };
    let refused = serve_until(options, |_| {}, async {}).await.unwrap_err().to_string();
    assert!(refused.contains("file/data cannot be made"), "{refused}");
}
