//! Who owns the state, and what happens after each message: update, then each part shows what has changed.

use std::cell::RefCell;
use std::collections::VecDeque;

use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{Document, HtmlElement, HtmlInputElement, Window};

use super::answers::AnswersPart;
use super::apparatus::ApparatusPart;
use super::class::ClassPart;
use super::elements::{Shown, find, set_text};
use super::events;
use super::focus::Place;
use super::graph::GraphPart;
use super::grid::GridPart;
use super::handout;
use super::listener::Listener;
use super::notes::NotesPart;
use super::plan_part::{self, PlanPart};
use super::practice;
use super::result::ResultPart;
use super::simulate::SimulationPart;
use super::state::{Msg, Source, State, update};
use super::take::TakePart;
use super::task::Task;
use super::task_part::TaskPart;
use crate::keep::homework::{self, holds_homework};
use crate::keep::store::{self, Why};
use crate::keep::{KeepError, file, link};

/// How long after a change the job is kept, in milliseconds: what is typed meanwhile is kept with it.
const KEEP_AFTER_MS: i32 = 500;

/// Told to `static/kept.js` when the job was kept, and when everything was forgotten.
const KEPT: &str = "yokeline-kept";
const FORGOTTEN: &str = "yokeline-forgotten";

/// The page at work.
pub struct App {
    window: Window,
    document: Document,
    state: State,
    grid: GridPart,
    apparatus: ApparatusPart,
    graph: GraphPart,
    result: ResultPart,
    notes: NotesPart,
    simulation: SimulationPart,
    answers: AnswersPart,
    class: ClassPart,
    take: TakePart,
    task: TaskPart,
    plan: PlanPart,
    /// What this tab has read from the store or written there.
    kept: Option<String>,
    kept_revision: u64,
    kept_generation: u64,
    /// Where this tab keeps its job while another tab keeps another one.
    apart: String,
    /// Why nothing can be kept, once that was told.
    told: Option<KeepError>,
    keeping: Closure<dyn FnMut()>,
    keeping_timer: Option<i32>,
    checking: Closure<dyn FnMut()>,
    checking_asked: bool,
    painting: Closure<dyn FnMut()>,
    painting_asked: bool,
    _listeners: Vec<Listener>,
}

thread_local! {
    static APP: RefCell<Option<App>> = const { RefCell::new(None) };
    static QUEUE: RefCell<VecDeque<Msg>> = const { RefCell::new(VecDeque::new()) };
}

/// Brings the page to life. A fault goes to the console, and on to `static/boot.js`, which tells the user.
pub fn start() {
    std::panic::set_hook(Box::new(|fault| {
        web_sys::console::error_1(&fault.to_string().into());
    }));
    if let Err(error) = set_up() {
        wasm_bindgen::throw_val(error);
    }
}

/// Whether the page can still do something: a fault in the middle of showing leaves it held for ever. Asked when nothing
/// else is going on.
pub fn is_alive() -> bool {
    APP.with(|app| app.try_borrow_mut().is_ok_and(|app| app.is_some()))
}

/// Does what the message asks for, now or as soon as what is being done is done.
pub fn send(msg: Msg) {
    QUEUE.with_borrow_mut(|queue| queue.push_back(msg));
    let place = APP.with(|app| {
        // A part that is showing something may set off an event, whose message waits for its turn.
        let mut app = app.try_borrow_mut().ok()?;
        let app = app.as_mut()?;
        let place = Place::now(&app.document);
        while let Some(msg) = QUEUE.with_borrow_mut(VecDeque::pop_front) {
            app.take_in(msg);
        }
        place
    });
    // Entering an element is heard at once, so the page is not held meanwhile.
    if let Some(place) = place {
        place.keep();
    }
}

/// Looks something up in the page; `None` while it is busy.
pub fn read<T>(look: impl FnOnce(&App) -> T) -> Option<T> {
    APP.with(|app| app.try_borrow().ok()?.as_ref().map(look))
}

/// Does something with the page's parts; nothing while it is busy.
pub fn with(act: impl FnOnce(&mut App) -> Shown) {
    APP.with(|app| {
        if let Ok(mut app) = app.try_borrow_mut()
            && let Some(app) = app.as_mut()
            && let Err(error) = act(app)
        {
            web_sys::console::error_1(&error);
        }
    });
}

/// Keeps the job now, and says so once where that cannot be.
pub fn keep() {
    let mut trouble = None;
    with(|app| {
        trouble = app.keep();
        Ok(())
    });
    match trouble {
        Some(trouble) => say(trouble, true),
        // That another tab keeps another job may have been noticed on the way.
        None => look_around(),
    }
}

/// Looks whether another tab has kept another job.
pub fn look_around() {
    let mut seen = None;
    with(|app| {
        seen = app.look_around();
        Ok(())
    });
    if let Some(msg) = seen {
        send(msg);
    }
}

/// Says something in the status line.
pub fn say(text: impl Into<String>, trouble: bool) {
    send(Msg::Say {
        text: text.into(),
        trouble,
    });
}

impl App {
    /// What the page knows.
    pub fn state(&self) -> &State {
        &self.state
    }

    /// The document.
    pub fn document(&self) -> &Document {
        &self.document
    }

    /// The window.
    pub fn window(&self) -> &Window {
        &self.window
    }

    /// The table's part of the page.
    pub fn grid(&mut self) -> &mut GridPart {
        &mut self.grid
    }

    /// The cell that was entered last.
    pub fn grid_current(&self) -> Option<(usize, usize)> {
        self.grid.current()
    }

    /// Whether the cell was only entered so far, by the press of a button that is not released yet.
    pub fn grid_just_entered(&self) -> bool {
        self.grid.just_entered()
    }

    /// Whether the cell is being typed in, so that arrow keys move the caret.
    pub fn grid_editing(&self) -> bool {
        self.grid.editing()
    }

    /// The field of a cell, to be entered when the page is no longer held.
    pub fn cell_field(&self, row: usize, column: usize) -> Option<HtmlInputElement> {
        self.grid.field(row, column)
    }

    /// The tick of a row, likewise.
    pub fn tick(&self, row: usize) -> Option<HtmlInputElement> {
        self.grid.tick(row)
    }

    /// The field of a heading, likewise.
    pub fn heading_field(&self, column: usize) -> Option<HtmlInputElement> {
        self.grid.heading(column)
    }

    /// A field of the apparatus, likewise.
    pub fn apparatus_field(&self, name: &str) -> Option<HtmlElement> {
        self.apparatus.field(&self.document, name)
    }

    /// The graph's part of the page.
    pub fn graph(&self) -> &GraphPart {
        &self.graph
    }

    /// The part with the downloads.
    pub fn take(&self) -> &TakePart {
        &self.take
    }

    fn take_in(&mut self, msg: Msg) {
        if msg.may_replace_the_job() && self.state.revision() != self.kept_revision {
            // What is put aside in a moment is what is kept.
            self.keep();
        }
        match msg {
            Msg::TakeOther => return self.take_other(),
            Msg::KeepMine => {
                store::put_job_aside(Why::OtherTab);
                self.kept = None;
                self.kept_revision = u64::MAX;
                store::leave_apart(&self.apart);
            }
            _ => {}
        }
        let forgotten = msg == Msg::Forget;
        let typed_in = match &msg {
            Msg::SetCell { row, column, .. } => Some((*row, *column)),
            _ => None,
        };
        let answered = matches!(msg, Msg::SetAnswer { .. } | Msg::Attempt);
        let planned = matches!(msg, Msg::SetPlan { .. } | Msg::ExamplePlan);
        let finished = !msg.is_typing();
        let attempted = msg == Msg::Attempt;
        update(&mut self.state, msg);
        if forgotten {
            self.forget();
        }
        if planned || answered && self.state.task().is_some() {
            self.keep_soon();
        }
        if let Err(error) = self.show(typed_in) {
            web_sys::console::error_1(&error);
        }
        if finished {
            self.graph.tell(&self.state);
            self.plan.tell();
        }
        if attempted {
            self.answers.tell();
        }
        if self.state.checking().is_some() {
            self.check_on_soon();
        }
        if self.state.revision() != self.kept_revision {
            // From here on the job is no longer the one in the link that may have opened it, which is better than nothing
            // where the browser keeps nothing.
            if self.told.is_none() {
                self.drop_fragment();
            }
            self.keep_soon();
        }
    }

    fn show(&mut self, typed_in: Option<(usize, usize)>) -> Shown {
        self.grid.show(&self.document, &self.state, typed_in)?;
        self.apparatus.show(&self.document, &self.state)?;
        self.result.show(&self.document, &self.state)?;
        self.notes.show(&self.document, &self.state)?;
        self.simulation.show(&self.document, &self.state)?;
        self.answers.show(&self.document, &self.state)?;
        self.class.show(&self.document, &self.state)?;
        self.take.show(&self.state)?;
        self.task.show(&self.state)?;
        self.plan.show(&self.document, &self.state)?;
        plan_part::beside(&self.document, &self.state)?;
        if self.graph.show(&self.document, &self.state)? {
            self.ask_for_painting()?;
        }
        Ok(())
    }

    /// Paints the graph before the next frame, once, however often it is asked for.
    pub fn ask_for_painting(&mut self) -> Shown {
        if !self.painting_asked {
            self.painting_asked = true;
            self.window
                .request_animation_frame(self.painting.as_ref().unchecked_ref())?;
        }
        Ok(())
    }

    fn paint(&mut self) -> Shown {
        self.painting_asked = false;
        self.graph.paint(&self.window, &self.state)
    }

    /// Goes on with a class when the page has looked up.
    fn check_on_soon(&mut self) {
        if self.checking_asked {
            return;
        }
        let window = &self.window;
        let asked = window.set_timeout_with_callback(self.checking.as_ref().unchecked_ref());
        self.checking_asked = asked.is_ok();
    }

    /// Keeps the job on this device in a moment.
    fn keep_soon(&mut self) {
        if self.keeping_timer.is_none() {
            let window = &self.window;
            let asked = window.set_timeout_with_callback_and_timeout_and_arguments_0(
                self.keeping.as_ref().unchecked_ref(),
                KEEP_AFTER_MS,
            );
            self.keeping_timer = asked.ok();
        }
    }

    fn wait_no_longer(&mut self) {
        if let Some(timer) = self.keeping_timer.take() {
            self.window.clear_timeout_with_handle(timer);
        }
    }

    /// Keeps the job on this device now, if it was changed since. A reason why it could not is given once.
    pub fn keep(&mut self) -> Option<String> {
        self.wait_no_longer();
        let outcome = self.keep_now();
        self.announce(KEPT);
        match outcome {
            Ok(()) => {
                self.told = None;
                None
            }
            Err(error) if self.told.as_ref() == Some(&error) => None,
            Err(error) => {
                let said = error.to_string();
                self.told = Some(error);
                Some(said)
            }
        }
    }

    fn keep_now(&mut self) -> Result<(), KeepError> {
        if self.state.planned().is_some() {
            store::save_plan(self.state.plan());
        }
        let there = store::job_text()?;
        // The readings of a task are kept with it even where they came with its link.
        let changed = self.state.revision() != self.kept_revision || self.state.task().is_some();
        let vanished = there.is_none() && self.kept.is_some();
        if !changed && !vanished {
            return Ok(());
        }
        let text = file::to_json(self.state.job());
        if there.is_some() && there != self.kept && there.as_ref() != Some(&text) {
            update(&mut self.state, Msg::Rival(true));
        }
        if self.state.rival() {
            store::save_apart(&self.apart, &text)?;
            self.kept_revision = self.state.revision();
            return Ok(());
        }
        if self.state.generation() != self.kept_generation && there.as_ref() != Some(&text) {
            store::put_job_aside(Why::Before);
        }
        self.kept_generation = self.state.generation();
        match self.state.task() {
            Some(task) => store::save_progress(&store::Progress {
                fragment: homework::to_fragment(&task.homework),
                student: task.student,
                attempted: task.attempted,
                answers: self.state.answers().clone(),
            }),
            None => store::forget_progress(),
        }
        store::save(&text)?;
        self.kept = Some(text);
        self.kept_revision = self.state.revision();
        Ok(())
    }

    /// Keeps the job before the page loads itself anew: this tab comes back with it, whatever another tab keeps.
    pub fn keep_through_a_reload(&mut self) {
        if let Some(msg) = self.look_around() {
            update(&mut self.state, msg);
        }
        self.keep();
        if self.state.rival() {
            let text = file::to_json(self.state.job());
            if store::save_apart(&self.apart, &text).is_ok() {
                store::come_back_to(&self.apart);
            }
        }
    }

    /// Looks whether another tab has kept another job meanwhile, or has forgotten this one.
    pub fn look_around(&mut self) -> Option<Msg> {
        let there = store::job_text().ok()?;
        if there == self.kept {
            return self.state.rival().then_some(Msg::Rival(false));
        }
        if there.is_some() {
            return Some(Msg::Rival(true));
        }
        self.kept = None;
        Some(Msg::Say {
            text: "In another tab the job was forgotten. Here it still stands: it is kept again as soon as you change \
                   something, and forgotten here too by the button below."
                .to_owned(),
            trouble: true,
        })
    }

    /// Takes what the other tab keeps; what stood here is kept apart, and undo brings it back.
    fn take_other(&mut self) {
        self.keep();
        let other = store::job_text().ok().flatten();
        let read = other.and_then(|text| Some((file::from_json(&text).ok()?, text)));
        if let Some((job, text)) = read {
            let job = Box::new(job);
            update(&mut self.state, Msg::TakeOther);
            update(
                &mut self.state,
                Msg::OpenJob {
                    job,
                    source: Source::OtherTab,
                },
            );
            self.kept = Some(text);
            self.kept_revision = self.state.revision();
            self.kept_generation = self.state.generation();
        }
        self.take_in(Msg::Settle);
    }

    /// Tells `static/kept.js`; where there is no such event nobody listens either.
    fn announce(&self, what: &str) {
        if let Ok(event) = web_sys::Event::new(what) {
            let _ = self.document.dispatch_event(&event);
        }
    }

    fn forget(&mut self) {
        self.kept = None;
        self.kept_revision = self.state.revision();
        self.kept_generation = self.state.generation();
        self.wait_no_longer();
        self.drop_fragment();
        let forgotten = store::forget();
        self.announce(FORGOTTEN);
        if let Err(error) = forgotten {
            update(
                &mut self.state,
                Msg::Say {
                    text: error.to_string(),
                    trouble: true,
                },
            );
        }
    }

    fn drop_fragment(&self) {
        let location = self.window.location();
        if let (Ok(hash), Ok(path), Ok(search)) =
            (location.hash(), location.pathname(), location.search())
            && link::holds_job(&hash)
            && let Ok(history) = self.window.history()
        {
            // Where the browser refuses, the link stays in the address: no harm beyond that.
            let _ = history.replace_state_with_url(
                &JsValue::NULL,
                "",
                Some(&format!("{path}{search}")),
            );
        }
    }
}

/// Opens the job or the task in the address of the page, if it holds one.
pub fn open_link(hash: &str) {
    let opened = if link::holds_job(hash) {
        link::from_fragment(hash).map(|job| Msg::OpenJob {
            job: Box::new(job),
            source: Source::Link,
        })
    } else if holds_homework(hash) {
        homework::from_fragment(hash).map(|homework| Msg::OpenTask {
            homework: Box::new(homework),
        })
    } else {
        return;
    };
    match opened {
        Ok(msg) => send(msg),
        Err(error) => {
            with(|app| {
                app.drop_fragment();
                Ok(())
            });
            say(
                format!("{error} The job on the page was not changed."),
                true,
            );
        }
    }
}

fn set_up() -> Shown {
    let window = web_sys::window().ok_or("there is no window")?;
    let document = window.document().ok_or("there is no document")?;
    set_text(&find(&document, "version")?, &crate::version());
    practice::set_up(&document)?;
    handout::set_up(&document)?;
    let app = App {
        state: State::first_visit(),
        grid: GridPart::find(&document)?,
        apparatus: ApparatusPart::find(&document)?,
        graph: GraphPart::find(&document)?,
        result: ResultPart::find(&document)?,
        notes: NotesPart::find(&document)?,
        simulation: SimulationPart::find(&document)?,
        answers: AnswersPart::find(&document)?,
        class: ClassPart::find(&document)?,
        take: TakePart::find(&document)?,
        task: TaskPart::find(&document)?,
        plan: PlanPart::find(&document)?,
        kept: None,
        kept_revision: 0,
        kept_generation: 0,
        apart: store::place_apart(),
        told: None,
        keeping: Closure::new(|| {
            keep();
        }),
        keeping_timer: None,
        checking: Closure::new(|| {
            with(|app| {
                app.checking_asked = false;
                Ok(())
            });
            send(Msg::CheckOn);
        }),
        checking_asked: false,
        painting: Closure::new(|| with(App::paint)),
        painting_asked: false,
        _listeners: events::listen(&window, &document)?,
        window: window.clone(),
        document,
    };
    APP.with_borrow_mut(|slot| *slot = Some(app));
    let kept = match store::job_text() {
        Ok(Some(text)) => open_kept(text),
        Ok(None) => {
            send(Msg::Settle);
            false
        }
        Err(error) => {
            say(error.to_string(), true);
            with(|app| {
                app.told = Some(error);
                Ok(())
            });
            false
        }
    };
    if let Some(plan) = store::load_plan() {
        send(Msg::OpenPlan(Box::new(plan)));
    }
    let hash = window.location().hash()?;
    // A task that was begun here goes on where it was left, opened by its link or without it.
    match store::load_progress().filter(|_| kept) {
        Some(progress) if !opens_something_else(&hash, &progress) => resume(progress),
        _ => open_link(&hash),
    }
    Ok(())
}

/// Opens what was kept; what cannot be read is put aside rather than written over.
fn open_kept(text: String) -> bool {
    match file::from_json(&text) {
        Ok(job) => {
            with(|app| {
                app.kept = Some(text);
                Ok(())
            });
            send(Msg::OpenJob {
                job: Box::new(job),
                source: Source::Kept,
            });
            true
        }
        Err(error) => {
            store::put_job_aside(Why::Unread);
            say(
                format!(
                    "What this browser kept cannot be opened here. {error} It was put aside: see “Put aside” below."
                ),
                true,
            );
            false
        }
    }
}

fn opens_something_else(hash: &str, progress: &store::Progress) -> bool {
    let is_link = link::holds_job(hash) || holds_homework(hash);
    is_link && homework::from_fragment(hash) != homework::from_fragment(&progress.fragment)
}

fn resume(progress: store::Progress) {
    if let Ok(homework) = homework::from_fragment(&progress.fragment) {
        send(Msg::ResumeTask {
            task: Box::new(Task {
                student: progress.student,
                attempted: progress.attempted,
                ..Task::new(homework)
            }),
            answers: progress.answers,
        });
    }
}
