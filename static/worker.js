// Runs the simulation beside the page: takes the address of the bindings (none where they stand before this script, as in
// the copy in one file), the compiled wasm and the job as text. Answers once, with what the simulation says in a list of
// one, or with null where the wasm cannot be started here.
(function () {
  "use strict";

  self.onmessage = function (event) {
    try {
      if (event.data[0]) {
        importScripts(event.data[0]);
      }
      wasm_bindgen({ module_or_path: event.data[1] }).then(function () {
        self.postMessage([wasm_bindgen.simulate(event.data[2])]);
      }).catch(function () {
        self.postMessage(null);
      });
    } catch (refused) {
      self.postMessage(null);
    }
  };
})();
