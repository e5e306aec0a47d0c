"""Documents that are whole pages already, put between the page's own head and foot."""

from __future__ import annotations

import html as markup
import re

_POLICY = re.compile(r'<meta http-equiv="Content-Security-Policy" content="([^"]*)">')

_SKIP = re.compile(r'<a class="skip"[^>]*>[^<]*</a>')
"""The way past the head, which comes first of all."""

_OPENED = (
    ("script-src ", "script-src 'self' "),
    ("style-src ", "style-src 'self' "),
    ("connect-src 'none'", "connect-src 'self'"),
    ("form-action 'none'", "form-action 'self'"),
)
"""What the page's own head and foot need beyond a document that asks nothing of any network."""


def policy_of(html: str) -> str | None:
    """The content-security-policy a page brings along; None where it brings none."""
    found = _POLICY.search(html)
    return markup.unescape(found[1]) if found else None


def framed(
    html: str, head: str, foot: str, *, name: str, version: int, whole: bool, below: str = ""
) -> str:
    """The document `name` with the page's head, foot, style and scripts, and what stands `below`
    its verdict; `whole` False: more of it is still to come."""
    policy = policy_of(html) or ""
    for old, new in _OPENED:
        policy = policy.replace(old, new)
    html = _POLICY.sub("", html, count=1)
    meta = (
        f'<meta http-equiv="Content-Security-Policy" content="{markup.escape(policy)}">\n'
        '<link rel="stylesheet" href="/static/doors.css">\n'
    )
    if not whole:
        meta += '<noscript><meta http-equiv="refresh" content="3"></noscript>\n'
    html = html.replace('<meta charset="utf-8">', f'<meta charset="utf-8">\n{meta}', 1)
    state = f' data-version="{version}" data-whole="{str(whole).lower()}" data-sheet="document"'
    state += f' data-document="{name}"'
    body = html.index("<body>")
    skip = _SKIP.search(html, body)
    at = skip.end() if skip else body + len("<body>")
    html = f"{html[:body]}<body{state}>{html[body + len('<body>') : at]}\n{head}{html[at:]}"
    if below:
        at = html.index("</section>", html.index("verdict", body))
        html = f"{html[:at]}{below}{html[at:]}"
    scripts = ("live.js", "coming.js") if name == "buy" else ("live.js",)
    script = "".join(f'<script src="/static/{one}" defer></script>' for one in scripts)
    at = html.rindex("</body>")
    return f"{html[:at]}{foot}\n{script}\n{html[at:]}"
