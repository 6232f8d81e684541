//! A server of the files of one folder that can be killed and started again on its port.
//!
//! It serves them under a path of its own (`/boats/trim/`), so that an address in the app that is
//! not relative leads nowhere and is noticed.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::{Arc, Mutex};
use std::time::Duration;
use tokio::io::{AsyncReadExt, AsyncWriteExt};
use tokio::net::{TcpListener, TcpStream};
use tokio::task::{JoinHandle, JoinSet};
use tokio::time::timeout;

/// Longest that one request may take.
const PATIENCE: Duration = Duration::from_secs(10);
/// Longest head of a request that is read, bytes.
const LONGEST_HEAD: usize = 64 * 1024;

/// The server.
pub(crate) struct Server {
    site: Arc<Site>,
    port: u16,
    running: Option<JoinHandle<()>>,
}

/// What is served.
struct Site {
    root: PathBuf,
    /// Its files are gzip-packed, and have `.gz` behind their names.
    packed: bool,
    folder: String,
    asked: Mutex<Vec<String>>,
    missing: Missing,
    told: Told,
}

/// What pages have told with a POST: its address's part behind the question mark, as it came.
pub(crate) type Told = Arc<Mutex<Vec<String>>>;

/// Paths that were asked for and are not there.
pub(crate) type Missing = Arc<Mutex<Vec<String>>>;

impl Server {
    /// Serves the files of `root` under `folder`, which begins and ends with a slash.
    pub(crate) async fn start(root: &Path, folder: &str) -> Self {
        Self::begin(root, folder, false).await
    }

    /// As [`Self::start`], of a folder that [`pack`] has packed: each file goes out as it lies there.
    pub(crate) async fn start_packed(root: &Path, folder: &str) -> Self {
        Self::begin(root, folder, true).await
    }

    async fn begin(root: &Path, folder: &str, packed: bool) -> Self {
        let site = Site {
            root: root.to_owned(),
            packed,
            folder: folder.to_owned(),
            asked: Mutex::default(),
            missing: Missing::default(),
            told: Told::default(),
        };
        let mut server = Self { site: Arc::new(site), port: 0, running: None };
        server.restart().await;
        server
    }

    /// Stops at once: open connections are cut, the port answers nobody.
    pub(crate) async fn kill(&mut self) {
        if let Some(running) = self.running.take() {
            running.abort();
            // Aborted: that is what it says.
            let _aborted = running.await;
        }
        let nobody = TcpStream::connect(("127.0.0.1", self.port)).await;
        assert!(nobody.is_err(), "port {} still answers after the server was killed", self.port);
    }

    /// Serves again, on the same port.
    pub(crate) async fn restart(&mut self) {
        let listener = TcpListener::bind(("127.0.0.1", self.port)).await.expect("a free port");
        self.port = listener.local_addr().expect("a bound port").port();
        self.running = Some(tokio::spawn(accept(listener, Arc::clone(&self.site))));
    }

    /// The address of the app.
    pub(crate) fn address(&self) -> String {
        format!("http://127.0.0.1:{}{}", self.port, self.site.folder)
    }

    /// The address without its path.
    pub(crate) fn origin(&self) -> String {
        format!("http://127.0.0.1:{}", self.port)
    }

    /// The paths that were asked for until now, in order.
    pub(crate) fn asked(&self) -> Vec<String> {
        self.site.asked.lock().expect("no thread panicked with it").clone()
    }

    /// What was asked for and is not there, now and later.
    pub(crate) fn missing(&self) -> Missing {
        Arc::clone(&self.site.missing)
    }
}

impl Server {
    /// What pages have told, now and later.
    pub(crate) fn told(&self) -> Told {
        Arc::clone(&self.site.told)
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        if let Some(running) = self.running.take() {
            running.abort();
        }
    }
}

/// Packs each file of `root` into the empty folder `into`, as a web server sends it and `scripts/lib/size.sh` counts it.
pub(crate) fn pack(root: &Path, into: &Path) {
    let run = |command: &mut Command| {
        let ended = command.status().expect("the system's cp and gzip");
        assert!(ended.success(), "{command:?}: {ended}");
    };
    run(Command::new("cp").arg("-R").arg(root.join(".")).arg(into));
    run(Command::new("gzip").args(["-9", "-r"]).arg(into));
}

/// Its connections end with it: a dropped set aborts what is in it.
#[expect(clippy::infinite_loop, reason = "runs until it is aborted")]
async fn accept(listener: TcpListener, site: Arc<Site>) {
    let mut connections = JoinSet::new();
    loop {
        if let Ok((stream, _)) = listener.accept().await {
            let site = Arc::clone(&site);
            connections.spawn(async move {
                // A browser that went away, or said nothing for too long, needs no answer.
                let _answered = timeout(PATIENCE, answer(stream, &site)).await;
            });
        }
        while connections.try_join_next().is_some() {}
    }
}

/// One request, one answer, one connection.
async fn answer(mut stream: TcpStream, site: &Site) -> std::io::Result<()> {
    let mut head = Vec::new();
    while !head.windows(4).any(|end| end == b"\r\n\r\n") {
        let n_read = stream.read_buf(&mut head).await?;
        if n_read == 0 || head.len() > LONGEST_HEAD {
            return Ok(());
        }
    }
    let head = String::from_utf8_lossy(&head);
    let mut words = head.split_ascii_whitespace();
    let (method, target) = (words.next().unwrap_or_default(), words.next().unwrap_or_default());
    let path = target.split(['?', '#']).next().unwrap_or_default();
    site.asked.lock().expect("no thread panicked with it").push(path.to_owned());
    if method == "POST" {
        let told = target.split_once('?').map_or("", |(_, told)| told).to_owned();
        site.told.lock().expect("no thread panicked with it").push(told);
        stream.write_all(b"HTTP/1.1 204 No Content\r\nConnection: close\r\n\r\n").await?;
        return stream.shutdown().await;
    }
    let (status, kind, body) = match site.file(path) {
        Some((kind, body)) => ("200 OK", kind, body),
        None => ("404 Not Found", "text/plain; charset=utf-8", b"not here".to_vec()),
    };
    let encoding =
        if site.packed && status == "200 OK" { "Content-Encoding: gzip\r\n" } else { "" };
    let head = format!(
        "HTTP/1.1 {status}\r\nContent-Type: {kind}\r\nContent-Length: {}\r\n{encoding}\
         Cache-Control: no-cache\r\nConnection: close\r\n\r\n",
        body.len()
    );
    stream.write_all(head.as_bytes()).await?;
    if method != "HEAD" {
        stream.write_all(&body).await?;
    }
    stream.shutdown().await
}

impl Site {
    /// The content type and the bytes of the file behind a path; notes the path when there is none.
    fn file(&self, path: &str) -> Option<(&'static str, Vec<u8>)> {
        let file = match path.strip_prefix(&self.folder) {
            Some("") => Some("index.html"),
            Some(name) if !name.split('/').any(|part| part == "..") => Some(name),
            _ => None,
        };
        let end = if self.packed { ".gz" } else { "" };
        if let Some(file) = file
            && let Ok(body) = std::fs::read(self.root.join(format!("{file}{end}")))
        {
            return Some((content_type(file), body));
        }
        self.missing.lock().expect("no thread panicked with it").push(path.to_owned());
        None
    }
}

fn content_type(file: &str) -> &'static str {
    match Path::new(file).extension().and_then(|e| e.to_str()) {
        Some("html") => "text/html; charset=utf-8",
        Some("css") => "text/css; charset=utf-8",
        Some("js") => "text/javascript; charset=utf-8",
        Some("json") => "application/json",
        Some("png") => "image/png",
        Some("txt") => "text/plain; charset=utf-8",
        Some("svg") => "image/svg+xml",
        Some("wasm") => "application/wasm",
        Some("webmanifest") => "application/manifest+json",
        _ => "application/octet-stream",
    }
}
