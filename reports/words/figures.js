"use strict";
// Numbers as numbers.py writes them.
const figures = (() => {
  const { minus: MINUS, space: NARROW, inch: INCH, least: LEAST_ERROR, ppm: MOST_PPM } = constants.numbers;

  // A fixed count of decimals; exact halves go to the even digit, as Python rounds them.
  const figure = (value, places = 1) => {
    const size = Math.abs(value);
    const scaled = size * 10 ** places;
    const half = scaled % 1 === 0.5 && Number.isInteger(size * 2 ** (places + 1));
    const text = half && Math.floor(scaled) % 2 === 0
      ? (Math.floor(scaled) / 10 ** places).toFixed(places)
      : size.toFixed(places);
    return value < 0 && Number(text) ? MINUS + text : text;
  };

  const significant = (value, digits = 3) => {
    if (value === 0) return "0";
    const power = Number(value.toExponential(digits - 1).split("e")[1]);
    return figure(value, Math.max(0, digits - 1 - power));
  };
  const trimmed = (value, digits) => {
    const text = significant(value, digits);
    return text.includes(".") ? text.replace(/\.?0+$/, "") : text;
  };

  const millimetres = (value, places = 1) => `${figure(value, places)}${NARROW}mm`;
  const lengths = (value, inch, places = 1) => {
    const imperial = `${figure(value / INCH, places + 2)}${NARROW}in`;
    return inch ? `${imperial} (${millimetres(value, places)})` : `${millimetres(value, places)} (${imperial})`;
  };
  const bareLength = (value, inch, places = 1) => (inch ? figure(value / INCH, places + 2) : figure(value, places));
  const degrees = (value) => `${figure(value)}°`;
  const newtons = (value) => `${figure(value, 0)}${NARROW}N`;
  const percent = (share) => `${significant(share * 100, 2)}${NARROW}%`;

  // A lead in mm in the lathe's unit and in the other.
  const pitches = (lead, inch) => {
    const threads = INCH / lead;
    const eighths = Math.round(threads * 8);
    const whole = Math.abs(threads * 8 - eighths) < 1e-12 * eighths;
    const imperial = `${whole ? eighths / 8 : trimmed(threads, 4)}${NARROW}tpi`;
    const metric = `${trimmed(lead, 5)}${NARROW}mm`;
    return inch ? [imperial, metric] : [metric, imperial];
  };
  // A relative error with its sign; `exact` tells where there is none.
  const error = (value, exact) => {
    if (exact) return "no error";
    const sign = value > 0 ? "+" : MINUS;
    const size = Math.abs(value);
    if (size < LEAST_ERROR) return `${sign}<1${NARROW}ppm`;
    if (size < MOST_PPM) return `${sign}${figure(size * 1e6, 0)}${NARROW}ppm`;
    return `${sign}${figure(size * 100, 2)}${NARROW}%`;
  };

  return { figure, significant, lengths, bareLength, degrees, newtons, percent, pitches, error };
})();
