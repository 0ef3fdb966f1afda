//! Listeners that unhook themselves when they are dropped.

use wasm_bindgen::JsCast;
use wasm_bindgen::closure::Closure;
use web_sys::{Event, EventTarget};

/// A listener that hears for as long as it is kept.
pub struct Listener {
    target: EventTarget,
    name: &'static str,
    heard: Closure<dyn Fn(Event)>,
}

impl Listener {
    /// Hears `name` on `target` and on what is inside it. What is heard may set off the same event again: giving the
    /// focus to a cell is heard while another one is being entered.
    pub fn new(
        target: &EventTarget,
        name: &'static str,
        heard: impl Fn(Event) + 'static,
    ) -> Result<Self, wasm_bindgen::JsValue> {
        let heard = Closure::<dyn Fn(Event)>::new(heard);
        target.add_event_listener_with_callback(name, heard.as_ref().unchecked_ref())?;
        Ok(Listener {
            target: target.clone(),
            name,
            heard,
        })
    }
}

impl Drop for Listener {
    fn drop(&mut self) {
        // A target that is gone has no listener to take away.
        let _ = self
            .target
            .remove_event_listener_with_callback(self.name, self.heard.as_ref().unchecked_ref());
    }
}
