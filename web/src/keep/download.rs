//! Handing a file over to the person, from memory, without any server.
//!
//! Start at [`offer`].

use js_sys::{Array, Uint8Array};
use wasm_bindgen::JsCast;
use wasm_bindgen::closure::Closure;
use web_sys::{Blob, BlobPropertyBag, HtmlAnchorElement, Url};

use super::KeepError;

/// How long the browser has to read a file after the click, in milliseconds. Some read it only after the click has
/// returned, and some after the person has chosen a folder for it.
const TIME_TO_READ_MS: i32 = 60_000;

/// Offers `bytes` as a download called `name`, with the media type `mime`.
///
/// # Errors
/// [`KeepError::DownloadRefused`] when the browser lends no memory, no address or no element for it.
pub fn offer(name: &str, mime: &str, bytes: &[u8]) -> Result<(), KeepError> {
    let window = web_sys::window().ok_or(KeepError::DownloadRefused)?;
    let document = window.document().ok_or(KeepError::DownloadRefused)?;
    let url = ObjectUrl::new(mime, bytes)?;
    let anchor = document
        .create_element("a")
        .ok()
        .and_then(|element| element.dyn_into::<HtmlAnchorElement>().ok())
        .ok_or(KeepError::DownloadRefused)?;
    anchor.set_href(&url.address);
    anchor.set_download(name);
    anchor.set_hidden(true);
    // An anchor outside the document is not clicked in every browser.
    let body = document.body().ok_or(KeepError::DownloadRefused)?;
    body.append_child(&anchor)
        .map_err(|_| KeepError::DownloadRefused)?;
    anchor.click();
    anchor.remove();
    url.give_back_after(&window, TIME_TO_READ_MS)
}

/// The address of bytes in memory, which the browser keeps until it is given back; dropping it does so.
struct ObjectUrl {
    address: String,
}

impl ObjectUrl {
    fn new(mime: &str, bytes: &[u8]) -> Result<Self, KeepError> {
        let parts = Array::of1(&Uint8Array::from(bytes));
        let options = BlobPropertyBag::new();
        options.set_type(mime);
        Blob::new_with_u8_array_sequence_and_options(&parts, &options)
            .and_then(|blob| Url::create_object_url_with_blob(&blob))
            .map(|address| Self { address })
            .map_err(|_| KeepError::DownloadRefused)
    }

    /// Gives the address back, but not yet.
    fn give_back_after(self, window: &web_sys::Window, delay_ms: i32) -> Result<(), KeepError> {
        let drop_it = Closure::once_into_js(move || drop(self));
        window
            .set_timeout_with_callback_and_timeout_and_arguments_0(
                drop_it.unchecked_ref(),
                delay_ms,
            )
            .map(|_| ())
            .map_err(|_| KeepError::DownloadRefused)
    }
}

impl Drop for ObjectUrl {
    fn drop(&mut self) {
        // The only failure is an address that is no longer known, and then there is nothing to give back.
        let _ = Url::revoke_object_url(&self.address);
    }
}
