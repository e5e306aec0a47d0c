"""The same document in fewer bytes: what HTML lets a page leave out is left out.

Templates, drawings, scripts and styles are written in full, to be read; a long page is put
through this once.
"""

from __future__ import annotations

import re

from markupsafe import Markup

_INDENTED = re.compile(r"\n\s*")
_TAG = re.compile(r"<[a-zA-Z][^<>]*>")
_QUOTED = re.compile(r"=\"([^\s\"'=<>`]+)\"(/?)")
_OPTIONAL_END = re.compile(r"</(?:li|dt|dd|tr|th|td|thead|tbody)>\s*")
_PARAGRAPH_END = re.compile(r"</p>(?=\s*(?:</?(?:article|div|footer|header|section|table|ol|ul)\b|"
                            r"<(?:dl|figure|h\d|p)\b|</(?:details|figcaption|main)>))")  # fmt: skip
_BREAK = re.compile(r"\n(?=</?(?:article|div|dl|dt|dd|figure|h\d|header|li|ol|p|section|table|"
                    r"tbody|td|th|thead|tr|ul)\b)")  # fmt: skip

_COMMENT_LINE = re.compile(r"^//.*\n", re.MULTILINE)
_COMMENT_BEHIND = re.compile(r"(?<=[;{,]) // [^\"'`\n]*$", re.MULTILINE)
_STYLE_SPACE = re.compile(r"(\"[^\"]*\")|\s*([{};])\s*|([:,])\s+")
_STYLE_COMMENT = re.compile(r"/\*.*?\*/", re.DOTALL)


def lean(text: str) -> Markup:
    """Markup without indentation, without quotes round plain values of attributes and without
    end tags that follow from what comes next.

    For markup in which every element is closed and no text stands between the parts of a list
    or a table. Text is escaped, so nothing in it looks like a tag. Whitespace inside `pre` and
    `textarea` would not survive.
    """
    text = _INDENTED.sub("\n", text)
    text = _TAG.sub(lambda tag: _QUOTED.sub(_bare, tag[0]), text)
    text = _PARAGRAPH_END.sub("", _OPTIONAL_END.sub("", text))
    return Markup(_BREAK.sub("", text))


def lean_script(text: str) -> str:
    """A script without indentation and comments, but for those behind a line that hold quotes
    themselves; for scripts in which no text runs over several lines."""
    return _COMMENT_BEHIND.sub("", _COMMENT_LINE.sub("", _INDENTED.sub("\n", text)))


def lean_style(text: str) -> str:
    """A style sheet without comments, indentation and spaces round braces and behind stops; its
    strings stay as they are."""
    return _STYLE_SPACE.sub(r"\1\2\3", _INDENTED.sub("\n", _STYLE_COMMENT.sub("", text))).strip()


def _bare(value: re.Match[str]) -> str:
    """A value without quotes; a slash that closes the tag is kept apart from it."""
    return f"={value[1]}{' /' if value[2] else ''}"
