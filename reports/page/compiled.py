"""Templates kept as bytecode beside their package, as Python keeps its modules: compiling them
takes as long as filling them in."""

from __future__ import annotations

import os
import sys
import tempfile
from contextlib import suppress
from importlib.resources import files
from pathlib import Path

import jinja2
from jinja2.bccache import Bucket


def environment(
    package: str, folder: str = "", *, last_newline: bool = False
) -> jinja2.Environment:
    """What fills in the templates in a folder of a package; everything in them is escaped, and
    nothing may be undefined. `last_newline`: whether a template ends with its own."""
    return jinja2.Environment(
        loader=jinja2.PackageLoader(package, folder),
        undefined=jinja2.StrictUndefined,
        autoescape=True,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=last_newline,
        bytecode_cache=_KeptTemplates(package, "escaped, trimmed" + last_newline * ", as it ends"),
        auto_reload=False,
    )


class _KeptTemplates(jinja2.BytecodeCache):
    """Bytecode in `__pycache__` of a package, where that can be written. What stands there counts
    only for the text it was made from, read the same way (`reading`)."""

    def __init__(self, package: str, reading: str) -> None:
        self._folder = Path(str(files(package))) / "__pycache__"
        self._kind = f"{sys.implementation.cache_tag}.jinja-{jinja2.__version__}"
        self._reading = reading

    def get_source_checksum(self, source: str) -> str:
        return super().get_source_checksum(self._reading + source)

    def get_cache_key(self, name: str, filename: str | None = None) -> str:
        return name.replace("/", ".")

    def load_bytecode(self, bucket: Bucket) -> None:
        try:
            with self._path(bucket).open("rb") as file:
                bucket.load_bytecode(file)
        except Exception:  # whatever a damaged file makes its reader stumble over
            bucket.reset()

    def dump_bytecode(self, bucket: Bucket) -> None:
        if sys.dont_write_bytecode:
            return
        with suppress(OSError):  # nothing is lost but time
            self._folder.mkdir(exist_ok=True)
            handle, name = tempfile.mkstemp(dir=self._folder)
            try:
                with os.fdopen(handle, "wb") as file:
                    bucket.write_bytecode(file)
                os.replace(name, self._path(bucket))
            except BaseException:
                os.unlink(name)
                raise

    def _path(self, bucket: Bucket) -> Path:
        return self._folder / f"{bucket.key}.{self._kind}"
