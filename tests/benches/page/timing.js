// Runs in the page that is timed. `timing(start, wait)` calls `start`, waits for the frame in which its outcome is painted
// and for `wait()` to be true, and gives the milliseconds to both.
window.timing = async (start, wait) => {
  const frame = () => new Promise((done) => requestAnimationFrame(() => {
    const channel = new MessageChannel();
    channel.port1.onmessage = done;
    channel.port2.postMessage(0);
  }));
  await new Promise((done) => setTimeout(done, 60));
  await frame();
  const begin = performance.now();
  start();
  const handled = performance.now() - begin;
  do {
    await frame();
  } while (wait && !wait());
  return [handled, performance.now() - begin];
};
window.paste = (text) => {
  const data = new DataTransfer();
  data.setData("text/plain", text);
  document.body.dispatchEvent(new ClipboardEvent("paste", { clipboardData: data, bubbles: true, cancelable: true }));
};
window.type = (id, text) => {
  const field = document.getElementById(id);
  field.value = text;
  field.dispatchEvent(new Event("input", { bubbles: true }));
};
