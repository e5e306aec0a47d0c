"use strict";
// The paper switch: system, light, blueprint. Others hear of a change by the event "paper".
(() => {
  const root = document.documentElement;
  const buttons = [...document.querySelectorAll('input[name="theme"]')];

  const tell = () => document.dispatchEvent(new CustomEvent("paper"));

  const choose = (theme) => {
    if (theme) root.dataset.theme = theme;
    else delete root.dataset.theme;
    try {
      if (theme) localStorage.setItem("gearchest-paper", theme);
      else localStorage.removeItem("gearchest-paper");
    } catch {
      // Not kept for next time; it holds for this page.
    }
    tell();
  };

  for (const button of buttons) {
    button.checked = button.value === (root.dataset.theme || "");
    button.addEventListener("change", () => choose(button.value));
  }
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", tell);
})();
