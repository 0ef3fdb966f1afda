//! The three engines: how each is started, and what is asked of it.
//!
//! The engine is the one that YOKELINE_ENGINE names, Chromium when it names none; `cargo xtask test` goes through all
//! three. A test that needs a command which only Chromium has lies in the module `chromium`.

use std::env;
use std::path::PathBuf;
use std::process::{Command, Stdio};

use fantoccini::wd::Capabilities;
use serde_json::{Value, json};

use super::process::{Process, Screen};

/// What the windows are asked to be, in CSS pixels.
pub const WINDOW: (u32, u32) = (1280, 900);

/// The screen of those that need one: room for such a window and its frame.
pub const SCREEN: (u32, u32) = (WINDOW.0 + 100, WINDOW.1 + 300);

/// An engine, as it runs in the browser that stands for it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Engine {
    /// Chromium, and with it Chrome and Edge.
    Chromium,
    /// Firefox.
    Firefox,
    /// WebKitGTK, the nearest to Safari that runs here.
    WebKit,
}

/// Where one browser keeps its things, and what it must not get past.
pub struct Quarters {
    /// An empty folder that is the browser's own.
    pub home: PathBuf,
    /// Where saved files go.
    pub downloads: PathBuf,
    /// What every request to another machine is sent to instead.
    pub gate: String,
    /// Whether pages may keep anything.
    pub storage: bool,
}

impl Engine {
    /// The engine that is to be tested in.
    pub fn told() -> Self {
        match env::var("YOKELINE_ENGINE").as_deref() {
            Err(_) | Ok("chromium") => Engine::Chromium,
            Ok("firefox") => Engine::Firefox,
            Ok("webkit") => Engine::WebKit,
            Ok(other) => {
                panic!("YOKELINE_ENGINE is “{other}”: chromium, firefox and webkit are known")
            }
        }
    }

    /// The driver at work on that port; a screen to show its windows on, where the browser can't do without.
    pub fn driver(self, port: u16, quarters: &Quarters) -> (Process, Option<Screen>) {
        let (program, screen) = match self {
            Engine::Chromium => ("CHROMEDRIVER", None),
            Engine::Firefox => ("GECKODRIVER", None),
            Engine::WebKit => ("WEBKITDRIVER", Some(Screen::start(&told("XVFB"), SCREEN))),
        };
        let program = told(program);
        let mut command = Command::new(&program);
        command.stdout(Stdio::null()).stderr(Stdio::null());
        match self {
            Engine::Chromium => {
                command.arg(format!("--port={port}"));
            }
            Engine::Firefox => {
                // Port 0 of the second protocol: one that is free, so that two drivers never meet.
                command
                    .args(["--port", &port.to_string(), "--websocket-port", "0"])
                    // Without it the address of the settings below is not listened to.
                    .env("MOZ_REMOTE_SETTINGS_DEVTOOLS", "1");
            }
            Engine::WebKit => {
                // Its browser asks the desktop where saved files go, and a desktop keeps that in a file.
                let settings = quarters.home.join("settings");
                std::fs::create_dir_all(&settings).expect("a folder for the settings");
                let line = format!("XDG_DOWNLOAD_DIR=\"{}\"\n", quarters.downloads.display());
                std::fs::write(settings.join("user-dirs.dirs"), line).expect("a file of settings");
                command
                    .arg(format!("--port={port}"))
                    .env("HOME", &quarters.home)
                    .env("XDG_CONFIG_HOME", &settings)
                    .env("XDG_DATA_HOME", quarters.home.join("data"))
                    .env("XDG_CACHE_HOME", quarters.home.join("cache"))
                    .env("LANG", "C.UTF-8")
                    .env("GDK_BACKEND", "x11");
                if let Some(screen) = &screen {
                    command.env("DISPLAY", screen.name());
                }
            }
        }
        (Process::start(&mut command), screen)
    }

    /// What the driver is asked for.
    pub fn wishes(self, quarters: &Quarters) -> Capabilities {
        let wishes = match self {
            Engine::Chromium => chromium(quarters),
            Engine::Firefox => firefox(quarters),
            Engine::WebKit => webkit(quarters),
        };
        match wishes {
            Value::Object(wishes) => wishes,
            _ => Capabilities::new(),
        }
    }
}

fn chromium(quarters: &Quarters) -> Value {
    json!({
        "browserName": "chrome",
        "goog:loggingPrefs": { "browser": "ALL", "performance": "ALL" },
        "goog:chromeOptions": {
            "binary": told("CHROMIUM"),
            "args": [
                "--headless",
                "--no-sandbox",
                "--disable-gpu",
                "--disable-dev-shm-usage",
                "--disable-background-networking",
                "--no-first-run",
                "--lang=en-GB",
                format!("--window-size={},{}", WINDOW.0, WINDOW.1),
                // Should the page ever ask another machine for something, it is written down but does not arrive.
                "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1, EXCLUDE localhost",
                format!("--user-data-dir={}", quarters.home.display()),
            ],
            // 1 is to allow what pages want to keep, 2 to block it.
            "prefs": { "profile": { "default_content_setting_values": {
                "cookies": if quarters.storage { 1 } else { 2 },
            } } },
        },
    })
}

fn firefox(quarters: &Quarters) -> Value {
    json!({
        "browserName": "firefox",
        "proxy": gate(quarters),
        "moz:firefoxOptions": {
            "binary": told("FIREFOX"),
            "args": [
                "-headless",
                format!("--width={}", WINDOW.0),
                format!("--height={}", WINDOW.1),
            ],
            "prefs": {
                "intl.accept_languages": "en-GB",
                // Scroll bars that take no room, as a telephone has them.
                "ui.useOverlayScrollbars": 1,
                // 5 is its usual way, 2 to block all that pages want to keep.
                "network.cookie.cookieBehavior": if quarters.storage { 5 } else { 2 },
                "browser.download.folderList": 2,
                "browser.download.dir": quarters.downloads,
                "browser.download.useDownloadDir": true,
                "browser.download.always_ask_before_handling_new_types": false,
                "browser.download.alwaysOpenPanel": false,
                // What the browser asks its maker for by itself, which is none of the page's doing.
                "network.captive-portal-service.enabled": false,
                "network.connectivity-service.enabled": false,
                "app.normandy.enabled": false,
                "services.settings.server": "data:,none",
                "browser.newtabpage.enabled": false,
                "extensions.getAddons.cache.enabled": false,
                "media.gmp-manager.updateEnabled": false,
                "dom.push.connection.enabled": false,
            },
        },
    })
}

fn webkit(quarters: &Quarters) -> Value {
    json!({
        "proxy": gate(quarters),
        "webkitgtk:browserOptions": {
            "binary": told("MINIBROWSER"),
            "args": [
                "--automation",
                format!("--enable-html5-local-storage={}", quarters.storage),
            ],
        },
    })
}

fn gate(quarters: &Quarters) -> Value {
    json!({
        "proxyType": "manual",
        "httpProxy": quarters.gate,
        "sslProxy": quarters.gate,
        "noProxy": ["127.0.0.1", "localhost"],
    })
}

/// A path in the environment, which `cargo xtask test` sets.
pub fn told(variable: &str) -> PathBuf {
    env::var_os(variable).map(PathBuf::from).unwrap_or_else(|| {
        panic!(
            "The browser tests need the built page, a browser and its driver, and {variable} is not set: \
             run `cargo xtask test`, which builds the page, finds the browsers and runs every test."
        )
    })
}
