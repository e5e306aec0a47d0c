"use strict";
// Print buttons: the mode stands on <html data-print="..."> while the page is printed.
(() => {
  const root = document.documentElement;
  for (const button of document.querySelectorAll("button[data-print]")) {
    button.addEventListener("click", () => {
      root.dataset.print = button.dataset.print;
      window.print();
    });
  }
  addEventListener("afterprint", () => delete root.dataset.print);
})();
