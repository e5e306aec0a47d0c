"use strict";
// Texts packed as forms and the numbers that stand in them (`packed_forms` in packing.py): from a
// block a function from a name to its texts, each put together when it is asked for.
const unpackForms = async (block) => {
  const { forms, orders, texts } = await (await unpack(block)).json();
  const filled = ([order, said]) => {
    const numbers = said.split(" ");
    let next = 0;
    return orders[order].map((form) => forms[form].reduce((text, words) => text + numbers[next++] + words)).join("");
  };
  return (name) => texts[name]?.map(filled) ?? [];
};
