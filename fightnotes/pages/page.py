"""One HTML document that needs nothing beside it, and the style of all pages."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache
from pathlib import Path

from fightnotes.pages.drawing import INKS
from fightnotes.pages.templating import templates

_TEMPLATES = templates()


@cache
def page_style() -> str:
    """The CSS that all pages have in common, the colours of drawings with it."""
    return (Path(__file__).parent / "style.css").read_text(encoding="utf-8") + INKS


def document(title: str, body: str, cautions: Iterable[str] = ()) -> str:
    """A whole HTML document, for a reader who has neither the program nor the library.

    `title` is text; `body` is HTML that a template made, without a heading of the first level.
    """
    return _TEMPLATES.get_template("document.html").render(
        title=title, body=body, cautions=tuple(cautions), style=page_style()
    )
