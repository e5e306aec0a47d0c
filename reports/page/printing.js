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

  // The day it is read or printed on is no part of the file.
  const tellDay = () => {
    const now = new Date();
    const day = [now.getFullYear(), now.getMonth() + 1, now.getDate()].map((part) => String(part).padStart(2, "0")).join("-");
    for (const place of document.querySelectorAll(".today")) place.textContent = day;
  };
  addEventListener("beforeprint", tellDay);
  tellDay();
})();
