//! A browser to test in: the site, the driver, and people who each have a browser of their own.
//!
//! Start at [`in_browser`]. Whatever becomes of the test, the browsers and the driver are closed after it; a test that
//! went well is then asked whether any request left the page's own site and whether any policy was broken.

use std::cell::RefCell;
use std::env;
use std::fs;
use std::io::{BufRead, BufReader};
use std::panic::{AssertUnwindSafe, catch_unwind, resume_unwind};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::mpsc;
use std::thread;
use std::time::{Duration, Instant};

use fantoccini::wd::Capabilities;
use fantoccini::{Client, ClientBuilder};
use hyper_util::client::legacy::connect::HttpConnector;
use serde_json::{Value, json};
use tokio::time::timeout;

use crate::person::Person;
use crate::server::{Request, Site};

/// How long a test may take in all. A slow machine is not a reason to fail.
const LONGEST_TEST: Duration = Duration::from_secs(120);

/// How long the driver may take to start.
const LONGEST_START: Duration = Duration::from_secs(30);

/// One test at a time: browsers that share two cores are late in ways that nobody's browser is.
static TURN: Mutex<()> = Mutex::new(());

/// Runs a test with a site and a driver of its own.
pub fn in_browser(test: impl AsyncFnOnce(&Bench)) {
    // A test that failed has left nothing behind that the next could trip over.
    let _turn = TURN.lock().unwrap_or_else(|poisoned| poisoned.into_inner());
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .build()
        .expect("a runtime");
    let bench = Bench::set_up();
    let outcome = catch_unwind(AssertUnwindSafe(|| {
        runtime.block_on(async {
            timeout(LONGEST_TEST, async {
                test(&bench).await;
                bench.check_that_nothing_left().await;
            })
            .await
            .unwrap_or_else(|_| panic!("the test took longer than {LONGEST_TEST:?}"));
        });
    }));
    runtime.block_on(bench.close());
    if let Err(failure) = outcome {
        resume_unwind(failure);
    }
}

/// What a test needs.
pub struct Bench {
    site: Site,
    driver: Driver,
    chromium: PathBuf,
    folder: Folder,
    people: RefCell<Vec<Person>>,
}

impl Bench {
    fn set_up() -> Self {
        let dist = told("YOKELINE_DIST");
        assert!(
            dist.join("index.html").is_file(),
            "{} holds no built page: run `cargo xtask test`, which builds it.",
            dist.display()
        );
        Bench {
            site: Site::serving(dist).expect("a free port for the page"),
            driver: Driver::start(&told("CHROMEDRIVER")),
            chromium: told("CHROMIUM"),
            folder: Folder::make(),
            people: RefCell::default(),
        }
    }

    /// The address of the page.
    pub fn page(&self) -> String {
        self.site.page()
    }

    /// Everything that the site was asked for so far.
    pub fn requests(&self) -> Vec<Request> {
        self.site.requests()
    }

    /// Somebody who was never here: a browser with an empty profile and an empty folder for downloads, showing nothing yet.
    pub async fn newcomer(&self) -> Person {
        let number = self.people.borrow().len();
        let profile = self.folder.path.join(format!("profile-{number}"));
        self.at_a_browser(number, self.wishes(&profile)).await
    }

    async fn at_a_browser(&self, number: usize, wishes: Capabilities) -> Person {
        let downloads = self.folder.path.join(format!("downloads-{number}"));
        fs::create_dir_all(&downloads).expect("a folder for downloads");
        let client = ClientBuilder::new(HttpConnector::new())
            .capabilities(wishes)
            .connect(&self.driver.address)
            .await
            .unwrap_or_else(|error| panic!("the browser did not start: {error}"));
        let person = Person::new(client, downloads);
        // Kept before anything else can fail, so that the browser is closed in any case.
        self.people.borrow_mut().push(person.clone());
        person.settle_in().await;
        person
    }

    /// Somebody who was never here and whose browser is set up in a certain way: its preferences, as Chromium names them.
    pub async fn newcomer_with(&self, preferences: Value) -> Person {
        let number = self.people.borrow().len();
        let profile = self.folder.path.join(format!("profile-{number}"));
        let mut wishes = self.wishes(&profile);
        let options = &mut wishes["goog:chromeOptions"];
        options["prefs"] = preferences;
        if let Some(arguments) = options["args"].as_array_mut() {
            // A page of nobody's may then hold one of this machine's in a frame.
            arguments.push("--disable-features=LocalNetworkAccessChecks".into());
        }
        self.at_a_browser(number, wishes).await
    }

    /// Ends a browser as a power cut would, and starts another one on the same profile.
    pub async fn end_by_force_and_start_again(&self, person: &Person) -> Person {
        let number = (self
            .people
            .borrow()
            .iter()
            .position(|other| other.is_same(person)))
        .expect("one of these people");
        let profile = self.folder.path.join(format!("profile-{number}"));
        end_by_force(&profile);
        self.people.borrow_mut().remove(number);
        let wishes = self.wishes(&profile);
        self.at_a_browser(number, wishes).await
    }

    /// Somebody with the page before them, on a first visit.
    pub async fn visitor(&self) -> Person {
        let person = self.newcomer().await;
        person.open(&self.page()).await;
        person
    }

    fn wishes(&self, profile: &Path) -> Capabilities {
        let wishes = json!({
            "browserName": "chrome",
            "goog:loggingPrefs": { "browser": "ALL", "performance": "ALL" },
            "goog:chromeOptions": {
                "binary": self.chromium,
                "args": [
                    "--headless",
                    "--no-sandbox",
                    "--disable-gpu",
                    "--disable-dev-shm-usage",
                    "--disable-background-networking",
                    "--no-first-run",
                    "--lang=en-GB",
                    "--window-size=1280,900",
                    // Should the page ever ask another machine for something, it is written down but does not arrive.
                    "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1",
                    format!("--user-data-dir={}", profile.display()),
                ],
            },
        });
        match wishes {
            Value::Object(wishes) => wishes,
            _ => Capabilities::new(),
        }
    }

    /// No browser asked for anything outside the page's own folder, and no rule of the page's policy was broken.
    async fn check_that_nothing_left(&self) {
        let people = self.people.borrow().clone();
        let page = self.page();
        for person in people {
            person.check_that_nothing_left(&page).await;
        }
        let requests = self.site.requests();
        assert!(
            !requests.is_empty(),
            "the page was not asked for: this test looked at nothing"
        );
        for request in requests {
            assert_eq!(
                request.status, 200,
                "the page asked for what is not there: {}",
                request.line
            );
        }
    }

    async fn close(self) {
        for person in self.people.take() {
            // A browser that is gone already needs no closing.
            let _ = timeout(Duration::from_secs(10), Client::close(person.into_client())).await;
        }
    }
}

/// Ends the browser with that profile, and waits until the profile is nobody's.
fn end_by_force(profile: &Path) {
    let its_own = format!("--user-data-dir={}", profile.display());
    let running = || -> Vec<String> {
        let entries = fs::read_dir("/proc").expect("the list of processes");
        entries
            .filter_map(|entry| {
                let entry = entry.ok()?;
                let said = fs::read(entry.path().join("cmdline")).ok()?;
                let mut words = said.split(|byte| *byte == 0);
                words
                    .any(|word| word == its_own.as_bytes())
                    .then(|| entry.file_name().to_string_lossy().into_owned())
            })
            .collect()
    };
    let deadline = Instant::now() + LONGEST_START;
    loop {
        let processes = running();
        if processes.is_empty() {
            break;
        }
        assert!(Instant::now() < deadline, "the browser does not end");
        // The ends of some bring about the ends of others.
        let _ = Command::new("kill").arg("-KILL").args(&processes).status();
        thread::sleep(Duration::from_millis(50));
    }
    for lock in ["SingletonLock", "SingletonCookie", "SingletonSocket"] {
        let _ = fs::remove_file(profile.join(lock));
    }
}

/// A path in the environment, which `cargo xtask test` sets.
fn told(variable: &str) -> PathBuf {
    env::var_os(variable).map(PathBuf::from).unwrap_or_else(|| {
        panic!(
            "The browser tests need the built page, Chromium and chromedriver, and {variable} is not set: \
             run `cargo xtask test`, which builds the page, finds the browser and runs every test."
        )
    })
}

/// The driver's process; it ends when this is dropped.
struct Driver {
    process: Child,
    address: String,
}

impl Driver {
    fn start(program: &Path) -> Self {
        let mut process = Command::new(program)
            .arg("--port=0")
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap_or_else(|error| panic!("{} did not start: {error}", program.display()));
        let said = process.stdout.take().expect("what the driver says");
        let mut driver = Driver {
            process,
            address: String::new(),
        };
        // The driver says which port it found free, and is then read on so that it never has to wait for a reader.
        let (tell, told) = mpsc::channel();
        thread::spawn(move || {
            for line in BufReader::new(said).lines() {
                let Ok(line) = line else { return };
                if let Some((_, port)) = line.rsplit_once("successfully on port ") {
                    let _ = tell.send(port.trim_end_matches('.').to_owned());
                }
            }
        });
        let port = told.recv_timeout(LONGEST_START).unwrap_or_else(|_| {
            panic!(
                "{} did not say within {LONGEST_START:?} on which port it listens",
                program.display()
            )
        });
        driver.address = format!("http://127.0.0.1:{port}");
        driver
    }
}

impl Drop for Driver {
    fn drop(&mut self) {
        let _ = self.process.kill();
        let _ = self.process.wait();
    }
}

/// A folder for one test, gone with it.
struct Folder {
    path: PathBuf,
}

impl Folder {
    fn make() -> Self {
        static MADE: AtomicUsize = AtomicUsize::new(0);
        let number = MADE.fetch_add(1, Ordering::SeqCst);
        let path = env::temp_dir().join(format!("yokeline-{}-{number}", std::process::id()));
        fs::create_dir_all(&path).expect("a folder for the browser");
        Folder { path }
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        // The browser may be writing its last file; what is left is in the system's folder for such things.
        let _ = fs::remove_dir_all(&self.path);
    }
}
