"use strict";
// Before anything is painted: say that scripts run, and set the paper the reader chose last.
document.documentElement.classList.add("js");
try {
  const paper = localStorage.getItem("gearchest-paper");
  if (paper) document.documentElement.dataset.theme = paper;
} catch {
  // A browser may keep no storage for files: the system's choice stands.
}
