// Own checks, run in the page: each gives a list of faults.
({
  labels() {
    const wrong = [];
    const upright = (text) => /rotate\((0|-90|90)\)|^$/.test(text.getAttribute("transform") ?? "");
    const open = ".setup.open .train-sheet:not([data-away]) svg";
    for (const svg of document.querySelectorAll(open)) {
      const boxes = [...svg.querySelectorAll("text")]
        .filter(upright)
        .map((text) => [text.textContent, text.getBoundingClientRect()]);
      const trim = 2; // a line box is higher than its letters
      for (let i = 0; i < boxes.length; i++) {
        for (let j = 0; j < i; j++) {
          const [[a, p], [b, q]] = [boxes[i], boxes[j]];
          const x = Math.min(p.right, q.right) - Math.max(p.left, q.left);
          const y = Math.min(p.bottom, q.bottom) - Math.max(p.top, q.top);
          if (x > trim && y > 2 * trim + 1) wrong.push(`${a} meets ${b}: ${x} x ${y}`);
        }
      }
      const frame = svg.getBoundingClientRect();
      for (const [a, p] of boxes) {
        if (p.left < frame.left - 1 || p.right > frame.right + 1) wrong.push(`${a} is cut off`);
      }
    }
    return wrong;
  },

  // WCAG 2.2: relative luminance and contrast ratio as defined there.
  contrast() {
    const channel = (c) => ((c /= 255) <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4);
    const light = ([r, g, b]) => 0.2126 * channel(r) + 0.7152 * channel(g) + 0.0722 * channel(b);
    const colour = (text) => (text.match(/[\d.]+/g) || []).map(Number);
    const behind = (node) => {
      for (; node; node = node.parentElement) {
        const c = colour(getComputedStyle(node).backgroundColor);
        if (c.length === 3 || c[3] === 1) return c;
      }
      return [255, 255, 255];
    };
    const ratio = (a, b) => {
      const [x, y] = [light(a), light(b)].sort((p, q) => q - p);
      return (x + 0.05) / (y + 0.05);
    };
    const wrong = new Set();
    const lettered = "#map td a, #map th, .state, .strip li, .soft, .under, dt, dd, caption, p, a";
    for (const node of document.querySelectorAll(lettered)) {
      if (!node.offsetParent) continue;
      const r = ratio(colour(getComputedStyle(node).color), behind(node));
      if (r < 4.5) wrong.add(`${node.className || node.tagName}: text ${r.toFixed(2)}`);
    }
    const edged = ".state, button, input, select, .map-scroller, #map td.v";
    for (const node of document.querySelectorAll(edged)) {
      const edge = colour(getComputedStyle(node).borderBottomColor);
      const r = ratio(edge, behind(node.parentElement));
      if (r < 3) wrong.add(`${node.className || node.tagName}: border ${r.toFixed(2)}`);
    }
    return [...wrong];
  },

  targets() {
    const all = "a, button, select, input[type=search], .theme label";
    return [...document.querySelectorAll(all)]
      .filter((node) => node.offsetParent && !node.closest(".skip, p, li"))
      .map((node) => [node.textContent.trim(), node.getBoundingClientRect()])
      .filter(([, box]) => box.height < 23.9 || box.width < 23.9)
      .map(([text, box]) => `${text}: ${box.width} x ${box.height}`);
  },

  focused() {
    const link = document.activeElement;
    return [link.closest("tr").dataset.want, link.closest("td").cellIndex];
  },

  pitches() {
    return [...document.querySelectorAll("#map tbody")].map((group) =>
      [...group.querySelectorAll("tr[data-want]")].map((row) => Number(row.dataset.pitch)));
  },
})
