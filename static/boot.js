// Starts the page: fetches the bindings and the wasm that this script's own tag names, and runs them.
//
// Written in the oldest syntax and as a classic script on purpose. A browser too old for the page
// then still reads this file, and tells its user so in a sentence instead of staying silent.
//
// When the page runs, <html data-boot="started"> says so and `window.yokeline` holds what the wasm
// exports; otherwise data-boot is "failed" and the element boot-trouble is shown.
(function () {
  "use strict";

  var root = document.documentElement;
  var tag = document.currentScript || document.querySelector("script[data-wasm]");

  function fail(reason) {
    if (root.getAttribute("data-boot") === "started") {
      return;
    }
    root.setAttribute("data-boot", "failed");
    var trouble = document.getElementById("boot-trouble");
    if (trouble) {
      trouble.hidden = false;
      trouble.removeAttribute("hidden");
    }
    if (window.console && console.error) {
      console.error("The page could not start:", reason);
    }
  }

  function start() {
    // Bindings in a syntax that this browser does not know load without leaving anything.
    if (typeof wasm_bindgen !== "function") {
      fail("the bindings are not readable");
      return;
    }
    wasm_bindgen({ module_or_path: tag.getAttribute("data-wasm") }).then(function () {
      window.yokeline = wasm_bindgen;
      root.setAttribute("data-boot", "started");
    }, fail);
  }

  if (typeof WebAssembly !== "object" || typeof Promise !== "function") {
    fail("no WebAssembly");
    return;
  }
  var bindings = document.createElement("script");
  bindings.src = tag.getAttribute("data-js");
  bindings.onload = start;
  bindings.onerror = function () {
    fail("the bindings did not load");
  };
  document.head.appendChild(bindings);
})();
