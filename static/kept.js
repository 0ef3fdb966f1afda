// What the page keeps besides the job itself: text that is typed but not taken in yet, what was put aside, and a copy of
// it all that outlives a browser which is ended by force.
//
// The wasm keeps the job in local storage and says so by the event "yokeline-kept". A browser may write its local storage
// to the disk only some seconds later, up to a minute when it is written often; a database is written at once. So all keys
// of the page's are copied there, and the copy is used when it is the newer of the two.
//
// Nothing here needs the wasm: boot.js asks `yokelineKept.canKeep` and calls `begin` before the wasm starts, `replay` when it
// runs, `settled` a little later, and `rescue` when it has stopped. Classic syntax throughout, as in boot.js.
(function () {
  "use strict";

  var PREFIX = "yokeline.";
  var ASIDE = PREFIX + "aside.";
  var TYPED = PREFIX + "typed";
  var STAMP = PREFIX + "stamp";
  // In the tab's own storage: how often in a row the page did not get as far as being at work, and what to put back.
  var STARTS = PREFIX + "starts";
  var PUT_BACK = PREFIX + "put-back";
  // So long a start may wait for the copy, and typing for being kept, in milliseconds.
  var LONGEST_RECALL = 1000;
  var KEEP_AFTER = 500;
  var KINDS = ["job", "task", "plan", "typed"];

  // Fields whose text the wasm takes in, some at each key and some when they are left.
  var JOB = "[data-field],[data-plan],[data-column],[data-heading],[data-unit],[data-series],[data-reason],#walk";
  var LATE = "[data-heading],[data-unit],[data-series],[data-reason]";
  // Fields whose text stands nowhere else.
  var FREE = "textarea[id],input[type=text][id],#practice-part select[id]";

  var unfinished = {};
  var late = {};
  var written = null;
  var timer = null;
  var stopped = false;

  /* The two storages: a browser may forbid either, by an exception or by null. */

  function storage(name) {
    try { return window[name] || null; } catch (forbidden) { return null; }
  }
  function read(store, key) {
    try { return store.getItem(key); } catch (forbidden) { return null; }
  }
  function write(store, key, text) {
    try { store.setItem(key, text); return true; } catch (full) { return false; }
  }
  function remove(store, key) {
    try { store.removeItem(key); } catch (forbidden) { /* There was nothing to forget. */ }
  }
  function canKeep() {
    var store = storage("localStorage"), probe = PREFIX + "probe";
    if (!store || !write(store, probe, "1")) { return false; }
    remove(store, probe);
    return true;
  }
  function keys(prefix) {
    var found = [], store = storage("localStorage"), i, key;
    for (i = 0; store && i < store.length; i++) {
      key = store.key(i);
      if (key && key.indexOf(prefix) === 0) { found.push(key); }
    }
    return found.sort();
  }
  // Taken away first: there may be no room for it twice.
  function move(from, to) {
    var store = storage("localStorage"), text = read(store, from);
    if (text === null) { return; }
    remove(store, from);
    if (!write(store, to, text)) { write(store, from, text); }
  }
  function moveAside(why, kinds) {
    var name = ASIDE + Date.now() + "." + why + ".";
    kinds.forEach(function (kind) { move(PREFIX + kind, name + kind); });
  }

  /* The copy. */

  function withDatabase(then, otherwise) {
    var asked;
    try { asked = window.indexedDB.open("yokeline", 1); } catch (forbidden) { otherwise(); return; }
    asked.onupgradeneeded = function () { asked.result.createObjectStore("copy"); };
    asked.onerror = otherwise;
    asked.onsuccess = function () {
      try { then(asked.result); } catch (refused) { asked.result.close(); otherwise(); }
    };
  }
  function copy() {
    var entries = {}, store = storage("localStorage"), at = Date.now();
    if (!store) { return; }
    write(store, STAMP, String(at));
    keys(PREFIX).forEach(function (key) { entries[key] = read(store, key); });
    withDatabase(function (database) {
      var change = database.transaction("copy", "readwrite");
      change.objectStore("copy").put({ at: at, entries: entries }, "all");
      change.oncomplete = change.onabort = function () { database.close(); };
    }, function () { /* Local storage has it all the same. */ });
  }
  function recall(then) {
    var waiting = true, store = storage("localStorage");
    function go(found) {
      if (!waiting) { return; }
      waiting = false;
      if (found && found.at > Number(read(store, STAMP) || 0)) {
        keys(PREFIX).forEach(function (key) { remove(store, key); });
        Object.keys(found.entries).forEach(function (key) { write(store, key, found.entries[key]); });
      }
      then();
    }
    if (!store) { then(); return; }
    setTimeout(go, LONGEST_RECALL, null);
    withDatabase(function (database) {
      var asked = database.transaction("copy").objectStore("copy").get("all");
      asked.onsuccess = function () { database.close(); go(asked.result); };
      asked.onerror = function () { database.close(); go(null); };
    }, function () { go(null); });
  }

  /* What is typed. */

  function each(css, act) {
    Array.prototype.forEach.call(document.querySelectorAll(css), act);
  }
  function usual(field) {
    return field.tagName === "SELECT" ? field.options.length ? field.options[0].value : "" : field.defaultValue;
  }
  function freeFields() {
    var fields = [];
    each(FREE, function (field) {
      if (!field.readOnly && !field.matches(JOB) && field.id !== "pager-row") { fields.push(field); }
    });
    return fields;
  }
  function keepTyped() {
    var store = storage("localStorage"), typed = { free: {}, unfinished: unfinished }, some = false, text;
    if (timer) { clearTimeout(timer); timer = null; }
    if (!store || written === null) { return; }
    freeFields().forEach(function (field) {
      if (field.value !== usual(field)) { typed.free[field.id] = field.value; some = true; }
    });
    text = some || Object.keys(unfinished).length ? JSON.stringify(typed) : "";
    // Another tab may have typed something of its own: what is as it was is left alone.
    if (text === written) { return; }
    written = text;
    if (text) { write(store, TYPED, text); } else { remove(store, TYPED); }
    copy();
  }
  function keepTypedSoon() {
    if (!timer) { timer = setTimeout(keepTyped, KEEP_AFTER); }
  }
  function typedText() {
    try { return JSON.parse(read(storage("localStorage"), TYPED) || "{}") || {}; } catch (rubbish) {
      moveAside("unread", ["typed"]);
      return {};
    }
  }
  function fill(id, text, inJob) {
    var field = document.getElementById(id), fold;
    if (!field || typeof text !== "string" || field.value === text || field.matches(JOB) !== inJob) { return; }
    field.value = text;
    field.dispatchEvent(new Event("input", { bubbles: true }));
    // An answer that is put back is no new attempt.
    if (field.tagName === "SELECT" || inJob) { field.dispatchEvent(new Event("change", { bubbles: true })); }
    if (field.tagName === "TEXTAREA") {
      for (fold = field.closest("details"); fold; fold = fold.parentElement.closest("details")) { fold.open = true; }
    }
  }
  function replay() {
    var typed = typedText(), free = typed.free || {}, last = typed.unfinished || {};
    written = read(storage("localStorage"), TYPED) || "";
    Object.keys(free).forEach(function (id) { fill(id, free[id], false); });
    Object.keys(last).forEach(function (id) { fill(id, last[id], true); });
    list();
  }

  document.addEventListener("input", function (event) {
    var field = event.target;
    if (field.id && field.matches && field.matches(JOB)) {
      unfinished[field.id] = field.value;
      if (field.matches(LATE)) { late[field.id] = true; }
    }
    keepTypedSoon();
  }, true);
  document.addEventListener("change", function (event) {
    delete late[event.target.id];
    keepTypedSoon();
  }, true);
  document.addEventListener("click", keepTypedSoon);
  document.addEventListener("yokeline-kept", function () {
    Object.keys(unfinished).forEach(function (id) {
      if (!late[id]) { delete unfinished[id]; }
    });
    keepTyped();
    copy();
  });
  document.addEventListener("yokeline-forgotten", function () {
    unfinished = {};
    late = {};
    freeFields().forEach(function (field) {
      if (field.value !== usual(field)) {
        field.value = usual(field);
        field.dispatchEvent(new Event("input", { bubbles: true }));
      }
    });
    written = "";
    list();
    copy();
  });
  window.addEventListener("pagehide", function (event) {
    // Left in good order before it was at work is no failed start.
    if (!stopped) { remove(storage("sessionStorage"), STARTS); }
    keepTyped();
    if (event.persisted) { complete("off", "on"); }
  });
  window.addEventListener("pageshow", function (event) {
    if (event.persisted) { complete("on", "off"); }
  });
  // Where one goes back to the page as it was left, WebKit empties the fields that a browser is not to complete.
  function complete(from, to) {
    each("[autocomplete=" + from + "]", function (field) { field.setAttribute("autocomplete", to); });
  }

  /* What was put aside. */

  function things() {
    var found = {};
    keys(ASIDE).forEach(function (key) {
      var name = key.slice(0, key.lastIndexOf(".") + 1);
      (found[name] = found[name] || {})[key.slice(name.length)] = read(storage("localStorage"), key);
    });
    return found;
  }
  function described(name, thing) {
    var parts = name.slice(ASIDE.length).split("."), words = document.getElementById("aside-" + parts[1]), job;
    var said = new Date(Number(parts[0])).toLocaleString() + ": " + (words ? words.textContent : "");
    try {
      job = JSON.parse(thing.job);
      said += " “" + (job.title || String(job.table).split("\n")[0]).slice(0, 60) + "”, " +
        String(job.table).trim().split("\n").length + " lines.";
    } catch (unreadable) { /* The rest is said all the same. */ }
    return said;
  }
  function button(item, words, act) {
    var made = document.createElement("button");
    made.type = "button";
    made.textContent = words;
    made.addEventListener("click", function () { act(made); });
    item.appendChild(made);
  }
  function save(thing) {
    var link = document.createElement("a"), kind = KINDS.filter(function (k) { return k in thing; })[0];
    link.href = URL.createObjectURL(new Blob([thing[kind]], { type: "application/json" }));
    link.download = "put-aside-" + kind + ".json";
    link.click();
    setTimeout(function () { URL.revokeObjectURL(link.href); }, 10000);
  }
  function list() {
    var part = document.getElementById("aside-part"), place = document.getElementById("aside-list");
    var found = things(), now = read(storage("localStorage"), PREFIX + "job"), some = false;
    if (!part || !place) { return; }
    place.textContent = "";
    Object.keys(found).sort().reverse().forEach(function (name) {
      var item, thing = found[name];
      // What stands on the page again is not aside.
      if (thing.job && thing.job === now) { return; }
      some = true;
      item = document.createElement("li");
      item.appendChild(document.createElement("p")).textContent = described(name, thing);
      button(item, "Put it back", function () {
        write(storage("sessionStorage"), PUT_BACK, name);
        location.reload();
      });
      button(item, "Save it as a file", function () { save(thing); });
      button(item, "Throw it away", function (pressed) {
        if (pressed.textContent !== "Really throw it away?") {
          pressed.textContent = "Really throw it away?";
          return;
        }
        Object.keys(thing).forEach(function (kind) { remove(storage("localStorage"), name + kind); });
        copy();
        list();
      });
      place.appendChild(item);
    });
    part.hidden = !some;
  }
  function putBack() {
    var tab = storage("sessionStorage"), name = read(tab, PUT_BACK);
    if (!name || name.indexOf(ASIDE) !== 0) { return; }
    remove(tab, PUT_BACK);
    moveAside("before", ["job", "task"]);
    KINDS.forEach(function (kind) { move(name + kind, PREFIX + kind); });
    // The link that the page was opened with would lie over it again.
    if (location.hash.length > 1) { history.replaceState(null, "", location.pathname + location.search); }
  }

  /* What boot.js calls. */

  function begin(then) {
    recall(function () {
      var tab = storage("sessionStorage"), failed = Number(read(tab, STARTS) || 0), typed;
      putBack();
      if (failed >= 2) {
        moveAside("stopped", KINDS);
        document.getElementById("set-aside").hidden = false;
        failed = 0;
      } else if (failed === 1) {
        // What was typed last may be what stops the page: it is not typed again by itself.
        typed = typedText();
        if (typed.unfinished && Object.keys(typed.unfinished).length) { moveAside("stopped", ["typed"]); }
      }
      write(tab, STARTS, String(failed + 1));
      then();
    });
  }
  function settled() {
    if (!stopped) { remove(storage("sessionStorage"), STARTS); }
  }
  function rescue() {
    stopped = true;
    written = written || "";
    keepTyped();
    return !!storage("localStorage");
  }

  window.yokelineKept = { canKeep: canKeep, begin: begin, replay: replay, settled: settled, rescue: rescue };
})();
