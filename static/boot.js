// Starts the page: brings the bindings and the wasm, which this script's own tag names, and runs them. In the copy of the
// page in one file both lie in the document itself.
//
// Written in the oldest syntax and as a classic script on purpose. A browser too old for the page
// then still reads this file, and tells its user so in a sentence instead of staying silent.
//
// When the page runs, <html data-boot="started"> says so and `window.yokeline` holds what the wasm exports. While its
// start is under way the wasm writes "starting". If it cannot start data-boot is "failed" and the element boot-trouble is
// shown with the reason; if the wasm has stopped, at the start or later, data-boot is "stopped" and the element `stopped`
// is shown, because the wasm itself can no longer tell.
(function () {
  "use strict";

  var TOO_OLD = "This browser is too old for it, or WebAssembly is switched off. Try a newer browser, or another device.";
  var MISSING = "A file of the page did not arrive: the network is down, or a filter holds the file back. Load the page again.";
  var CHANGED = "Something else arrived in place of a file of the page: a filter on this network may have put it there. Try " +
    "another network, or ask whoever looks after this one to let .wasm files through.";
  var CUT = "A file of the page arrived only in part. Load the page again.";
  var FOLDER = "Opened from a folder it cannot load its parts. Open the file yokeline.html instead, which lies beside it and " +
    "holds everything.";

  // So long after the start the page counts as being at work, in milliseconds.
  var SETTLED_AFTER = 1000;

  var root = document.documentElement;
  var tag = document.currentScript || document.querySelector("script[data-wasm]");
  var packed = document.getElementById("packed-wasm");
  // The compiled wasm, from which a worker makes itself a page of its own.
  var module;

  function log(what, reason) {
    if (window.console && console.error) {
      console.error(what, reason);
    }
  }

  function show(id) {
    var element = document.getElementById(id);
    if (element) {
      element.removeAttribute("hidden");
    }
  }

  function fail(why, error) {
    if (root.getAttribute("data-boot") === "started") {
      return;
    }
    // A file that did not arrive says nothing about the job.
    if (window.yokelineKept) {
      yokelineKept.settled();
    }
    root.setAttribute("data-boot", "failed");
    var reason = document.getElementById("boot-why");
    if (reason && why) {
      reason.textContent = why;
    }
    show("boot-trouble");
    log("The page could not start:", error || why);
    settle();
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

  // What can be had without the wasm as well: a newer version, a copy.
  function settle() {
    if (!packed && tag.getAttribute("data-away")) {
      add(tag.getAttribute("data-away"));
    }
  }

  function add(address, then, otherwise) {
    var script = document.createElement("script");
    script.src = address;
    script.onload = then || null;
    script.onerror = otherwise || null;
    document.head.appendChild(script);
  }

  function start() {
    // Bindings in a syntax that this browser does not know load without leaving anything.
    if (typeof wasm_bindgen !== "function") {
      fail(TOO_OLD, "the bindings are not readable");
      return;
    }
    var wasm = packed ? WebAssembly.compile(unpacked(packed.textContent)) : fetched();
    wasm.then(function (compiled) {
      module = compiled;
      yokelineKept.begin(run);
    }).then(null, function (error) {
      fail(typeof error === "string" ? error : packed ? TOO_OLD : "", error);
    });
  }

  function run() {
    wasm_bindgen({ module_or_path: module }).then(function () {
      window.yokeline = wasm_bindgen;
      root.setAttribute("data-boot", "started");
      yokelineKept.replay();
      setTimeout(yokelineKept.settled, SETTLED_AFTER);
      settle();
    }).then(null, function (error) {
      if (root.getAttribute("data-boot") === "starting") {
        stop(error);
      } else {
        fail(TOO_OLD, error);
      }
    });
  }

  function unpacked(base64) {
    var text = atob(base64);
    var bytes = new Uint8Array(text.length);
    for (var i = 0; i < text.length; i += 1) {
      bytes[i] = text.charCodeAt(i);
    }
    return bytes;
  }

  // The compiled wasm from its file, compiled while it arrives where the browser and the server's words for it let us.
  function fetched() {
    var address = tag.getAttribute("data-wasm");
    return fetch(address).then(function (response) {
      if (!response.ok) {
        throw MISSING;
      }
      if (WebAssembly.compileStreaming && response.headers.get("content-type") === "application/wasm") {
        return WebAssembly.compileStreaming(response);
      }
      return response.arrayBuffer().then(compiled);
    }).then(null, function () {
      // Once more, past whatever the browser kept, and with an eye on what arrives.
      return fetch(address, { cache: "reload" }).then(function (response) {
        if (!response.ok) {
          throw MISSING;
        }
        return response.arrayBuffer();
      }).then(compiled, function () {
        throw MISSING;
      });
    });
  }

  function compiled(buffer) {
    var bytes = new Uint8Array(buffer);
    var whole = Number(tag.getAttribute("data-wasm-bytes")) || 0;
    // Every wasm begins with these four bytes.
    if (bytes[0] !== 0 || bytes[1] !== 0x61 || bytes[2] !== 0x73 || bytes[3] !== 0x6d) {
      throw CHANGED;
    }
    if (bytes.length < whole) {
      throw CUT;
    }
    return WebAssembly.compile(bytes).then(null, function () {
      throw TOO_OLD;
    });
  }

  // Has the simulation run in a worker, so that the page stays free; where no worker can be had, in the page itself.
  window.simulateBeside = function (job, answer) {
    var worker;
    var answered = false;
    function take(outcome) {
      if (worker) {
        worker.terminate();
      }
      if (!answered) {
        answered = true;
        answer(outcome);
      }
    }
    function inThePage() {
      // The page shows first that it is at it.
      setTimeout(function () {
        take(wasm_bindgen.simulate(job));
      }, 50);
    }
    try {
      worker = new Worker(packed ? packedWorker() : tag.getAttribute("data-worker"));
      worker.onmessage = function (event) {
        if (event.data) {
          take(event.data[0]);
        } else {
          inThePage();
        }
      };
      worker.onerror = inThePage;
      worker.postMessage([packed ? "" : new URL(tag.getAttribute("data-js"), document.baseURI).href, module, job]);
    } catch (refused) {
      inThePage();
    }
  };

  function packedWorker() {
    var parts = ["packed-bindings", "packed-worker"].map(function (id) {
      return document.getElementById(id).textContent + "\n";
    });
    return URL.createObjectURL(new Blob(parts, { type: "text/javascript" }));
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

  // Where the browser keeps nothing, the page does not say that it keeps the job.
  if (window.yokelineKept && !yokelineKept.canKeep()) {
    root.setAttribute("data-unkept", "");
  }

  if (typeof WebAssembly !== "object" || typeof Promise !== "function" || typeof fetch !== "function") {
    fail(TOO_OLD);
  } else if (!window.yokelineKept) {
    fail(location.protocol === "file:" ? FOLDER : MISSING);
  } else if (packed) {
    start();
  } else if (location.protocol === "file:") {
    fail(FOLDER);
  } else {
    add(tag.getAttribute("data-js"), start, function () {
      fail(MISSING);
    });
  }
})();
