"""Recordings, for the player of a page."""

from __future__ import annotations

from pathlib import Path
from urllib.parse import urlencode

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response

from fightnotes.errors import OpeningError, UnreadableFile
from fightnotes.web.guarding import reads
from fightnotes.web.ranges import PartsOfFile
from fightnotes.web.showing import kept_of

_TYPES = {
    ".avi": "video/x-msvideo", ".m4v": "video/mp4", ".mkv": "video/matroska", ".mov": "video/quicktime",
    ".mp4": "video/mp4", ".mpeg": "video/mpeg", ".mpg": "video/mpeg", ".mts": "video/mp2t", ".m2ts": "video/mp2t",
    ".mxf": "application/mxf", ".ogv": "video/ogg", ".ts": "video/mp2t", ".webm": "video/webm",
    ".aac": "audio/aac", ".flac": "audio/flac", ".m4a": "audio/mp4", ".mka": "audio/matroska", ".mp3": "audio/mpeg",
    ".oga": "audio/ogg", ".ogg": "audio/ogg", ".opus": "audio/ogg", ".wav": "audio/wav",
}  # fmt: skip
"""By a file's ending: IANA's media types, and those in common use (from memory). Nothing that a browser would run."""
_UNKNOWN = "application/octet-stream"


def media(request: Request) -> Response:
    """A bout's recording, whole or in parts; never a file that the address names."""
    library = kept_of(request).library
    asked = request.query_params
    try:
        path = library.recording_file(asked.get("bout", ""), asked.get("recording", ""))
        return PartsOfFile(path, media_type(path))
    except (OpeningError, OSError) as error:
        raise HTTPException(404, str(error)) from error
    except UnreadableFile as error:
        raise HTTPException(403, str(error)) from error


def media_type(path: Path) -> str:
    return _TYPES.get(path.suffix.lower(), _UNKNOWN)


def media_address(bout: str, recording: str) -> str:
    """Of the page, without a fragment."""
    return f"/media?{urlencode({'bout': bout, 'recording': recording})}"


ROUTES = (reads("/media", media),)
