"""Lines that are no TOML, as people write them, and what they would have to be.

A line that can be mended is, so that whatever else is wrong with a file is found in the same
round; the slip is told all the same, with the mended line as its cure.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass

_Try = tuple[str, str]
"""What is wrong, and the text without it."""

_SIGNS = str.maketrans({
    **dict.fromkeys("\u201c\u201d\u201e\u201f\u00ab\u00bb\uff02", '"'),
    **dict.fromkeys("\u2018\u2019\u201a\u201b", "'"),
    **dict.fromkeys("\u00a0\u2007\u202f\u2002\u2003\u2009", " "),
    **dict.fromkeys("\u2212\u2013\u2014", "-"),
})  # fmt: skip

_LONGEST = 1000
"""Characters of a line that anybody wrote by hand."""

_REMARK = re.compile(r"\s*(?:;|//|--|%|/\*)\s*")
_HEAD = re.compile(r"\s*(\[*)\s*([A-Za-z_][\w. -]*?)\s*(\]*)\s*(:?)\s*")
_STATEMENT = re.compile(
    r"""(\s*)("[^"]*"|[A-Za-z_][\w.-]*(?:\ +[A-Za-z_][\w.-]*)*)
        (?:\s*(?::=|==?|:)\s*|\s+(?=[\d"'\[{.-]))(.*)""",
    re.VERBOSE,
)
_NEXT_STATEMENT = re.compile(r"\s*(?:\[|[\w.\"-]+\s*=)")
_WHOLE = re.compile(r"[-+]?\d+")
_NUMBER = re.compile(r"[-+]?(?:0|[1-9]\d*)(?:\.\d+)?")
_ANSWERS = {"yes": "true", "y": "true", "on": "true", "true": "true",
            "no": "false", "n": "false", "off": "false", "false": "false"}  # fmt: skip


@dataclass(frozen=True)
class Slip:
    """A line that is no TOML, counted from 1: what is wrong with it, as typed and as it should
    be, both without a remark, and the whole line mended."""

    line: int
    problem: str
    typed: str
    cure: str
    mended: str


def mend(number: int, typed: str, following: str = "") -> Slip | None:
    """The slip of a line, None where it is not known how to mend it. `following`: the next line
    with anything on it, which shows whether a list goes on there."""
    goes_on = not _NEXT_STATEMENT.match(following)
    if len(typed) > _LONGEST or _reads(typed, goes_on):
        return None
    body, remark = _apart(typed)
    for problem, text in _tries(body.translate(_SIGNS)):
        if _reads(f"{text}{remark}", goes_on):
            return Slip(number, problem, body.strip(), text.strip(), f"{text}{remark}")
    return None


def _apart(line: str) -> tuple[str, str]:
    """A line and its comment, with the spaces before it; where quotes do not pair, whatever
    stands behind a space and #."""
    quote = ""
    for i, sign in enumerate(line):
        if quote:
            quote = "" if sign == quote else quote
        elif sign in "\"'":
            quote = sign
        elif sign == "#":
            body = line[:i].rstrip()
            return body, line[len(body) :]
    body = line.partition(" #")[0].rstrip() if quote else line.rstrip()
    return body, line[len(body) :].rstrip()


def _reads(text: str, goes_on: bool) -> bool:
    """Whether a line reads as TOML, alone or as a part of a list."""
    ways = [text, f"x = [\n{text}\n]", f"x = [\n{text}", *([f"{text}\n]"] if goes_on else [])]
    return any(map(_loads, ways))


def _loads(text: str) -> bool:
    try:
        tomllib.loads(text)
    except (ValueError, RecursionError):
        return False
    return True


def _tries(line: str) -> Iterator[_Try]:
    yield "these signs are not those of a keyboard", line
    if remark := _REMARK.match(line):
        yield "a remark begins with #", f"# {line[remark.end() :]}"
    head = _HEAD.fullmatch(line)
    if head and (head[1] or head[3] or head[4]):
        inner = head[2].replace(" ", "_")
        several = "[[" in (head[1], head[3].replace("]", "["))
        yield "a heading stands in brackets", f"[[{inner}]]" if several else f"[{inner}]"
    if statement := _STATEMENT.fullmatch(line):
        indent, key, value = statement.groups()
        key = re.sub(r" +", "_", key)
        yield "a key is one word, and = stands behind it", f"{indent}{key} = {value}"
        if not value:
            yield "there is nothing behind this key", f"{indent}# {key} ="
        for problem, text in _values(value.strip(), counts=key in ("owned", "teeth")):
            yield problem, f"{indent}{key} = {text}"
    elif re.match(r"\s*[\d\"'\[{]", line):
        yield "the entries of a list stand apart by commas", _list(line)


def _values(value: str, *, counts: bool) -> Iterator[_Try]:
    """What a value can have been meant as; `counts`: it lists gears, for which text will do."""
    bare = value.rstrip(";, ")
    yield "nothing follows a value", bare
    if answer := _ANSWERS.get(bare.casefold()):
        yield "yes and no are written true and false", answer
    comma = re.fullmatch(r"([-+]?\d+),(\d+)", bare)
    if comma and not counts:
        yield "decimals stand behind a point", f"{comma[1]}.{comma[2]}"
    if number := re.fullmatch(r"([-+]?)0*(\d*)\.?(\d*)\s*°?", bare):
        whole, part = number[2] or "0", number[3]
        yield "this is not how numbers are written", number[1] + whole + (part and f".{part}")
    if bare in ("[", "{"):
        return
    if bare[:1] in ("[", "{"):
        yield "the entries of a list stand apart by commas, text in quotes", _list(bare)
        whole = bare + {"[": "]", "{": "}"}[bare[0]]
        yield "this list has no end", whole
        yield "this list has no end", _list(whole)
        return
    parts = [part.strip(" °") for part in bare.split(",")]
    if len(parts) > 1 and all(map(_NUMBER.fullmatch, parts)) and not counts:
        yield "a list stands in brackets", f"[{', '.join(parts)}]"
    if inches := re.fullmatch(r"[\"']?\s*(\d[\d ./,-]*?)\s*(?:\"|'')[\"']?", bare):
        yield "text stands in quotes", f'"{inches[1]} in"'
    yield "text stands in quotes", _quoted(bare)


def _quoted(text: str) -> str:
    inner = text.strip("\"' ") if text[:1] in "\"'" or text[-1:] in "\"'" else text
    return f'"{inner}"' if '"' not in inner else f"'{inner}'"


def _list(text: str) -> str:
    """A list with commas between its entries, and quotes around those that are text."""
    text = re.sub(r"(?<=\d)\s*°", "", text)
    if "{" in text:
        text = re.sub(r"([A-Za-z_]\w*)\s*:", r"\1 =", text)
        text = re.sub(r"(?<=[\d\"'])\s+(?=[A-Za-z_]\w*\s*=)", ", ", text)
        text = re.sub(r"\}\s*\{", "}, {", text)
        return re.sub(
            r"(?<==)\s*([^\s,{}\[\]\"'][^,{}\[\]\"']*?)\s*(?=[,}])",
            lambda found: f" {_entry(found[1])}", text,
        )  # fmt: skip
    opened, closed = text.startswith("["), text.rstrip(" ,").endswith("]")
    inner = text.strip(" ,").removeprefix("[").removesuffix("]")
    entries = [entry for part in inner.split(",") if part.strip() for entry in _entries(part)]
    listed = ", ".join(entries)
    if closed:
        return f"[{listed}]" if opened else f"{listed}]"
    return f"[{listed}," if opened else f"{listed},"


def _entries(part: str) -> list[str]:
    words = part.split()
    return words if all(map(_WHOLE.fullmatch, words)) else [_entry(part.strip())]


def _entry(text: str) -> str:
    return text if _NUMBER.fullmatch(text) or text[:1] in "\"'" else f'"{text}"'
