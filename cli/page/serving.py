"""The server that runs an application, without a word of its own on the terminal."""

from __future__ import annotations

import logging

import uvicorn

from gearchest.cli.page.safety import App

MOST_AT_ONCE = 256
"""Requests answered at a time; more are told to come again."""


def serving(app: App) -> uvicorn.Server:
    """A server that has not begun."""
    for name in ("uvicorn", "uvicorn.error", "asyncio"):
        log = logging.getLogger(name)
        log.addHandler(logging.NullHandler())
        log.propagate = False
    return uvicorn.Server(
        uvicorn.Config(
            app,
            log_config=None,
            access_log=False,
            server_header=False,
            lifespan="off",
            ws="none",
            http="h11",
            loop="asyncio",
            limit_concurrency=MOST_AT_ONCE,
            timeout_keep_alive=10,
            timeout_graceful_shutdown=1,
            h11_max_incomplete_event_size=64 * 1024,
        )
    )
