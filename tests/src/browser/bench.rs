//! A browser to test in: the site, the driver, and people who each have a browser of their own.
//!
//! Start at [`in_browser`]. Whatever becomes of the test, the browsers and the driver are closed after it; a test that
//! went well is then asked whether any request left the page's own site and whether any policy was broken.

use std::cell::{Cell, RefCell};
use std::env;
use std::fs;
use std::panic::{AssertUnwindSafe, catch_unwind, resume_unwind};
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;
use std::time::{Duration, Instant};

use fantoccini::{Client, ClientBuilder};
use hyper_util::client::legacy::connect::HttpConnector;
use tokio::time::timeout;

use super::engine::{Engine, Quarters, told};
use super::gate::Gate;
use super::person::Person;
use super::process::{Process, Screen, free_port};
use super::server::{Request, Site};

/// How long a test may take in all. A slow machine is not a reason to fail.
const LONGEST_TEST: Duration = Duration::from_secs(180);

/// How long a browser may take to start, and how often that is tried.
const LONGEST_START: Duration = Duration::from_secs(30);
const STARTS: usize = 3;

/// One test at a time: browsers that share two cores are late in ways that nobody's browser is.
static TURN: Mutex<()> = Mutex::new(());

/// Runs a test with a site of its own.
pub fn in_browser(test: impl AsyncFnOnce(&Bench)) {
    at_a_bench(async |bench| {
        timeout(LONGEST_TEST, async {
            test(bench).await;
            bench.check_that_nothing_left().await;
        })
        .await
        .unwrap_or_else(|_| panic!("the test took longer than {LONGEST_TEST:?}"));
    });
}

/// Runs what takes as long as it takes and may go elsewhere, such as a measurement.
pub fn at_a_bench(work: impl AsyncFnOnce(&Bench)) {
    // A test that failed has left nothing behind that the next could trip over.
    let _turn = TURN.lock().unwrap_or_else(|poisoned| poisoned.into_inner());
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .build()
        .expect("a runtime");
    let bench = Bench::set_up();
    let outcome = catch_unwind(AssertUnwindSafe(|| {
        runtime.block_on(work(&bench));
    }));
    runtime.block_on(bench.close());
    if let Err(failure) = outcome {
        resume_unwind(failure);
    }
}

/// What a test needs.
pub struct Bench {
    engine: Engine,
    site: Site,
    gate: Gate,
    folder: Folder,
    people: RefCell<Vec<Seat>>,
    expects_trouble: Cell<bool>,
}

/// Somebody, and the programs that make their browser.
struct Seat {
    person: Person,
    quarters: Quarters,
    // In the order in which they have to end.
    _driver: Process,
    _screen: Option<Screen>,
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
            engine: Engine::told(),
            site: Site::serving(dist).expect("a free port for the page"),
            gate: Gate::listening().expect("a free port for the gate"),
            folder: Folder::make(),
            people: RefCell::default(),
            expects_trouble: Cell::new(false),
        }
    }

    /// The address of the page.
    pub fn page(&self) -> String {
        self.site.page()
    }

    /// The site that serves the page.
    pub fn site(&self) -> &Site {
        &self.site
    }

    /// From now on files may be missing and the console may hold errors; that nothing leaves the page is still looked at.
    pub fn expect_trouble(&self) {
        self.expects_trouble.set(true);
    }

    /// A copy of the built page in a folder of its own, to be changed.
    pub fn copy_of_the_page(&self, name: &str) -> PathBuf {
        let copy = self.folder.path.join(name);
        fs::create_dir_all(&copy).expect("a folder for a copy of the page");
        for entry in fs::read_dir(told("YOKELINE_DIST")).expect("the built page") {
            let path = entry.expect("a file of the page").path();
            fs::copy(&path, copy.join(path.file_name().expect("a name"))).expect("a copied file");
        }
        copy
    }

    /// A folder for files that the test makes.
    pub fn folder(&self) -> &Path {
        &self.folder.path
    }

    /// Everything that the site was asked for so far.
    pub fn requests(&self) -> Vec<Request> {
        self.site.requests()
    }

    /// Somebody who was never here: a browser with an empty profile and an empty folder for downloads, showing nothing yet.
    pub async fn newcomer(&self) -> Person {
        self.somebody(true).await
    }

    /// Such a one whose browser lets no page keep anything.
    pub async fn newcomer_without_storage(&self) -> Person {
        self.somebody(false).await
    }

    async fn somebody(&self, storage: bool) -> Person {
        let number = self.folder.people.fetch_add(1, Ordering::SeqCst);
        let quarters = Quarters {
            home: self.folder.path.join(format!("home-{number}")),
            downloads: self.folder.path.join(format!("downloads-{number}")),
            gate: self.gate.address(),
            storage,
        };
        for folder in [&quarters.home, &quarters.downloads] {
            fs::create_dir_all(folder).expect("a folder for the browser");
        }
        self.seat(quarters).await
    }

    async fn seat(&self, quarters: Quarters) -> Person {
        let mut started = None;
        for _ in 0..STARTS {
            started = self.start(&quarters).await;
            if started.is_some() {
                break;
            }
        }
        let (client, driver, screen) = started.unwrap_or_else(|| {
            panic!(
                "the browser did not start {STARTS} times in a row, within {LONGEST_START:?} each"
            )
        });
        let person = Person::new(client, self.engine, quarters.downloads.clone());
        // Kept before anything else can fail, so that the browser is closed in any case.
        self.people.borrow_mut().push(Seat {
            person: person.clone(),
            quarters,
            _driver: driver,
            _screen: screen,
        });
        person.settle_in().await;
        person
    }

    /// A browser with a driver of its own, since some drivers serve one only. None when the driver does not answer in time,
    /// as WebKitGTK's does one time in twenty.
    async fn start(&self, quarters: &Quarters) -> Option<(Client, Process, Option<Screen>)> {
        let port = free_port();
        let (mut driver, screen) = self.engine.driver(port, quarters);
        driver.wait_for_port(port);
        let mut wishes = ClientBuilder::new(HttpConnector::new());
        wishes.capabilities(self.engine.wishes(quarters));
        let address = format!("http://127.0.0.1:{port}");
        let client = timeout(LONGEST_START, wishes.connect(&address))
            .await
            .ok()?;
        let client = client.unwrap_or_else(|error| panic!("the browser did not start: {error}"));
        Some((client, driver, screen))
    }

    /// Somebody with the page before them, on a first visit.
    pub async fn visitor(&self) -> Person {
        let person = self.newcomer().await;
        person.open(&self.page()).await;
        person
    }

    /// Somebody goes, and their browser is closed.
    pub async fn leave(&self, person: Person) {
        self.seat_of(&person).close().await;
    }

    /// Ends a browser as a power cut would, and starts another one on the same profile. Its processes are found as the
    /// system lists them, under `/proc`.
    pub async fn end_by_force_and_start_again(&self, person: &Person) -> Person {
        let Seat { quarters, .. } = self.seat_of(person);
        end_by_force(&quarters.home);
        self.seat(quarters).await
    }

    fn seat_of(&self, person: &Person) -> Seat {
        let mut people = self.people.borrow_mut();
        let place = people.iter().position(|seat| seat.person.is(person));
        people.remove(place.expect("one of these people"))
    }

    /// No browser asked for anything outside the page's own folder, and no rule of the page's policy was broken.
    async fn check_that_nothing_left(&self) {
        let people: Vec<Person> = self
            .people
            .borrow()
            .iter()
            .map(|seat| seat.person.clone())
            .collect();
        let page = self.page();
        for person in people {
            if self.expects_trouble.get() {
                person.check_the_requests(&page).await;
            } else {
                person.check_that_nothing_left(&page).await;
            }
        }
        assert_eq!(
            self.gate.asked(),
            [] as [String; 0],
            "requests left for other machines"
        );
        let requests = self.site.requests();
        assert!(
            !requests.is_empty(),
            "the page was not asked for: this test looked at nothing"
        );
        for request in requests {
            assert!(
                request.status == 200 || self.expects_trouble.get(),
                "the page asked for what is not there: {}",
                request.line
            );
        }
    }

    async fn close(self) {
        for seat in self.people.take() {
            seat.close().await;
        }
    }
}

impl Seat {
    async fn close(self) {
        // A browser that is gone already needs no closing.
        let closing = Client::close(self.person.clone().into_client());
        let _ = timeout(Duration::from_secs(10), closing).await;
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

/// A folder for one test, gone with it.
struct Folder {
    path: PathBuf,
    /// How many people were given folders in it.
    people: AtomicUsize,
}

impl Folder {
    fn make() -> Self {
        static MADE: AtomicUsize = AtomicUsize::new(0);
        let number = MADE.fetch_add(1, Ordering::SeqCst);
        let path = env::temp_dir().join(format!("yokeline-{}-{number}", std::process::id()));
        fs::create_dir_all(&path).expect("a folder for the browser");
        Folder {
            path,
            people: AtomicUsize::new(0),
        }
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        // The browser may be writing its last file; what is left is in the system's folder for such things.
        let _ = fs::remove_dir_all(&self.path);
    }
}
