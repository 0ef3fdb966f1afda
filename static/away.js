// The page away from the network: a copy of it in one file, and the service worker that keeps it on this device. Both are
// extras: a browser that refuses them has the same page, and nothing is said of it.
//
// boot.js brings this script when the page has started, or could not.
(function () {
  "use strict";

  var tag = document.querySelector("script[data-wasm]");

  function find(id) {
    return document.getElementById(id);
  }

  // A copy remembers the address it came from, so that links made in it lead there. Where it cannot be fetched by a script,
  // the link saves it all the same.
  var link = find("keep-copy");
  if (link && window.fetch && window.URL && window.Blob) {
    link.addEventListener("click", function (event) {
      event.preventDefault();
      saveCopy();
    });
  }

  function saveCopy() {
    var said = find("copy-said");
    said.textContent = "Fetching it…";
    fetch(link.href).then(function (response) {
      return response.ok ? response.text() : "";
    }).then(function (text) {
      var start = text.indexOf("<html ");
      if (start < 0 || text.slice(-8).trim() !== "</html>") {
        throw new Error("not whole");
      }
      var home = (location.origin + location.pathname).replace(/&/g, "&amp;").replace(/"/g, "%22");
      var copy = text.slice(0, start) + '<html data-home="' + home + '" ' + text.slice(start + 6);
      var address = URL.createObjectURL(new Blob([copy], { type: "text/html" }));
      var anchor = document.createElement("a");
      anchor.href = address;
      anchor.download = "yokeline.html";
      document.body.appendChild(anchor);
      anchor.click();
      document.body.removeChild(anchor);
      setTimeout(function () {
        URL.revokeObjectURL(address);
      }, 60000);
      said.textContent = "Saved as yokeline.html.";
    }).then(null, function () {
      said.textContent = "The copy could not be fetched: the network is down, or a filter holds it back.";
    });
  }

  // What follows needs a service worker. A page built to be looked at while it is changed names none.
  var workers = navigator.serviceWorker;
  if (!workers || !tag.getAttribute("data-sw")) {
    return;
  }
  var registration;
  // It was asked for in this tab.
  var taking = false;
  // There is a newer version: it waits, or has taken over since it was asked for in another tab.
  var newer = false;

  // Now and then a page stays open for days.
  var HOUR = 3600000;
  var looked = Date.now();

  function watch(worker) {
    worker.addEventListener("statechange", function () {
      // The first version finds none at work.
      newer = newer || (worker.state === "installed" && Boolean(registration.active));
      look();
    });
  }

  function look() {
    find("offline-ready").hidden = !registration.active;
    find("newer").hidden = !newer;
  }

  function take() {
    // What is kept last is what the page comes back with, also where another tab kept something since.
    window.dispatchEvent(new Event("yokeline-keep"));
    taking = true;
    var waiting = registration.waiting;
    if (!waiting) {
      location.reload();
      return;
    }
    // Its taking over is told to a page only that has a service worker: none has one that was loaded past every cache.
    waiting.addEventListener("statechange", function () {
      if (waiting.state === "activated") {
        location.reload();
      }
    });
    waiting.postMessage("take");
  }

  find("newer-take").addEventListener("click", take);
  find("newer-later").addEventListener("click", function () {
    find("newer").hidden = true;
  });

  // Where the newer version was asked for the page is loaded anew; in another tab that is offered.
  workers.addEventListener("controllerchange", function () {
    newer = newer || !taking;
    look();
  });

  workers.register(tag.getAttribute("data-sw"), { updateViaCache: "none" }).then(function (registered) {
    registration = registered;
    newer = Boolean(registration.waiting);
    if (workers.controller) {
      workers.controller.postMessage("here");
    }
    if (registration.installing) {
      watch(registration.installing);
    }
    registration.addEventListener("updatefound", function () {
      watch(registration.installing);
    });
    look();
    document.addEventListener("visibilitychange", function () {
      if (!document.hidden && Date.now() - looked > HOUR) {
        looked = Date.now();
        registration.update().then(null, function () {});
      }
    });
  }).then(null, function () {});
})();
