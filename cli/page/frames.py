"""Messages between two processes: eight hexadecimal figures of length, then so many bytes."""

from __future__ import annotations

import asyncio
from typing import BinaryIO

_FIGURES = 8


def framed(data: bytes) -> bytes:
    """A message as it is sent."""
    return b"%08x" % len(data) + data


async def read_frame(stream: asyncio.StreamReader) -> bytes:
    """The next message; EOFError where the other side has ended."""
    return await stream.readexactly(int(await stream.readexactly(_FIGURES), 16))


def next_frame(stream: BinaryIO) -> bytes | None:
    """The next message, waited for; None where the other side has ended."""
    head = stream.read(_FIGURES)
    if len(head) < _FIGURES:
        return None
    return stream.read(int(head, 16))
