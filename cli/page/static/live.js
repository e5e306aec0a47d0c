"use strict";
// Hears of changes: the strip shows how far the answer has come, the page follows its files.
(() => {
  const body = document.body;
  let own = Number(body.dataset.version);
  const isDocument = body.dataset.sheet === "document";
  let touched = false;

  const takeStrip = async () => {
    const reply = await fetch("/strip");
    if (!reply.ok) return;
    const made = new DOMParser().parseFromString(await reply.text(), "text/html");
    const old = document.getElementById("strip");
    const scrolled = old.querySelector(".so-far")?.scrollLeft ?? 0;
    const said = new Set([...old.querySelectorAll(".so-far a")].map((step) => step.textContent));
    old.replaceWith(made.getElementById("strip"));
    for (const step of document.querySelectorAll("#strip .so-far a")) {
      step.parentElement.classList.toggle("fresh", !said.has(step.textContent));
    }
    const steps = document.querySelector("#strip .so-far");
    if (steps) steps.scrollLeft = scrolled;
  };

  // One is fetched at a time; whoever asks meanwhile is told once a later one stands there.
  let fetching = null;
  let again = false;
  const strip = () => {
    again = true;
    fetching ??= (async () => {
      while (again) {
        again = false;
        await takeStrip().catch(() => {}); // the program does not answer: `lost` says so
      }
      fetching = null;
    })();
    return fetching;
  };

  const say = (words) => {
    let note = document.getElementById("lost");
    if (!words) {
      note?.remove();
      return;
    }
    if (!note) {
      note = document.createElement("p");
      note.id = "lost";
      note.className = "note";
      note.setAttribute("role", "alert");
      (document.getElementById("notes") ?? document.getElementById("doors")).after(note);
    }
    note.textContent = words;
  };

  const renew = () => {
    if (!touched) {
      location.reload();
      return;
    }
    const place = document.querySelector("#strip .newer");
    if (place) return;
    const button = document.createElement("button");
    button.className = "newer";
    button.textContent = "There is a newer answer: show it";
    button.addEventListener("click", () => location.reload());
    document.querySelector("#strip p")?.append(button);
  };

  let latest = null;
  const heard = (news) => {
    latest = news;
    say("");
    const shown = strip();
    if (body.dataset.document === "buy") {
      // at once, so that no news is acted on after newer ones
      document.dispatchEvent(new CustomEvent("news", { detail: news }));
    } else if (isDocument) {
      shown.then(() => { // a strip taken later would take the button away
        const more = body.dataset.whole === "false" && news.version === own;
        if (news === latest && news.state === "done" && (news.version !== own || more)) renew();
      });
    } else if (news.version !== own) {
      own = news.version;
      document.dispatchEvent(new CustomEvent("files-changed"));
    }
  };

  // A tab out of sight lets go: browsers keep few connections open to one place.
  let source = null;

  const listen = () => {
    if (source || document.hidden) return;
    source = new EventSource("/events");
    source.addEventListener("message", (message) => heard(JSON.parse(message.data)));
    source.addEventListener("open", () => document.dispatchEvent(new CustomEvent("answers")));
    source.addEventListener("error", () => {
      if (source.readyState === EventSource.CLOSED) {
        source = null;
        say("The program has ended, or was started anew: run gearchest open and use the address it prints. What is typed here stays until then.");
        setTimeout(listen, 2000);
      } else say("The program does not answer at the moment.");
    });
  };

  const leave = () => {
    source?.close();
    source = null;
  };
  addEventListener("pagehide", leave);
  document.addEventListener("visibilitychange", () => (document.hidden ? leave() : listen()));

  if (isDocument) {
    for (const kind of ["input", "change"]) {
      document.getElementById("content")?.addEventListener(kind, () => { touched = true; });
    }
  }
  document.addEventListener("page-is", (event) => { own = Number(event.detail); });
  addEventListener("pageshow", (event) => { if (event.persisted) location.reload(); });
  listen();
})();
