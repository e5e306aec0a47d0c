"use strict";
// Numbers as numbers.py writes them.
const figures = (() => {
  const { minus: MINUS, space: NARROW, inch: INCH, least: LEAST_ERROR, ppm: MOST_PPM, soon: SOON, more: MOST_MORE } = constants.numbers;

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
  const scale = (share) => (share < MOST_PPM ? [1e6, 0, "ppm"] : [100, 2, "%"]);
  const share = (value) => {
    const [factor, places, sign] = scale(value);
    return value < LEAST_ERROR ? [0, `<1${NARROW}ppm`]
      : [Number(figure(value * factor, places)) / factor, `${figure(value * factor, places)}${NARROW}${sign}`];
  };
  // An allowance: rounded down, and never to nothing; decimals that end soon all stay.
  const limit = (value) => {
    const [factor, usual, sign] = scale(value);
    const scaled = Array.from({ length: MOST_MORE - usual }, (_, more) => value * factor * 10 ** (usual + more) * (1 + 1e-12));
    const ends = scaled.findIndex((size, more) => more < SOON && size % 1 < 1e-9 * size && size >= 1);
    const more = ends < 0 ? Math.max(0, scaled.findIndex((size) => size >= 1)) : ends;
    const shown = Math.floor(scaled[more]) / 10 ** (usual + more);
    return [shown / factor, `${figure(shown, usual + more)}${NARROW}${sign}`];
  };
  // A relative error, within what is allowed, with its sign; `exact` tells where there is none.
  const error = (value, exact, allowed) => {
    if (exact) return "no error";
    const [shown, most] = [share(Math.abs(value)), limit(allowed)];
    return (value > 0 ? "+" : MINUS) + (shown[0] > most[0] ? most : shown)[1];
  };

  return { figure, significant, lengths, bareLength, degrees, newtons, percent, pitches, error };
})();
