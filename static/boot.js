// Starts the page: fetches the bindings and the wasm that this script's own tag names, and runs them; and when the wasm
// has stopped, at the start or later, tells the user so, because the wasm itself no longer can.
//
// Written in the oldest syntax and as a classic script on purpose. A browser too old for the page
// then still reads this file, and tells its user so in a sentence instead of staying silent.
//
// When the page runs, <html data-boot="started"> says so and `window.yokeline` holds what the wasm exports. While its
// start is under way the wasm writes "starting". If a file did not arrive data-boot is "failed" and the element
// boot-trouble is shown; if the wasm has stopped data-boot is "stopped" and the element `stopped` is shown.
(function () {
  "use strict";

  // So long after the start the page counts as being at work, in milliseconds.
  var SETTLED_AFTER = 1000;

  var root = document.documentElement;
  var tag = document.currentScript || document.querySelector("script[data-wasm]");

  function log(what, reason) {
    if (window.console && console.error) {
      console.error(what, reason);
    }
  }

  function show(id) {
    var element = document.getElementById(id);
    if (element) {
      element.hidden = false;
      element.removeAttribute("hidden");
    }
  }

  function fail(reason) {
    if (root.getAttribute("data-boot") === "started") {
      return;
    }
    // A file that did not arrive says nothing about the job.
    if (window.yokelineKept) {
      yokelineKept.settled();
    }
    root.setAttribute("data-boot", "failed");
    show("boot-trouble");
    log("The page could not start:", reason);
  }

  function stop(reason) {
    if (root.getAttribute("data-boot") === "stopped") {
      return;
    }
    root.setAttribute("data-boot", "stopped");
    show(yokelineKept.rescue() ? "stopped-kept" : "stopped-not-kept");
    show("stopped");
    log("The page has stopped:", reason);
  }

  // A fault that leaves the wasm able to go on is for the console alone.
  function lookAfter(fault) {
    if (!window.yokeline || root.getAttribute("data-boot") !== "started") {
      return;
    }
    // An error may be told in the middle of something: what can still be done is asked when that is over.
    setTimeout(function () {
      var alive = false;
      try {
        alive = !(fault instanceof WebAssembly.RuntimeError) && window.yokeline.alive();
      } catch (dead) {
        fault = fault || dead;
      }
      if (!alive) {
        stop(fault);
      }
    }, 0);
  }

  function start() {
    // Bindings in a syntax that this browser does not know load without leaving anything.
    if (typeof wasm_bindgen !== "function") {
      fail("the bindings are not readable");
      return;
    }
    yokelineKept.begin(function () {
      wasm_bindgen({ module_or_path: tag.getAttribute("data-wasm") }).then(function () {
        window.yokeline = wasm_bindgen;
        root.setAttribute("data-boot", "started");
        yokelineKept.replay();
        setTimeout(yokelineKept.settled, SETTLED_AFTER);
      }).catch(function (reason) {
        if (root.getAttribute("data-boot") === "starting") {
          stop(reason);
        } else {
          fail(reason);
        }
      });
    });
  }

  if (typeof WebAssembly !== "object" || typeof Promise !== "function") {
    fail("no WebAssembly");
    return;
  }
  window.addEventListener("error", function (event) {
    lookAfter(event.error);
  });
  window.addEventListener("unhandledrejection", function (event) {
    lookAfter(event.reason);
  });
  var again = document.getElementById("load-again");
  if (again) {
    again.addEventListener("click", function () {
      window.location.reload();
    });
  }
  var bindings = document.createElement("script");
  bindings.src = tag.getAttribute("data-js");
  bindings.onload = start;
  bindings.onerror = function () {
    fail("the bindings did not load");
  };
  document.head.appendChild(bindings);
})();
