"""The socket the pages are served on: this machine alone, one port."""

from __future__ import annotations

import socket

from gearchest.cli.typed import refused

LOOPBACK = "127.0.0.1"


def listen(port: int) -> socket.socket:
    """A listening socket on the loopback address; `port` 0: any that is free.

    Raises `FaultsError` where the port is taken or not to be had.
    """
    own = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    try:
        own.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        own.bind((LOOPBACK, port))
        own.listen(256)
    except OSError as error:
        own.close()
        raise refused(
            "--port", str(port), f"this port cannot be had: {error.strerror or error}",
            fix="leave --port out, and one that is free is taken",
        ) from None  # fmt: skip
    own.set_inheritable(False)
    return own
