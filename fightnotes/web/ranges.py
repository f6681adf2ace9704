"""The part of a file that a browser asks for: byte ranges as RFC 9110, 14 has them.

Starlette sends the parts. What it is asked for is put right here first, as it answers some requests otherwise than the
RFC has it: a unit that it does not know (14.2: must be ignored), a range for HEAD (14.2: must be ignored), ranges of
which only some lie in the file (14.1.1: those that do are sent), and what is no range at all.
"""

from __future__ import annotations

import os
import re
from pathlib import Path

from starlette.datastructures import Headers
from starlette.responses import FileResponse
from starlette.types import Receive, Scope, Send

_UNIT = "bytes="
_RANGE = re.compile(r"(?P<first>[0-9]{1,18})-(?P<last>[0-9]{0,18})|-(?P<suffix>[0-9]{1,18})")
_LIST = re.compile(r"[ \t]*,[ \t]*")
"""RFC 9110, 5.6.1: what parts the elements of a list, of which some may be empty."""


class PartsOfFile(FileResponse):
    """A file, or the parts of it that are asked for."""

    def __init__(self, path: Path, media_type: str) -> None:
        """Raises OSError where it is gone."""
        super().__init__(path, media_type=media_type, stat_result=os.stat(path))

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        asked = Headers(scope=scope).get("range") if scope["method"] == "GET" else None
        meant = None if asked is None else ranges_meant(asked, int(self.headers["content-length"]))
        headers = [(name, value) for name, value in scope["headers"] if name != b"range"]
        if meant is not None:
            headers.append((b"range", meant.encode()))
        await super().__call__({**scope, "headers": headers}, receive, send)


def ranges_meant(asked: str, size: int) -> str | None:
    """The ranges of a `Range` field that lie in a file of so many bytes, as a field; None where it is to be ignored.

    Where none lies in it the field asks for what is behind its end, which is answered with 416.
    """
    if not asked.lower().startswith(_UNIT):
        return None
    written = [part for part in _LIST.split(asked[len(_UNIT) :].strip(" \t")) if part]
    ranges = [_RANGE.fullmatch(part) for part in written]
    if not ranges or any(found is None or _is_backward(found) for found in ranges):
        return None
    inside = [found[0] for found in ranges if found and _lies_in(found, size)]
    return _UNIT + (",".join(inside) or f"{size}-")


def _is_backward(found: re.Match[str]) -> bool:
    return bool(found["last"]) and int(found["last"]) < int(found["first"])


def _lies_in(found: re.Match[str], size: int) -> bool:
    return int(found["suffix"]) > 0 < size if found["suffix"] else int(found["first"]) < size
