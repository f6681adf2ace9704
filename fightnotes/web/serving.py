"""The page on a port of this machine."""

from __future__ import annotations

import socket
import threading
from collections.abc import Callable
from pathlib import Path

import uvicorn

from fightnotes.errors import UsageError
from fightnotes.web.app import make_app
from fightnotes.web.kept import KeptLibrary

HOST = "127.0.0.1"
"""Only programs of this machine reach it."""


def serve(root: Path, port: int, ready: Callable[[str], None]) -> None:
    """Serves a library until it is interrupted; `ready` is given the address once it is reached. Port 0: any free one.

    Raises UsageError for a port that is taken, and as `KeptLibrary` does.
    """
    with socket.socket() as listening:
        listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            listening.bind((HOST, port))
        except OSError as error:
            raise UsageError(f"port {port} cannot be had ({error.strerror}): name another") from error
        kept = KeptLibrary(root)
        threading.Thread(target=kept.follow_changes, daemon=True, name="follow changes").start()
        listening.listen()
        ready(f"http://{HOST}:{listening.getsockname()[1]}/")
        settings = uvicorn.Config(make_app(kept), log_level="warning", access_log=False, server_header=False)
        uvicorn.Server(settings).run([listening])
