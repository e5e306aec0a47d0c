"""`gearchest open`: the same in a browser, over the files of a folder, on this machine only."""

from __future__ import annotations

import asyncio
import gc
import os
import signal
import socket
import sys
import threading
import webbrowser
from contextlib import suppress
from pathlib import Path
from types import FrameType
from typing import NoReturn

from gearchest.cli.exits import Exit
from gearchest.cli.faults import Fault, FaultsError
from gearchest.cli.output import show, tell
from gearchest.cli.page.app import Pages
from gearchest.cli.page.listening import listen
from gearchest.cli.page.safety import Guard, Keys
from gearchest.cli.page.serving import serving
from gearchest.cli.page.session import Session
from gearchest.cli.writing import make_folder


def open_page(*, folder: Path | None, port: int, browser: bool) -> None:
    """Serve until Ctrl-C. Without a folder the last one is taken; without that the page asks."""
    chosen = _chosen(folder)
    own = listen(port)
    keys = Keys(own.getsockname()[1])
    session = Session(chosen)
    if chosen is not None:
        _remember(chosen)
        if session.desk is not None and not session.desk.shelf.writable:
            tell(f"{chosen} cannot be written: answers are given, but nothing typed is kept.")
    show([keys.address, "Ctrl-C ends it."])
    if browser:
        threading.Thread(target=_show_browser, args=(keys.address,), daemon=True).start()
    signal.signal(signal.SIGINT, _leave)
    gc.set_threshold(700)  # a server lives long: it clears away as Python usually does
    asyncio.run(_serve(session, keys, own))


def _leave(number: int, frame: FrameType | None) -> NoReturn:
    """Ctrl-C is how it ends: nothing is left undone that would have to be said."""
    sys.exit(Exit.INTERRUPTED)


async def _serve(session: Session, keys: Keys, own: socket.socket) -> None:
    server = serving(Guard(Pages(session, _remember).app(), keys), session.farewell)
    session.start()
    try:
        await server.serve(sockets=[own])
    finally:
        await session.close()
        own.close()


def _chosen(folder: Path | None) -> Path | None:
    """The folder to work in; raises `FaultsError` where the one named is none, and whoever sits
    at a terminal does not want it made."""
    if folder is None:
        return _last()
    if folder.exists() and not folder.is_dir():
        raise FaultsError(
            [Fault(str(folder), "this is a file", fix="name the folder that it stands in")]
        )
    if not folder.is_dir() and _wanted(folder):
        make_folder(folder)
    if not folder.is_dir():
        raise FaultsError([
            Fault(str(folder), "there is no such folder",
                  fix=f"gearchest begin {folder} makes it; without a folder the page asks for one")
        ])  # fmt: skip
    return folder.resolve()


def _wanted(folder: Path) -> bool:
    """Whether the folder is to be made: asked where somebody can answer."""
    if not (sys.stdin and sys.stdin.isatty() and sys.stderr.isatty()):
        return False
    tell(f"There is no folder {folder}. Make it? Type y for yes, then Enter:")
    return sys.stdin.readline().strip().casefold() in ("y", "yes")


def _show_browser(address: str) -> None:
    try:
        shown = webbrowser.open(address)
    except (webbrowser.Error, OSError):
        shown = False
    if not shown:
        tell("No browser could be opened here: open the address above in one.")


def _note() -> Path:
    """Where the last folder is noted: its path, and nothing else."""
    if os.name == "nt":
        base = Path(os.environ.get("LOCALAPPDATA") or Path.home() / "AppData" / "Local")
    else:
        base = Path(os.environ.get("XDG_STATE_HOME") or Path.home() / ".local" / "state")
    return base / "gearchest" / "last-folder"


def _last() -> Path | None:
    """The folder worked in last, if it is still there."""
    with suppress(OSError, UnicodeDecodeError, RuntimeError):
        folder = Path(_note().read_text(encoding="utf-8").strip())
        if folder.is_absolute() and folder.is_dir():
            return folder
    return None


def _remember(folder: Path) -> None:
    """Note the folder for the next time; where that cannot be, it is asked for again."""
    with suppress(OSError, RuntimeError):
        note = _note()
        note.parent.mkdir(parents=True, exist_ok=True)
        note.write_text(f"{folder}\n", encoding="utf-8")
