// Own checks of a page, run in it: each gives a list of faults.
(() => {
  const SCROLLERS = ".map-scroller, .steps, .true-size-page .scroller, textarea";
  const UNREAD = "script, style, svg, select, textarea, .skip";
  const CLEAR = [0, 0, 0, 0];

  const shows = (node) => node.checkVisibility({ visibilityProperty: true });
  // Kept for readers of the page's structure, not for the eye.
  const unseen = (node) => {
    for (; node; node = node.parentElement) if (getComputedStyle(node).clipPath !== "none") return true;
    return false;
  };
  const said = (node) => `${node.tagName.toLowerCase()}${node.id && `#${node.id}`}` +
    `${node.classList.length ? `.${[...node.classList].join(".")}` : ""}`;

  // Every piece of text that shows: the node, the element it stands in, where it is painted.
  const pieces = () => {
    const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    const found = [];
    for (let node = walker.nextNode(); node; node = walker.nextNode()) {
      const owner = node.parentElement;
      if (!node.data.trim() || owner.closest(UNREAD) || !shows(owner) || unseen(owner)) continue;
      const range = document.createRange();
      range.selectNodeContents(node);
      const boxes = [...range.getClientRects()].filter((box) => box.width > 0);
      found.push({ text: node.data.trim().slice(0, 40), owner, boxes });
    }
    return found;
  };

  const container = (node) => {
    while (/^(inline|contents)$/.test(getComputedStyle(node).display)) node = node.parentElement;
    return node;
  };

  // WCAG 2.2: relative luminance and contrast ratio as defined there.
  const channel = (c) => ((c /= 255) <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4);
  const lightness = ([r, g, b]) => 0.2126 * channel(r) + 0.7152 * channel(g) + 0.0722 * channel(b);
  const ratio = (a, b) => {
    const [x, y] = [lightness(a), lightness(b)].sort((p, q) => q - p);
    return (x + 0.05) / (y + 0.05);
  };
  const colour = (text) => {
    if (text === "none") return CLEAR;
    const [r, g, b, a = 1] = (text.match(/[\d.]+/g) ?? CLEAR).map(Number);
    return [r, g, b, a];
  };
  const over = ([r, g, b, a], [x, y, z]) =>
    [r * a + x * (1 - a), g * a + y * (1 - a), b * a + z * (1 - a), 1];
  const behind = (node) => {
    const layers = [];
    for (; node; node = node.parentElement) {
      const layer = colour(getComputedStyle(node).backgroundColor);
      layers.push(layer);
      if (layer[3] === 1) break;
    }
    return layers.reverse().reduce((under, layer) => over(layer, under), [255, 255, 255, 1]);
  };
  // Colours of the paper by their names in the style sheets.
  const token = (name) => {
    const probe = document.createElement("i");
    probe.style.color = `var(${name})`;
    document.body.append(probe);
    const found = colour(getComputedStyle(probe).color);
    probe.remove();
    return found;
  };

  return {
    // No text runs out of its box, is clipped, or leaves the page.
    overflow() {
      const wrong = new Set();
      const edge = document.documentElement.clientWidth;
      if (document.documentElement.scrollWidth > edge) wrong.add(`the page scrolls past ${edge}`);
      for (const { text, owner, boxes } of pieces()) {
        const box = container(owner).getBoundingClientRect();
        const clips = [];
        for (let node = owner; node !== document.body; node = node.parentElement) {
          if (node.matches(SCROLLERS)) break;
          if (getComputedStyle(node).overflow !== "visible") clips.push(node.getBoundingClientRect());
        }
        const scrolls = owner.closest(SCROLLERS) !== null;
        for (const line of boxes) {
          const out = line.left < box.left - 1 || line.right > box.right + 1;
          const away = !scrolls && (line.left < -1 || line.right > edge + 1);
          const cut = clips.some((clip) => line.left < clip.left - 1 || line.right > clip.right + 1
            || line.top < clip.top - 4 || line.bottom > clip.bottom + 4);
          if (out || away || cut) {
            wrong.add(`"${text}" ${out ? "runs out of" : away ? "leaves the page in" : "is cut in"} ` +
              said(container(owner)));
          }
        }
      }
      return [...wrong];
    },

    // What scrolls is meant to, and a keyboard reaches it.
    scrollers() {
      const wrong = [];
      for (const node of document.body.querySelectorAll("*")) {
        const style = getComputedStyle(node);
        const sideways = /auto|scroll/.test(style.overflowX) && node.scrollWidth > node.clientWidth + 1;
        const down = /auto|scroll/.test(style.overflowY) && node.scrollHeight > node.clientHeight + 1;
        if (!(sideways || down) || !shows(node)) continue;
        if (!node.matches(SCROLLERS)) wrong.push(`${said(node)} scrolls`);
        if (node.matches("textarea")) continue;
        const reached = node.tabIndex === 0 || [...node.querySelectorAll("a, button, input")].some((a) => a.tabIndex === 0);
        const named = node.getAttribute("aria-label") ?? node.getAttribute("aria-labelledby");
        if (!reached || !named || !/region|radiogroup/.test(node.getAttribute("role"))) {
          wrong.push(`${said(node)} scrolls, and no keyboard reaches it by name`);
        }
      }
      return wrong;
    },

    // Text 4.5 to 1, edges that carry meaning 3 to 1.
    contrast() {
      const wrong = new Set();
      for (const { text, owner } of pieces()) {
        const r = ratio(colour(getComputedStyle(owner).color), behind(owner));
        if (r < 4.5) wrong.add(`"${text}" in ${said(owner)}: text ${r.toFixed(2)}`);
      }
      const edged = ".state, button, input, select, textarea, .tick, .title-block, .setup";
      for (const node of document.querySelectorAll(edged)) {
        const style = getComputedStyle(node);
        if (!shows(node) || style.borderBottomWidth === "0px") continue;
        const r = ratio(colour(style.borderBottomColor), behind(node.parentElement));
        if (r < 3) wrong.add(`${said(node)}: edge ${r.toFixed(2)}`);
      }
      return [...wrong];
    },

    // Lines of drawings 3 to 1 and their texts 4.5 to 1, on the sheet and on every gear. The
    // arm is a pale ground between two edges; a text with a halo stands on the halo, and
    // soft ones stand beside the gears.
    ink() {
      const wrong = new Set();
      const grounds = ["--sheet", "--paper", "--plane-1", "--plane-2", "--plane-3"].map(token);
      const soft = token("--soft");
      const least = (c, under) => Math.min(...under.map((ground) => ratio(c, ground)));
      const lines = "circle, line, path, rect, polyline, polygon, ellipse";
      for (const svg of document.querySelectorAll("svg")) {
        for (const shape of svg.querySelectorAll(lines)) {
          if (shape.matches(".limb, .slot, .hole, .grid, .limb *, .slot *")) continue;
          const style = getComputedStyle(shape);
          const stroke = colour(style.stroke);
          const drawn = stroke[3] > 0 ? stroke : colour(style.fill);
          if (drawn[3] === 0) continue;
          const r = least(drawn, grounds.slice(0, 3));
          if (r < 3) wrong.add(`${said(shape)}: line ${r.toFixed(2)}`);
        }
        for (const text of svg.querySelectorAll("text")) {
          const style = getComputedStyle(text);
          const halo = colour(style.stroke);
          const fill = colour(style.fill);
          const beside = `${fill}` === `${soft}` ? grounds.slice(0, 2) : grounds;
          const r = least(fill, halo[3] > 0 ? [halo] : beside);
          if (r < 4.5) wrong.add(`${said(text)} "${text.textContent}": text ${r.toFixed(2)}`);
        }
      }
      return [...wrong];
    },

    // Whatever takes the focus shows it: one of each kind.
    focus() {
      const wrong = [];
      const seen = new Set();
      const all = "a[href], button, input, select, textarea, summary, [tabindex='0']";
      for (const node of document.querySelectorAll(all)) {
        const kind = `${node.tagName}.${node.className}.${node.parentElement.className}`;
        if (seen.has(kind) || !shows(node)) continue;
        seen.add(kind);
        node.focus({ focusVisible: true, preventScroll: true });
        const style = getComputedStyle(node);
        const inside = parseFloat(style.outlineOffset) < 0;
        const r = ratio(colour(style.outlineColor), behind(inside ? node : node.parentElement));
        if (style.outlineStyle === "none" || parseFloat(style.outlineWidth) < 2 || r < 3) {
          wrong.push(`${said(node)}: ${style.outlineStyle} ${style.outlineWidth} ${r.toFixed(2)}`);
        }
      }
      document.activeElement.blur();
      return wrong;
    },

    // 24 by 24 pixels, but for links within a sentence.
    targets() {
      const all = "a[href], button, select, summary, textarea, label:has(input), input[type=search]";
      const sentence = (node) => {
        const around = node.tagName === "A" && node.closest("p, li, td, dd");
        return around && around.textContent.trim().length > node.textContent.trim().length + 1;
      };
      return [...document.querySelectorAll(all)]
        .filter((node) => shows(node) && !node.closest(".skip, svg") && !sentence(node))
        .map((node) => [node.textContent.trim().slice(0, 40), node.getBoundingClientRect()])
        .filter(([, box]) => box.height < 23.9 || box.width < 23.9)
        .map(([text, box]) => `${text}: ${box.width} x ${box.height}`);
    },

    // What of the answer and the map is whole within the first screen.
    firstScreen() {
      const whole = (node) => {
        const box = node.getBoundingClientRect();
        return shows(node) && box.top >= 0 && box.bottom <= innerHeight + 1 && box.left >= 0 && box.right <= innerWidth + 1;
      };
      const verdict = document.getElementById("verdict");
      return {
        verdict: whole(verdict) ? verdict.textContent : "",
        masthead: document.querySelector(".masthead").getBoundingClientRect().height,
        cards: [...document.querySelectorAll(".card")].filter(whole).length,
        advised: whole(document.querySelector(".card.advised")),
        rows: [...document.querySelectorAll("#map tr[data-want]")].filter(whole).length,
      };
    },

    // Of each row of the map its want, its head, and its trains now and with the step shown.
    told() {
      const shown = document.getElementById("map").dataset.shown;
      return [...document.querySelectorAll("#map tr[data-want]")].map((row) => [row.dataset.want, [
        row.querySelector("th").textContent.replace(/\s/g, " "),
        ...[0, shown].map((k) => row.querySelector(`[data-step="${k}"] b`)?.textContent ?? ""),
      ]]);
    },

    // For each part of the map and each step: of every row, what it is now and then, and whether
    // it is folded away. "" where not covered.
    parts() {
      const found = {};
      for (const part of document.querySelectorAll("#map tbody")) {
        const key = part.dataset.part ?? "series";
        for (const step of [1, 2, 3, 4]) {
          const rows = ((found[key] ??= {})[step] ??= []);
          for (const row of part.querySelectorAll("tr[data-want]")) {
            const word = (k) => ["exact", "in-tolerance"].find((one) => row.querySelector(`[data-step="${k}"]`).classList.contains(one)) ?? "";
            rows.push([word(0), word(step), row.classList.contains("settled")]);
          }
        }
      }
      return found;
    },

    focused() {
      const link = document.activeElement;
      return [link.closest("tr").dataset.want, Number(link.closest("td").dataset.step)];
    },

    pitches() {
      return [...document.querySelectorAll("#map tbody")].map((group) =>
        [...group.querySelectorAll("tr[data-want]")].map((row) => Number(row.dataset.pitch)))
        .filter((group) => group.length);
    },
  };
})()
