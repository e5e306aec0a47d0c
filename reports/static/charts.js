"use strict";
// Draws the charts when they come near the screen: only then does plotly, held as text at the
// end of the file, start. Charts are not printed.
(() => {
  const section = document.getElementById("charts");
  const figures = JSON.parse(document.getElementById("chart-data").textContent);
  const tokens = {
    "#14212e": "--ink", "#475562": "--soft", "#7b8791": "--line", "#d5d6d0": "--hair",
    "#123f70": "--exact", "#85aed6": "--tolerance", "#cfe0ef": "--off",
  };
  const config = {
    displayModeBar: false, // no logo, no sharing, nothing to upload
    displaylogo: false,
    responsive: true,
    showTips: false,
    plotlyServerURL: "",
  };

  const start = () => {
    if (window.Plotly) return;
    const script = document.createElement("script");
    script.textContent = document.getElementById("plotly-source").textContent;
    document.head.append(script);
  };

  // The figures in the colours and lettering of the paper as it is now.
  const inPaper = (figure) => {
    const style = getComputedStyle(document.documentElement);
    let text = JSON.stringify(figure);
    for (const [colour, token] of Object.entries(tokens)) {
      text = text.replaceAll(colour, style.getPropertyValue(token).trim());
    }
    const own = JSON.parse(text);
    own.layout.font.family = style.getPropertyValue("--lettering");
    return own;
  };

  let drawn = false;
  const draw = () => {
    start();
    for (const [ident, figure] of Object.entries(figures)) {
      const own = inPaper(figure);
      window.Plotly.react(ident, own.data, own.layout, config);
    }
    drawn = true;
  };

  section.classList.add("ready");
  const watcher = new IntersectionObserver((entries) => {
    if (!entries.some((entry) => entry.isIntersecting)) return;
    watcher.disconnect();
    draw();
  }, { rootMargin: "400px" });
  watcher.observe(section);
  document.addEventListener("paper", () => drawn && draw());
})();
