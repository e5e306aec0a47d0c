"use strict";
// Sends each field as it is left and takes in the sheet as it is then; what is being typed stays.
(() => {
  const { morph } = morphing;
  const dirty = new Set();
  let sending = Promise.resolve();

  const kept = (field) => dirty.has(field)
    || (field.name?.startsWith("w:") && [...dirty].some((one) => one.name === `v:${field.name.slice(2)}`));

  const take = (text) => {
    const made = new DOMParser().parseFromString(text, "text/html");
    if (!made.getElementById("content")) return;
    const had = document.activeElement;
    morph(document.getElementById("doors"), made.getElementById("doors"), kept);
    morph(document.getElementById("content"), made.getElementById("content"), kept);
    document.body.dataset.version = made.body.dataset.version;
    document.dispatchEvent(new CustomEvent("page-is", { detail: made.body.dataset.version }));
    if (had && had !== document.body && !had.isConnected) document.getElementById("content").focus();
    parts();
  };

  const pause = (time) => new Promise((done) => { setTimeout(done, time); });

  const say = (words) => {
    const place = document.getElementById("notes");
    const note = document.getElementById("unsaved") ?? Object.assign(document.createElement("p"), { id: "unsaved", className: "note" });
    if (words) {
      note.textContent = words;
      place.append(note);
    } else note.remove();
  };

  // One after the other, and again until the program answers: nothing typed is lost.
  const send = (data, fields) => {
    for (const field of fields) dirty.delete(field);
    sending = sending.then(async () => {
      for (;;) {
        try {
          const reply = await fetch("/edit", { method: "POST", body: data, headers: { "x-part": "1" } });
          if (reply.ok) {
            say("");
            if (reply.redirected) location.assign(reply.url);
            else take(await reply.text());
            return;
          }
          if (reply.status !== 403 && reply.status < 500) {
            say(await reply.text());
            return;
          }
        } catch {
          // Not reached.
        }
        say("Not kept yet: the program does not answer. It is tried again.");
        await pause(700);
      }
    });
    return sending;
  };

  const sheet = (form) => form.querySelector('input[name="sheet"]').value;

  // What of the sheet is in sight: a new entry of a list, the sizes of a series.
  const view = () => Object.fromEntries(
    [...new URLSearchParams(location.search)].filter(([name]) => name === "more" || name === "series"),
  );

  const changed = (field) => {
    const form = field.form;
    if (!form?.matches("[data-live]") || form.matches("[data-press]") || !field.name.startsWith("v:")) return;
    const data = new URLSearchParams({ sheet: sheet(form), ...view() });
    const fields = field.name.startsWith("v:plate.") ? [...form.querySelectorAll('[name^="v:plate."]')] : [field];
    for (const one of fields) {
      data.set(one.name, one.value);
      data.set(`w:${one.name.slice(2)}`, form.elements.namedItem(`w:${one.name.slice(2)}`)?.value ?? "");
    }
    send(data, fields);
  };

  document.addEventListener("input", (event) => {
    if (event.target.matches("input[type=text], input:not([type]), textarea")) dirty.add(event.target);
    if (event.target.matches('[name^="v:banjo."], [name="v:units"]')) draw();
  });
  document.addEventListener("change", (event) => changed(event.target));

  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (!form.matches("[data-live], .taking-back")) return;
    event.preventDefault();
    const data = new URLSearchParams(view());
    for (const [name, value] of new FormData(form, event.submitter)) {
      if (data.has(name) && (name === "more" || name === "series")) data.delete(name);
      data.append(name, value);
    }
    const fields = [...form.elements];
    send(data, fields).then(() => {
      if (form.isConnected && form.matches("[data-press]")) for (const one of fields) dirty.delete(one);
    });
  });

  // Enter in a field keeps it, and goes on to the next as in a notebook.
  document.addEventListener("keydown", (event) => {
    const field = event.target;
    if (event.key === "z" && (event.ctrlKey || event.metaKey) && !dirty.has(field)) {
      event.preventDefault();
      document.querySelector(`.taking-back [value="${event.shiftKey ? "redo" : "undo"}"]`)?.click();
    }
    if (event.key !== "Enter" || !field.matches?.('form[data-live]:not([data-press]) input[name^="v:"]')) return;
    event.preventDefault();
    const all = [...document.querySelectorAll("#content :is(input:not([type=hidden]), select, textarea)")].filter((one) => one.offsetParent);
    if (dirty.has(field)) changed(field);
    all[all.indexOf(field) + 1]?.focus();
  });

  // What is typed but not left yet goes when the page goes.
  addEventListener("pagehide", () => {
    for (const field of dirty) {
      if (!field.name?.startsWith("v:") || field.form?.matches("[data-press]")) continue;
      const was = field.form.elements.namedItem(`w:${field.name.slice(2)}`)?.value ?? "";
      const data = new URLSearchParams({ sheet: sheet(field.form), [field.name]: field.value, [`w:${field.name.slice(2)}`]: was });
      fetch("/edit", { method: "POST", body: data, keepalive: true, headers: { "x-part": "1" } }).catch(() => {}); // nobody is left to tell
    }
  });

  let drawing = 0;
  const draw = async () => {
    const figure = document.getElementById("arm-drawing");
    if (!figure) return;
    const turn = ++drawing;
    await pause(30);
    if (turn !== drawing) return;
    const query = new URLSearchParams();
    for (const field of document.querySelectorAll('[name^="v:banjo."], [name="v:units"]')) {
      if (field.value) query.set(field.name.slice(2), field.value);
    }
    try {
      const reply = await fetch(`/arm.svg?${query}`);
      if (reply.ok && turn === drawing) {
        const made = new DOMParser().parseFromString(await reply.text(), "text/html").querySelector("svg");
        if (made) figure.replaceChildren(made);
      }
    } catch {
      // The drawing stays as it was.
    }
  };

  // What stands at an address; null where the program does not answer, or not to the end.
  const text = async (address) => {
    try {
      const reply = await fetch(address);
      return reply.ok ? await reply.text() : null;
    } catch {
      return null;
    }
  };

  // Parts that take the program a moment come by themselves.
  const parts = async () => {
    for (const place of document.querySelectorAll("[data-part]")) {
      const part = await text(place.dataset.part);
      if (part !== null) place.innerHTML = part;
    }
  };

  // A table of any program, dropped, pasted or chosen, as the text its field takes.
  const readTable = async (field, file) => {
    const told = document.getElementById(`${field.id}-told`);
    const query = new URLSearchParams({ for: field.dataset.drop, name: file.name });
    try {
      const reply = await fetch(`/table?${query}`, { method: "POST", body: file });
      const found = reply.headers.get("content-type")?.startsWith("application/json") ? await reply.json() : { why: [await reply.text()] };
      if (found.text) {
        field.value = found.text;
        dirty.add(field);
        if (field.name.startsWith("v:")) changed(field);
      }
      if (told) told.textContent = `${(found.said ?? found.why).join("; ")}.`;
    } catch {
      if (told) told.textContent = "The program does not answer at the moment.";
    }
  };
  for (const kind of ["dragover", "drop", "paste"]) {
    document.addEventListener(kind, (event) => {
      const field = event.target.closest?.("[data-drop]");
      const load = event.dataTransfer ?? event.clipboardData;
      if (!field || !load?.types.includes("Files") || (kind === "paste" && load.types.includes("text/plain"))) return;
      event.preventDefault();
      if (kind !== "dragover" && load.files[0]) readTable(field, load.files[0]);
    });
  }
  document.addEventListener("change", ({ target }) => {
    const field = target.matches("[data-into]") && document.getElementById(target.dataset.into);
    if (field && target.files[0]) readTable(field, target.files[0]);
  });

  document.addEventListener("files-changed", () => {
    sending = sending.then(async () => {
      const page = await text(location.href);
      if (page !== null) take(page);
    });
  });
  parts();
})();
