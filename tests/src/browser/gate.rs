//! What stands in for all other machines: a proxy that lets nothing through and writes down what was asked of it.

use std::io::{BufRead, BufReader, Write};
use std::net::{Ipv4Addr, SocketAddr, TcpListener, TcpStream};
use std::sync::{Arc, Mutex};
use std::thread;
use std::time::Duration;

/// The proxy at work, until the tests end.
pub struct Gate {
    address: SocketAddr,
    asked: Arc<Mutex<Vec<String>>>,
}

impl Gate {
    /// Listens on a free port.
    pub fn listening() -> std::io::Result<Self> {
        let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, 0))?;
        let gate = Gate {
            address: listener.local_addr()?,
            asked: Arc::default(),
        };
        let asked = gate.asked.clone();
        thread::spawn(move || {
            for stream in listener.incoming().flatten() {
                let asked = asked.clone();
                thread::spawn(move || refuse(&stream, &asked));
            }
        });
        Ok(gate)
    }

    /// Host and port.
    pub fn address(&self) -> String {
        self.address.to_string()
    }

    /// The first line of every request that came: `CONNECT example.org:443 HTTP/1.1`.
    pub fn asked(&self) -> Vec<String> {
        self.asked
            .lock()
            .expect("the list of what was asked")
            .clone()
    }
}

fn refuse(mut stream: &TcpStream, asked: &Mutex<Vec<String>>) {
    let _ = stream.set_read_timeout(Some(Duration::from_secs(10)));
    let mut line = String::new();
    if BufReader::new(stream).read_line(&mut line).is_ok() && !line.is_empty() {
        asked
            .lock()
            .expect("the list of what was asked")
            .push(line.trim().to_owned());
        let _ =
            stream.write_all(b"HTTP/1.1 403 \r\ncontent-length: 0\r\nconnection: close\r\n\r\n");
    }
}
