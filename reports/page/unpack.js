"use strict";
// What a block of data holds, as a response to be read as text, blob or JSON. A block that is
// one string is a text packed; any other stands as it is. Fails where a browser cannot unpack.
const unpack = async (block) => {
  const value = JSON.parse(block.textContent);
  if (typeof value !== "string") return new Response(block.textContent);
  const bytes = Uint8Array.from(atob(value), (letter) => letter.charCodeAt(0));
  return new Response(new Blob([bytes]).stream().pipeThrough(new DecompressionStream("deflate")));
};
