// Runs the simulation beside the page: takes the addresses of bindings and wasm and the job as text, answers once with
// what the simulation says, or null.
(function () {
  "use strict";

  self.onmessage = function (event) {
    importScripts(event.data[0]);
    wasm_bindgen({ module_or_path: event.data[1] }).then(function () {
      self.postMessage(wasm_bindgen.simulate(event.data[2]));
    }).catch(function () {
      self.postMessage(null);
    });
  };
})();
