// Labels of drawings, run in the page: texts clear of each other and inside the frame, turned
// ones included.
(() => {
  const SLACK = 0.4; // pixels that do not show

  // The corners of a text on the screen, without the air above and below its letters.
  const corners = (text) => {
    let [left, top, right, bottom] = [Infinity, Infinity, -Infinity, -Infinity];
    for (let i = 0; i < text.getNumberOfChars(); i++) {
      const box = text.getExtentOfChar(i);
      [left, top] = [Math.min(left, box.x), Math.min(top, box.y)];
      [right, bottom] = [Math.max(right, box.x + box.width), Math.max(bottom, box.y + box.height)];
    }
    const height = bottom - top;
    top += 0.16 * height;
    bottom -= (/[gjpqy,;()/]/.test(text.textContent) ? 0.03 : 0.18) * height;
    const matrix = text.getScreenCTM();
    return [[left, top], [right, top], [right, bottom], [left, bottom]]
      .map(([x, y]) => new DOMPoint(x, y).matrixTransform(matrix))
      .map(({ x, y }) => [x, y]);
  };

  // How deep two convex polygons go into each other: the least over all separating axes.
  const depth = (one, other) => {
    let least = Infinity;
    for (const polygon of [one, other]) {
      polygon.forEach(([x1, y1], i) => {
        const [x2, y2] = polygon[(i + 1) % polygon.length];
        const length = Math.hypot(x2 - x1, y2 - y1);
        if (!length) return;
        const along = ([x, y]) => ((y1 - y2) * x + (x2 - x1) * y) / length;
        const [p, q] = [one.map(along), other.map(along)];
        least = Math.min(least, Math.min(Math.max(...p), Math.max(...q)) - Math.max(Math.min(...p), Math.min(...q)));
      });
    }
    return least;
  };

  const inDrawing = (svg) => {
    const wrong = [];
    const texts = [...svg.querySelectorAll("text, tspan")]
      .filter((text) => !text.querySelector("tspan") && text.textContent.trim() && text.checkVisibility())
      .map((text) => [text.textContent, corners(text)]);
    texts.forEach(([a, p], i) => {
      for (const [b, q] of texts.slice(0, i)) {
        const deep = depth(p, q);
        if (deep > SLACK) wrong.push(`${a} meets ${b} by ${deep.toFixed(1)}`);
      }
    });
    const frame = svg.getBoundingClientRect();
    for (const [a, p] of texts) {
      const out = p.some(([x, y]) => x < frame.left - SLACK || x > frame.right + SLACK
        || y < frame.top - SLACK || y > frame.bottom + SLACK);
      if (out) wrong.push(`${a} is cut off`);
    }
    return wrong;
  };

  const within = (root) => {
    const wrong = [];
    for (const svg of root.querySelectorAll("svg:not(.definitions)")) {
      if (!svg.checkVisibility() || svg.getBoundingClientRect().width < 2) continue;
      const where = svg.closest("[id]")?.id ?? "page";
      wrong.push(...inDrawing(svg).map((fault) => `${where}: ${fault}`));
    }
    return wrong;
  };

  return {
    // Every drawing that shows.
    labels: () => within(document),

    // Every drawing of every cell of the map, opened one by one; how many were looked at.
    async cells() {
      const wrong = new Set();
      let drawings = 0;
      // The map is out of sight once a thread is open.
      const links = [...document.querySelectorAll("#map td a")].filter((link) => link.checkVisibility());
      for (const link of links) {
        link.click();
        const open = document.querySelector(".setup.open");
        drawings += open.querySelectorAll("svg").length;
        for (const fault of within(open)) wrong.add(fault);
      }
      document.querySelector("[data-go=map]").click();
      const open = () => document.documentElement.classList.contains("thread-open");
      while (open()) await new Promise((done) => setTimeout(done, 20));
      return [[...wrong], drawings];
    },
  };
})()
