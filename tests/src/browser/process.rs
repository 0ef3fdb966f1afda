//! Programs that run beside a test and end with it.

use std::io::{BufRead, BufReader};
use std::net::{Ipv4Addr, TcpListener, TcpStream};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::thread::sleep;
use std::time::{Duration, Instant};

/// How long a program may take to start. A machine that has just been started itself takes its time.
const LONGEST_START: Duration = Duration::from_secs(90);

/// A program that ends when this is dropped.
pub struct Process {
    child: Child,
    name: String,
}

impl Process {
    /// Starts it.
    pub fn start(command: &mut Command) -> Self {
        let name = command.get_program().to_string_lossy().into_owned();
        let child = command
            .stdin(Stdio::null())
            .spawn()
            .unwrap_or_else(|error| panic!("{name} did not start: {error}"));
        Process { child, name }
    }

    /// Waits until it listens on that port.
    pub fn wait_for_port(&mut self, port: u16) {
        let deadline = Instant::now() + LONGEST_START;
        while TcpStream::connect((Ipv4Addr::LOCALHOST, port)).is_err() {
            if let Ok(Some(status)) = self.child.try_wait() {
                panic!("{} ended at once: {status}", self.name);
            }
            assert!(
                Instant::now() < deadline,
                "{} does not listen after {LONGEST_START:?}",
                self.name
            );
            sleep(Duration::from_millis(20));
        }
    }
}

impl Drop for Process {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// A port that was free a moment ago.
pub fn free_port() -> u16 {
    let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, 0)).expect("a free port");
    listener.local_addr().expect("its address").port()
}

/// A screen that nobody sees.
pub struct Screen {
    _process: Process,
    name: String,
}

impl Screen {
    /// One of that size, in pixels.
    pub fn start(program: &Path, (width, height): (u32, u32)) -> Self {
        let mut command = Command::new(program);
        command
            .args(["-displayfd", "1", "-nolisten", "tcp", "-screen", "0"])
            .arg(format!("{width}x{height}x24"))
            .stdout(Stdio::piped())
            .stderr(Stdio::null());
        let mut process = Process::start(&mut command);
        // It says its number once it can be drawn on.
        let said = process.child.stdout.take().expect("what the screen says");
        let mut number = String::new();
        BufReader::new(said)
            .read_line(&mut number)
            .expect("the number of the screen");
        Screen {
            _process: process,
            name: format!(":{}", number.trim()),
        }
    }

    /// What programs call it.
    pub fn name(&self) -> &str {
        &self.name
    }
}
