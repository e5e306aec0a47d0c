"use strict";
// The line that makes the setup sheet of the train that is open, under the thread's trains.
const ownSheet = (() => {
  const block = document.getElementById("bench");
  const file = block && JSON.parse(block.textContent).file;

  const lineOf = (setup) => {
    const made = document.createElement("p");
    made.className = "own-sheet";
    const button = Object.assign(document.createElement("button"), { type: "button", textContent: "Copy" });
    made.append("A setup sheet of its own: ", document.createElement("code"), " ", button);
    button.addEventListener("click", () => {
      const done = navigator.clipboard?.writeText(made.querySelector("code").textContent) ?? Promise.reject();
      done.then(() => { button.textContent = "Copied"; }, () => { getSelection().selectAllChildren(made.querySelector("code")); });
      setTimeout(() => { button.textContent = "Copy"; }, 2000);
    });
    (setup.querySelector(".back") ?? setup.lastElementChild).before(made);
    return made;
  };

  // A gearbox position has an option; other levers have none.
  const show = (setup, key) => {
    const [train, lever = "", more] = key.split(", ");
    const line = setup.querySelector(".own-sheet") ?? lineOf(setup);
    line.hidden = !file || !train || more !== undefined || (lever && !lever.startsWith("gearbox "));
    const what = setup.dataset.size ?? `"${setup.querySelector("h3").textContent}"`;
    const box = lever ? ` --gearbox "${lever.slice("gearbox ".length)}"` : "";
    line.querySelector("code").textContent =
      `gearchest setup ${/^[\w.-]+$/.test(file) ? file : `"${file}"`} ${what} --train "${train.replaceAll("×", "x")}"${box}`;
  };

  return { show };
})();
