"use strict";
// Draws the charts in the colours and lettering of the paper as it is, again when it changes.
(() => {
  const figures = JSON.parse(document.getElementById("figures").textContent);
  const config = { displaylogo: false, responsive: true, showTips: false, plotlyServerURL: "" };

  const coloured = (figure) => {
    const style = getComputedStyle(document.documentElement);
    let text = JSON.stringify(figure);
    for (const [colour, token] of Object.entries(constants.colours)) {
      text = text.replaceAll(colour, style.getPropertyValue(token).trim());
    }
    const own = JSON.parse(text);
    own.layout.font.family = style.getPropertyValue("--lettering");
    return own;
  };

  const draw = () => {
    for (const [ident, figure] of Object.entries(figures)) {
      const place = document.getElementById(`chart-${ident}`);
      if (!place) continue;
      const { data, layout } = coloured(figure);
      window.Plotly.react(place, data, layout, config);
    }
  };
  draw();
  document.addEventListener("paper", draw);
})();
