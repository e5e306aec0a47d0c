"use strict";
// What a block of data holds, as a response to be read as text, blob or JSON. A block that is
// one string is a text packed (see packing.py); any other stands as it is. Fails where a browser
// cannot unpack.
const unpack = (() => {
  const LETTERS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz!#$%,()*+-;.=>?@^_`{|}~";
  const digits = new Uint8Array(128).fill(LETTERS.length - 1);
  [...LETTERS].forEach((letter, digit) => { digits[letter.charCodeAt(0)] = digit; });

  // Five letters are four bytes; of the last group as many bytes as there are letters but one.
  const bytesOf = (text) => {
    const bytes = new Uint8Array(Math.floor((text.length * 4) / 5));
    const last = digits.at(-1);
    for (let from = 0, to = 0; from < text.length; from += 5, to += 4) {
      let group = 0;
      for (let i = from; i < from + 5; i++) {
        group = group * LETTERS.length + (i < text.length ? digits[text.charCodeAt(i)] : last);
      }
      for (let i = 3; i >= 0; i--) {
        bytes[to + i] = group % 256;
        group = Math.floor(group / 256);
      }
    }
    return bytes;
  };

  return async (block) => {
    const value = JSON.parse(block.textContent);
    if (typeof value !== "string") return new Response(block.textContent);
    return new Response(new Blob([bytesOf(value)]).stream().pipeThrough(new DecompressionStream("deflate")));
  };
})();
