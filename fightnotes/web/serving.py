"""The page on a port of this machine."""

from __future__ import annotations

import socket
import threading
from collections.abc import Callable

import uvicorn

from fightnotes.errors import UsageError
from fightnotes.web.app import make_app
from fightnotes.web.kept import KeptLibrary

HOST = "127.0.0.1"
"""Only programs of this machine reach it."""
_GRACE = 1.0
"""Seconds that answers under way have to come to an end."""
_HEARD_WITHIN = 1.0
"""Seconds after which an interrupt is heard at the latest."""


def listen(port: int) -> socket.socket:
    """A socket on a port of this machine, 0 for any that is free; who comes early waits for `serve`.

    Raises UsageError for a port that is taken.
    """
    listening = socket.socket()
    listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listening.bind((HOST, port))
        listening.listen()
    except OSError as error:
        listening.close()
        raise UsageError(f"port {port} cannot be had ({error.strerror}): name another with --port") from error
    return listening


def serve(kept: KeptLibrary, listening: socket.socket, ready: Callable[[str], None]) -> None:
    """Serves a library until this thread is interrupted; `ready` is given the address.

    Who is at work on an answer or on the index then is not waited for.
    """
    settings = uvicorn.Config(make_app(kept), log_level="warning", access_log=False, server_header=False, ws="none")
    server = uvicorn.Server(settings)
    serving = threading.Thread(target=server.run, args=([listening],), daemon=True, name="serving")
    serving.start()
    threading.Thread(target=kept.follow_changes, daemon=True, name="follow changes").start()
    try:
        ready(f"http://{HOST}:{listening.getsockname()[1]}/")
        while serving.is_alive():  # a signal that the system gives to another thread does not end a wait for ever
            serving.join(_HEARD_WITHIN)
    finally:
        server.should_exit = True
        serving.join(_GRACE)
