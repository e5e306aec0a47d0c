"use strict";
// Draws the charts when they come near the screen, or for the printer: only then does plotly,
// which travels packed at the end of the file, start.
(() => {
  const section = document.getElementById("charts");
  const figures = JSON.parse(document.getElementById("chart-data").textContent);
  const config = {
    displayModeBar: false, // no logo, no sharing, nothing to upload
    displaylogo: false,
    responsive: true,
    showTips: false,
    plotlyServerURL: "",
  };
  const PAPER = { width: 660, height: 810, letter: 0.8 }; // px of an upright A4 or Letter sheet

  // Unpacked once the page is there, so that it is at hand when a printer cannot wait.
  let code = "";
  const unpacked = async () => (code ||= await (await unpack(document.getElementById("plotly-source"))).text());

  const start = () => {
    if (window.Plotly) return;
    const script = document.createElement("script");
    script.textContent = code;
    document.head.append(script);
  };

  const lettered = (figure) => {
    figure.layout.font.family = getComputedStyle(document.documentElement).getPropertyValue("--lettering");
    return figure;
  };

  // The figures in the colours and lettering of the paper as it is now.
  const onScreen = (figure) => {
    const style = getComputedStyle(document.documentElement);
    let text = JSON.stringify(figure);
    for (const [colour, token] of Object.entries(constants.colours)) {
      text = text.replaceAll(colour, style.getPropertyValue(token).trim());
    }
    return lettered(JSON.parse(text));
  };

  // Ink on white, as wide as a sheet; a list of many threads is pressed into its height.
  const onSheet = (figure) => {
    const own = lettered(structuredClone(figure));
    const { layout } = own;
    const squeeze = Math.min(1, PAPER.height / layout.height);
    layout.width = PAPER.width;
    layout.height *= squeeze;
    if (layout.yaxis.tickfont) layout.yaxis.tickfont.size = Math.min(layout.yaxis.tickfont.size, 19 * squeeze * PAPER.letter);
    return own;
  };

  const draw = (made, options) => {
    start();
    for (const [ident, figure] of Object.entries(figures)) {
      const own = made(figure);
      window.Plotly.react(ident, own.data, own.layout, options);
    }
  };

  let drawn = false;
  const drawOnScreen = () => {
    draw(onScreen, config);
    drawn = true;
  };

  section.classList.add("ready");
  const watcher = new IntersectionObserver(async (entries) => {
    if (!entries.some((entry) => entry.isIntersecting)) return;
    watcher.disconnect();
    try {
      await unpacked();
    } catch {
      section.classList.remove("ready"); // too old a browser: the words beside each chart remain
      return;
    }
    drawOnScreen();
  }, { rootMargin: "400px" });
  watcher.observe(section);
  document.addEventListener("paper", () => drawn && drawOnScreen());

  addEventListener("load", () => setTimeout(() => unpacked().catch(() => {}), 2000));
  addEventListener("beforeprint", () => {
    if (code) draw(onSheet, { ...config, responsive: false, staticPlot: true });
  });
  addEventListener("afterprint", () => {
    if (drawn) drawOnScreen();
    else if (window.Plotly) Object.keys(figures).forEach((ident) => window.Plotly.purge(ident));
  });
})();
