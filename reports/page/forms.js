"use strict";
// Texts packed as forms and the numbers that stand in their gaps (`packed_forms` in packing.py): from
// what a block holds a function from a name to its texts, each put together when it is asked for.
const formsOf = ({ forms, orders, gaps, texts }) => {
  const met = forms.map(() => 0);
  const places = new Map(texts.map(([name, some]) =>
    [name, some.map((order) => orders[order].map((form) => [form, met[form]++]))]));
  const split = gaps.map((some) => some.map(() => null));
  const numbers = (form, gap) => (split[form][gap] ??= gaps[form][gap].split(" "));
  const filled = (pieces) => pieces.map(([form, place]) =>
    forms[form].reduce((text, words, gap) => text + numbers(form, gap - 1)[place] + words)).join("");
  return (name) => (places.get(name) ?? []).map(filled);
};
const unpackForms = async (block) => formsOf(await (await unpack(block)).json());
