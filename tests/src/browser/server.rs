//! A server of files, for as long as a test lasts: the built page under a subfolder, as a school's site would have it.
//!
//! Start at [`Site::serving`]. Every request is written down, so that a test can say that there was no other.

use std::io::{self, BufRead, BufReader, Write};
use std::net::{Ipv4Addr, SocketAddr, TcpListener, TcpStream};
use std::path::{Component, Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex};
use std::thread::{self, JoinHandle};
use std::time::Duration;

/// The folder of the site in which the page lies.
const SUBFOLDER: &str = "/school/physics/";

/// What the addresses of pages with a frame begin with.
pub const FRAME: &str = "/school/frame/";

/// How long a browser may take over sending its request.
const PATIENCE: Duration = Duration::from_secs(10);

/// The site at work; it stops when it is dropped.
pub struct Site {
    address: SocketAddr,
    dist: Arc<Mutex<PathBuf>>,
    away: Arc<AtomicBool>,
    requests: Arc<Mutex<Vec<Request>>>,
    stopping: Arc<AtomicBool>,
    listening: Option<JoinHandle<()>>,
}

/// A request that came, and what was answered.
#[derive(Clone, Debug)]
pub struct Request {
    /// The first line: `GET /school/physics/ HTTP/1.1`.
    pub line: String,
    /// The status of the answer.
    pub status: u16,
}

impl Site {
    /// Serves the folder `dist` on a free port.
    pub fn serving(dist: PathBuf) -> io::Result<Self> {
        let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, 0))?;
        let address = listener.local_addr()?;
        let requests = Arc::new(Mutex::new(Vec::new()));
        let stopping = Arc::new(AtomicBool::new(false));
        let away = Arc::new(AtomicBool::new(false));
        let dist = Arc::new(Mutex::new(dist));
        let listening = thread::spawn({
            let (requests, stopping) = (requests.clone(), stopping.clone());
            let (dist, away) = (dist.clone(), away.clone());
            move || {
                for stream in listener.incoming() {
                    if stopping.load(Ordering::SeqCst) {
                        return;
                    }
                    let Ok(stream) = stream else { continue };
                    if away.load(Ordering::SeqCst) {
                        // The connection is closed without a byte.
                        continue;
                    }
                    let dist = dist.lock().expect("the folder").clone();
                    let requests = requests.clone();
                    // A browser opens connections that it does not use yet: each has a thread of its own.
                    thread::spawn(move || {
                        if let Ok(Some(request)) = answer(&stream, &dist) {
                            requests.lock().expect("the list of requests").push(request);
                        }
                    });
                }
            }
        });
        Ok(Site {
            address,
            dist,
            away,
            requests,
            stopping,
            listening: Some(listening),
        })
    }

    /// The address of the page, with a slash at its end.
    pub fn page(&self) -> String {
        format!("http://{}{SUBFOLDER}", self.address)
    }

    /// The address of another page of the school's, which shows an address in a frame of that size, in CSS pixels, and is
    /// itself opened under another name of this machine: to a browser that is another site.
    pub fn frame(&self, width: u32, height: u32, address: &str) -> String {
        let port = self.address.port();
        format!("http://localhost:{port}{FRAME}{width}x{height}?{address}")
    }

    /// The same, on the page's own site.
    pub fn window(&self, width: u32, height: u32, address: &str) -> String {
        format!("http://{}{FRAME}{width}x{height}?{address}", self.address)
    }

    /// From now on answers nobody, as when the network is down.
    pub fn go_away(&self) {
        self.away.store(true, Ordering::SeqCst);
    }

    /// Serves another folder from now on, as when a newer version is put there.
    pub fn serve(&self, dist: PathBuf) {
        *self.dist.lock().expect("the folder") = dist;
    }

    /// Everything that was asked for so far.
    pub fn requests(&self) -> Vec<Request> {
        self.requests.lock().expect("the list of requests").clone()
    }
}

impl Drop for Site {
    fn drop(&mut self) {
        self.stopping.store(true, Ordering::SeqCst);
        // The listening thread looks whether to stop when somebody calls.
        if TcpStream::connect(self.address).is_ok()
            && let Some(listening) = self.listening.take()
        {
            let _ = listening.join();
        }
    }
}

/// Answers one request; none came when the connection was closed unused.
fn answer(stream: &TcpStream, dist: &Path) -> io::Result<Option<Request>> {
    stream.set_read_timeout(Some(PATIENCE))?;
    let mut lines = BufReader::new(stream).lines();
    let Some(line) = lines.next().transpose()? else {
        return Ok(None);
    };
    for header in lines {
        if header?.is_empty() {
            break;
        }
    }
    let found = framed(&line).or_else(|| {
        let path = file_for(&line, dist)?;
        // A file packed beforehand lies beside the file itself, as hosts of web pages have it.
        match std::fs::read(path.with_added_extension("gz")) {
            Ok(packed) => Some((kind(&path), "content-encoding: gzip\r\n", packed)),
            Err(_) => Some((kind(&path), "", std::fs::read(path).ok()?)),
        }
    });
    let (status, kind, packed, body) = match found {
        Some((kind, packed, body)) => (200, kind, packed, body),
        None => (404, "text/plain", "", b"There is nothing here.".to_vec()),
    };
    let mut stream = stream;
    write!(
        stream,
        "HTTP/1.1 {status} \r\ncontent-type: {kind}\r\n{packed}content-length: {}\r\nconnection: close\r\n\
         cache-control: no-store\r\nx-content-type-options: nosniff\r\n\r\n",
        body.len()
    )?;
    stream.write_all(&body)?;
    Ok(Some(Request { line, status }))
}

/// A page with nothing but a frame, if that is what a request's first line asks for.
fn framed(line: &str) -> Option<(&'static str, &'static str, Vec<u8>)> {
    let path = line.strip_prefix("GET ")?.split(' ').next()?;
    let (size, address) = path.strip_prefix(FRAME)?.split_once('?')?;
    let (width, height) = size.split_once('x')?;
    let page = format!(
        "<!doctype html><html lang=en-GB><title>A lesson</title><link rel=icon href=\"data:,\"><body style=\"margin: 0\">\
         <iframe width=\"{width}\" height=\"{height}\" style=\"border: 0\" title=\"Practical\" src=\"{address}\">"
    );
    Some(("text/html; charset=utf-8", "", page.into_bytes()))
}

/// The file that a request's first line asks for, within `dist` and nowhere else.
fn file_for(line: &str, dist: &Path) -> Option<PathBuf> {
    let mut words = line.split(' ');
    let path = match (words.next(), words.next()) {
        (Some("GET"), Some(path)) => path.strip_prefix(SUBFOLDER)?,
        _ => return None,
    };
    let path = path.split('?').next().unwrap_or_default();
    let inside = Path::new(if path.is_empty() { "index.html" } else { path });
    inside
        .components()
        .all(|part| matches!(part, Component::Normal(_)))
        .then(|| dist.join(inside))
}

fn kind(path: &Path) -> &'static str {
    match path.extension().and_then(|ending| ending.to_str()) {
        Some("html") => "text/html; charset=utf-8",
        Some("js") => "text/javascript; charset=utf-8",
        Some("css") => "text/css; charset=utf-8",
        Some("svg") => "image/svg+xml",
        Some("png") => "image/png",
        Some("wasm") => "application/wasm",
        Some("json" | "webmanifest") => "application/json",
        _ => "application/octet-stream",
    }
}
