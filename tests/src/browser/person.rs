//! Somebody at a browser: what they do, what they see, and what their browser did meanwhile.
//!
//! Nothing here sleeps for a fixed time: what takes a while is looked at until it is there, or until the deadline.

use std::cell::{Cell, RefCell};
use std::fs;
use std::path::{Path, PathBuf};
use std::rc::Rc;
use std::time::{Duration, Instant};

use fantoccini::actions::{InputSource, KeyAction, KeyActions};
use fantoccini::elements::Element;
use fantoccini::key::Key;
use fantoccini::wd::{TimeoutConfiguration, WebDriverCompatibleCommand, WindowHandle};
use fantoccini::{Client, Locator};
use serde_json::{Value, json};
use tokio::time::sleep;

use super::engine::{Engine, SCREEN, WINDOW};
use super::server::{FRAME, Site};

/// How long anything that the page does may take.
const PATIENCE: Duration = Duration::from_secs(20);

/// How often the page is looked at meanwhile.
const GLANCE: Duration = Duration::from_millis(20);

/// Somebody at a browser of their own.
#[derive(Clone)]
pub struct Person {
    client: Client,
    engine: Engine,
    downloads: PathBuf,
    heard: Rc<RefCell<Vec<String>>>,
    phone: Rc<Cell<Option<(u32, u32)>>>,
    patience: Rc<Cell<Duration>>,
}

impl Person {
    /// Sits down at a browser.
    pub fn new(client: Client, engine: Engine, downloads: PathBuf) -> Self {
        Person {
            client,
            engine,
            downloads,
            heard: Rc::default(),
            phone: Rc::default(),
            patience: Rc::new(Cell::new(PATIENCE)),
        }
    }

    /// What runs the browser.
    pub fn engine(&self) -> Engine {
        self.engine
    }

    /// Whether this is the same person, at the same browser.
    pub fn is(&self, other: &Person) -> bool {
        self.downloads == other.downloads
    }

    /// Waits that long at most for anything, instead of the usual time.
    pub async fn wait_at_most(&self, patience: Duration) {
        self.patience.set(patience);
        let timeouts = TimeoutConfiguration::new(Some(patience), None, None);
        self.client
            .update_timeouts(timeouts)
            .await
            .expect("the driver to wait as long");
    }

    /// The browser, to be closed.
    pub fn into_client(self) -> Client {
        self.client
    }

    /// Opens an address and waits until the page is at work.
    pub async fn open(&self, address: &str) {
        // WebKit's driver may be content while the document before is still there. Another fragment alone brings no new one.
        let whole = |address: &str| address.split('#').next().map(str::to_owned);
        let here = self.client.current_url().await.ok();
        let stays =
            address.contains('#') && here.and_then(|here| whole(here.as_str())) == whole(address);
        if !stays {
            self.forget_the_start().await;
        }
        self.go(address).await;
        self.wait_for_start().await;
    }

    /// Opens an address.
    pub async fn go(&self, address: &str) {
        self.keep_what_was_heard().await;
        self.client
            .goto(address)
            .await
            .unwrap_or_else(|error| panic!("{address} did not open: {error}"));
    }

    /// Loads the page again, as a person does: what a driver calls a refresh passes by the service worker in Firefox.
    pub async fn reload(&self) {
        self.keep_what_was_heard().await;
        self.forget_the_start().await;
        self.script("location.reload()").await;
        self.wait_for_start().await;
    }

    /// Loads the page again past every cache, and so past its service worker.
    pub async fn reload_past_the_caches(&self) {
        self.keep_what_was_heard().await;
        if self.engine == Engine::Chromium {
            self.forget_the_start().await;
            self.chromium("Page.reload", json!({ "ignoreCache": true }))
                .await;
        } else {
            self.client.refresh().await.expect("the page, once more");
        }
        self.wait_for_start().await;
    }

    /// Has the document that is about to go not be taken for the one that comes.
    async fn forget_the_start(&self) {
        let forget = "delete document.documentElement.dataset.boot";
        // Where there is no document yet there is nothing to forget.
        let _ = self.client.execute(forget, Vec::new()).await;
    }

    async fn wait_for_start(&self) {
        self.until("the page to start", async || {
            // While one document takes the place of another there may be none to ask, which WebKit's driver says in several ways.
            let boot = self
                .client
                .execute(
                    "return document.documentElement.dataset.boot ?? ''",
                    Vec::new(),
                )
                .await
                .unwrap_or_default();
            assert_ne!(boot, "failed", "the page did not start");
            boot == "started"
        })
        .await;
        self.listen().await;
    }

    /// Looks until something is so.
    pub async fn until(&self, what: &str, is_so: impl AsyncFn() -> bool) {
        let deadline = Instant::now() + self.patience.get();
        while !is_so().await {
            assert!(
                Instant::now() < deadline,
                "waited {:?} in vain for {what}",
                self.patience.get()
            );
            sleep(GLANCE).await;
        }
    }

    /// Runs a script in the page, for what a person sees but WebDriver has no command for.
    pub async fn script(&self, script: &str) -> Value {
        self.script_with(script, Vec::new()).await
    }

    /// Runs a script with arguments.
    pub async fn script_with(&self, script: &str, arguments: Vec<Value>) -> Value {
        self.client
            .execute(script, arguments)
            .await
            .unwrap_or_else(|error| panic!("{script}: {error}"))
    }

    /// Runs a script that gives a promise, and waits for what that gives.
    pub async fn promise(&self, script: &str, arguments: Vec<Value>) -> Value {
        let script = format!(
            "const done = arguments[arguments.length - 1];
             (async () => {{ {script} }})().then(done, (error) => done(`failed: ${{error}}`));"
        );
        self.client
            .execute_async(&script, arguments)
            .await
            .unwrap_or_else(|error| panic!("{script}: {error}"))
    }

    async fn find(&self, css: &str) -> Element {
        self.client
            .find(Locator::Css(css))
            .await
            .unwrap_or_else(|error| panic!("{css} is not there: {error}"))
    }

    /// How many elements a selector finds.
    pub async fn count(&self, css: &str) -> usize {
        self.client
            .find_all(Locator::Css(css))
            .await
            .unwrap_or_else(|error| panic!("{css}: {error}"))
            .len()
    }

    /// The text of an element, with one blank for any run of blanks, line breaks and no-break spaces.
    pub async fn text(&self, css: &str) -> String {
        let text = self
            .script_with(
                "return document.querySelector(arguments[0])?.textContent ?? null",
                vec![css.into()],
            )
            .await;
        let text = text
            .as_str()
            .unwrap_or_else(|| panic!("{css} is not there"));
        text.split_whitespace().collect::<Vec<_>>().join(" ")
    }

    /// What stands in a field.
    pub async fn value(&self, css: &str) -> String {
        self.find(css)
            .await
            .prop("value")
            .await
            .ok()
            .flatten()
            .unwrap_or_else(|| panic!("{css} is no field"))
    }

    /// Waits until the text of an element is such as is wanted, and gives it.
    pub async fn text_when(&self, css: &str, wanted: impl Fn(&str) -> bool) -> String {
        let deadline = Instant::now() + self.patience.get();
        loop {
            let text = self.text(css).await;
            if wanted(&text) {
                return text;
            }
            assert!(
                Instant::now() < deadline,
                "after {:?}, {css} still shows “{text}”; the status line says “{}”",
                self.patience.get(),
                self.text("#status-text").await
            );
            sleep(GLANCE).await;
        }
    }

    /// Waits until an element says something, and gives all that it says.
    pub async fn says(&self, css: &str, something: &str) -> String {
        self.text_when(css, |text| text.contains(something)).await
    }

    /// Scrolls an element into the middle of the window, where nothing that stays in view lies over it, and clicks.
    pub async fn click(&self, css: &str) {
        self.script_with(
            "document.querySelector(arguments[0])?.scrollIntoView({ block: 'center', behavior: 'instant' })",
            vec![css.into()],
        )
        .await;
        self.find(css)
            .await
            .click()
            .await
            .unwrap_or_else(|error| panic!("{css} cannot be clicked: {error}"));
    }

    /// Types into a field in place of what stood there.
    pub async fn fill(&self, css: &str, text: &str) {
        self.click(css).await;
        self.chord(&[Key::Control.into(), 'a']).await;
        self.press(text).await;
    }

    /// Opens a part that is folded away.
    pub async fn unfold(&self, css: &str) {
        if self.count(&format!("{css}[open]")).await == 0 {
            self.click(&format!("{css} > summary")).await;
        }
    }

    /// Chooses from a list by the value of its entry.
    pub async fn choose(&self, list: &str, value: &str) {
        self.script_with(
            "const list = document.querySelector(arguments[0]);
             list.value = arguments[1];
             list.dispatchEvent(new Event('change', { bubbles: true }))",
            vec![list.into(), value.into()],
        )
        .await;
    }

    /// Clicks a button that prints, without the browser's own dialogue, and waits until what would be printed is there.
    pub async fn print_by(&self, button: &str) {
        self.script("window.print = () => {}").await;
        self.click(button).await;
        self.until("something to stand ready for paper", async || {
            self.count("#print-sheet-room main").await == 1
        })
        .await;
    }

    /// Types a class's table of answers, and waits until all its students are checked.
    pub async fn check_a_class(&self, table: &str, students: usize) {
        self.unfold("#check-class").await;
        self.fill("#class-box", table).await;
        self.says("#class-sum", &format!("{students} checked"))
            .await;
    }

    /// Waits until the browser has shown what was changed and has heard what follows from it.
    pub async fn two_frames(&self) {
        self.promise(
            "await new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))",
            Vec::new(),
        )
        .await;
    }

    /// Pastes into the box for it and presses the button beside it.
    pub async fn paste(&self, text: &str) {
        self.unfold("#paste-part").await;
        // Not typed: a tab would leave the box.
        self.script_with(
            "document.getElementById('paste-box').value = arguments[0]",
            vec![text.into()],
        )
        .await;
        self.click("#read-paste").await;
    }

    /// Pastes somewhere on the page, as Ctrl+V does.
    pub async fn paste_on_the_page(&self, text: &str) {
        self.script_with(
            "const data = new DataTransfer();
             data.setData('text/plain', arguments[0]);
             document.body.dispatchEvent(new ClipboardEvent('paste',
               { clipboardData: data, bubbles: true, cancelable: true,
                 // Firefox knows but these two.
                 dataType: 'text/plain', data: arguments[0] }))",
            vec![text.into()],
        )
        .await;
    }

    /// Presses one key after another; [`Key`] has the ones that are no characters.
    pub async fn press(&self, keys: &str) {
        let mut actions = KeyActions::new("keyboard".to_owned());
        for value in keys.chars() {
            // A line break is a key too, and only some drivers find it by its character.
            let value = if value == '\n' {
                Key::Enter.into()
            } else {
                value
            };
            actions = actions
                .then(KeyAction::Down { value })
                .then(KeyAction::Up { value });
        }
        self.client
            .perform_actions(actions)
            .await
            .expect("keys to be pressed");
    }

    /// Presses one key so many times.
    pub async fn press_times(&self, key: Key, times: usize) {
        self.press(&char::from(key).to_string().repeat(times)).await;
    }

    /// Presses keys together: each is held until all are down.
    pub async fn chord(&self, keys: &[char]) {
        let mut actions = KeyActions::new("keyboard".to_owned());
        for &value in keys {
            actions = actions.then(KeyAction::Down { value });
        }
        for &value in keys.iter().rev() {
            actions = actions.then(KeyAction::Up { value });
        }
        self.client
            .perform_actions(actions)
            .await
            .expect("keys to be pressed");
    }

    /// The id of the element that has the focus; empty when it has none.
    pub async fn focus(&self) -> String {
        let id = self.script("return document.activeElement?.id ?? ''").await;
        id.as_str().unwrap_or_default().to_owned()
    }

    /// Clicks a button that saves a file, waits until the file is there, and gives its path.
    pub async fn save(&self, button: &str) -> PathBuf {
        self.save_by(async || self.click(button).await).await
    }

    /// Saves a file in whatever way, waits until it is there, and gives its path.
    pub async fn save_by(&self, act: impl AsyncFnOnce()) -> PathBuf {
        let before = files(&self.downloads);
        act().await;
        let fresh = || {
            let now = files(&self.downloads);
            now.into_iter().find(|file| !before.contains(file))
        };
        // WebKit writes it under its own name from the start: it is whole once it does not grow any more.
        let size = || fs::metadata(fresh()?).ok().map(|file| file.len());
        self.until("the saved file", async || {
            let before = size();
            sleep(Duration::from_millis(200)).await;
            before.is_some_and(|bytes| bytes > 0) && size() == before
        })
        .await;
        fresh().expect("the file that was there a moment ago")
    }

    /// Makes the window so large, in CSS pixels.
    pub async fn size(&self, width: u32, height: u32) {
        // A screen without a window manager gives the keyboard to the window below the pointer, which stands in its middle.
        let left = (SCREEN.0 - width) / 2;
        let top = (SCREEN.1 - height) / 2;
        self.client
            .set_window_rect(left, top, width, height)
            .await
            .expect("a window of that size");
    }

    /// A command of Chromium's own protocol.
    pub async fn chromium(&self, command: &str, parameters: Value) -> Value {
        assert_eq!(self.engine, Engine::Chromium, "only Chromium has {command}");
        self.ask(
            "goog/cdp/execute",
            json!({ "cmd": command, "params": parameters }),
        )
        .await
    }

    /// Holds a telephone of that size, in CSS pixels, instead of sitting before a screen. Only Chromium can be made to be
    /// one; the windows of the others do not become as small as that, so there the page is opened in a frame.
    pub async fn look_through(&self, width: u32, height: u32) {
        self.phone.set(Some((width, height)));
        if self.engine == Engine::Chromium {
            self.chromium(
                "Emulation.setDeviceMetricsOverride",
                json!({ "width": width, "height": height, "deviceScaleFactor": 3, "mobile": true }),
            )
            .await;
        } else {
            self.script_with(
                "if (frameElement) { frameElement.width = arguments[0]; frameElement.height = arguments[1]; }",
                vec![width.into(), height.into()],
            )
            .await;
        }
    }

    /// Opens the page of a site, as large as the screen or the telephone is.
    pub async fn open_at(&self, site: &Site) {
        match self.phone.get() {
            Some((width, height)) if self.engine != Engine::Chromium => {
                self.open_framed(&site.window(width, height, &site.page()))
                    .await;
            }
            _ => self.open(&site.page()).await,
        }
    }

    /// Opens a page that shows ours in a frame, and looks into the frame.
    pub async fn open_framed(&self, address: &str) {
        self.go(address).await;
        self.client
            .enter_frame(0)
            .await
            .expect("the frame of the page");
        self.wait_for_start().await;
    }

    /// Lets files be saved without asking where, and forgets what the browser did to show its own first tab.
    pub async fn settle_in(&self) {
        if self.engine == Engine::Chromium {
            self.chromium(
                "Browser.setDownloadBehavior",
                json!({ "behavior": "allow", "downloadPath": self.downloads }),
            )
            .await;
        } else {
            self.size(WINDOW.0, WINDOW.1).await;
        }
        self.go("about:blank").await;
        self.requests().await;
        self.complaints().await;
    }

    /// The addresses that the browser asked for since this was last called, of every kind of request: what Chromium
    /// writes down. The other engines tell nothing, and leave it to the site and the gate.
    pub async fn requests(&self) -> Vec<String> {
        let mut requests = Vec::new();
        if self.engine != Engine::Chromium {
            return requests;
        }
        for entry in self.log("performance").await {
            let text = entry["message"].as_str().unwrap_or_default();
            let event: Value = serde_json::from_str(text).expect("an event of the browser's");
            let event = &event["message"];
            let address = match event["method"].as_str() {
                Some("Network.requestWillBeSent") => &event["params"]["request"]["url"],
                Some("Network.webSocketCreated") => &event["params"]["url"],
                _ => continue,
            };
            requests.push(address.as_str().unwrap_or_default().to_owned());
        }
        requests
    }

    /// Nothing was asked for outside the page's own folder, and the console holds no error: a script or a style that the
    /// page's policy stops is one, and so is a fault in the page.
    pub async fn check_that_nothing_left(&self, page: &str) {
        self.check_the_requests(page).await;
        assert_eq!(self.complaints().await, [] as [String; 0]);
    }

    /// What the page did wrong since this was last called: errors in Chromium's console; in the other engines faults and
    /// broken rules of the policy, as the page itself can hear of them.
    async fn complaints(&self) -> Vec<String> {
        if self.engine == Engine::Chromium {
            let entries = self.log("browser").await;
            return entries
                .iter()
                .filter(|entry| entry["level"] == "SEVERE")
                .map(Value::to_string)
                .collect();
        }
        let mut heard = self.heard.take();
        heard.extend(self.listened().await);
        heard
    }

    /// What the page that is shown now was heard to complain of.
    async fn listened(&self) -> Vec<String> {
        match self.script("return (window.heard ?? []).splice(0)").await {
            Value::Array(list) => list.iter().map(Value::to_string).collect(),
            _ => Vec::new(),
        }
    }

    /// Keeps what the page complained of before another takes its place.
    async fn keep_what_was_heard(&self) {
        if self.engine != Engine::Chromium {
            let more = self.listened().await;
            self.heard.borrow_mut().extend(more);
        }
    }

    async fn listen(&self) {
        self.script(
            "if (window.heard) return;
             window.heard = [];
             addEventListener('error', (event) => heard.push(`error: ${event.message}`));
             addEventListener('unhandledrejection', (event) => heard.push(`rejected: ${event.reason}`));
             addEventListener('securitypolicyviolation', (event) =>
               heard.push(`against the policy: ${event.violatedDirective} ${event.blockedURI}`));",
        )
        .await;
    }

    /// Nothing was asked for outside the page's own folder; a file of this machine is no request to anybody.
    pub async fn check_the_requests(&self, page: &str) {
        for request in self.requests().await {
            let own = request.starts_with(page)
                || request.contains(FRAME)
                || request.starts_with("data:")
                || request.starts_with("blob:")
                || request.starts_with("file:");
            assert!(own, "a request left the page: {request}");
        }
    }

    /// Waits until the page has said that it could not start, and gives what it says.
    pub async fn trouble(&self) -> String {
        self.until("the page to say that it cannot start", async || {
            self.count("#boot-trouble:not([hidden])").await == 1
        })
        .await;
        self.text("#boot-trouble").await
    }

    /// The window that is looked at.
    pub async fn window(&self) -> WindowHandle {
        self.client.window().await.expect("a window")
    }

    /// Opens one more tab of the same browser, which is not looked at yet.
    pub async fn new_window(&self) -> WindowHandle {
        let opened = self.client.new_window(true).await.expect("one more tab");
        opened.handle
    }

    /// Looks at another window.
    pub async fn enter_window(&self, window: &WindowHandle) {
        self.client
            .switch_to_window(window.clone())
            .await
            .expect("the other window");
    }

    /// Goes back to the page before this one.
    pub async fn back(&self) {
        self.client.back().await.expect("the page before");
    }

    async fn log(&self, kind: &str) -> Vec<Value> {
        match self.ask("se/log", json!({ "type": kind })).await {
            Value::Array(entries) => entries,
            other => panic!("no log: {other}"),
        }
    }

    /// Sends a command that is the driver's own.
    async fn ask(&self, command: &'static str, body: Value) -> Value {
        self.client
            .issue_cmd(DriverCommand { command, body })
            .await
            .unwrap_or_else(|error| panic!("{command}: {error}"))
    }
}

/// The address under which a browser opens a file.
pub fn file_address(path: &Path) -> String {
    format!("file://{}", path.display())
}

/// What the engines put at the end of the name of a file that is still being written.
const UNFINISHED: [&str; 3] = [".crdownload", ".part", ".wkdownload"];

/// The finished files in a folder.
fn files(folder: &Path) -> Vec<PathBuf> {
    let mut files: Vec<PathBuf> = fs::read_dir(folder)
        .expect("the folder for downloads")
        .filter_map(|entry| Some(entry.ok()?.path()))
        .filter(|path| {
            let name = path.file_name().map(|name| name.to_string_lossy());
            name.is_some_and(|name| {
                !UNFINISHED.iter().any(|ending| name.ends_with(ending)) && !name.starts_with('.')
            })
        })
        .collect();
    files.sort();
    files
}

/// A command that Chromium's driver knows and the standard does not.
#[derive(Debug)]
struct DriverCommand {
    command: &'static str,
    body: Value,
}

impl WebDriverCompatibleCommand for DriverCommand {
    fn endpoint(
        &self,
        base_url: &url::Url,
        session_id: Option<&str>,
    ) -> Result<url::Url, url::ParseError> {
        let session = session_id.unwrap_or_default();
        base_url.join(&format!("session/{session}/{}", self.command))
    }

    fn method_and_body(&self, _: &url::Url) -> (http::Method, Option<String>) {
        (http::Method::POST, Some(self.body.to_string()))
    }
}
