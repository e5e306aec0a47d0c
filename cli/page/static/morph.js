"use strict";
// Makes parts of a page like others, node by node, so that focus, places and open parts stay.
const morphing = (() => {
  const key = (node) => {
    if (node.nodeType !== Node.ELEMENT_NODE) return `#${node.nodeType}`;
    const name = node.id || node.getAttribute("name") || "";
    const value = node.matches("button, [type=checkbox], [type=hidden]") ? node.getAttribute("value") ?? "" : "";
    return `${node.tagName} ${name} ${node.getAttribute("name")?.startsWith("w:") ? "" : value}`;
  };

  const attributes = (old, made) => {
    for (const { name } of [...old.attributes]) {
      if (!made.hasAttribute(name) && name !== "open") old.removeAttribute(name);
    }
    for (const { name, value } of [...made.attributes]) {
      if (old.getAttribute(name) !== value) old.setAttribute(name, value);
    }
  };

  // Makes `old` like `made`, but for what `kept` says is in hand.
  const morph = (old, made, kept = () => false) => {
    if (old.nodeType !== Node.ELEMENT_NODE) {
      if (old.nodeValue !== made.nodeValue) old.nodeValue = made.nodeValue;
      return;
    }
    if (old.matches("[id$='-told'], input[type=file]") || (old.matches("input, select, textarea") && kept(old))) return;
    attributes(old, made);
    if (old.matches("textarea")) {
      if (old.value !== made.value) old.value = made.value;
      old.defaultValue = made.defaultValue;
      return;
    }
    children(old, made, kept);
    if (old.matches("input[type=checkbox]")) old.checked = made.checked;
    else if (old.matches("input, select") && old.value !== made.value) old.value = made.value;
  };

  const children = (old, made, kept) => {
    const known = new Map();
    for (const child of old.childNodes) {
      const list = known.get(key(child)) ?? [];
      list.push(child);
      known.set(key(child), list);
    }
    let place = old.firstChild;
    for (const child of [...made.childNodes]) {
      const same = known.get(key(child))?.shift();
      if (same) {
        if (same !== place) old.insertBefore(same, place);
        else place = place.nextSibling;
        morph(same, child, kept);
      } else old.insertBefore(document.importNode(child, true), place);
    }
    for (const list of known.values()) for (const child of list) child.remove();
  };

  return { morph };
})();
