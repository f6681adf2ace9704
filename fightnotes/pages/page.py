"""One HTML document: its frame, its style, and how text of files is put into it. It needs nothing beside it."""

from __future__ import annotations

import html
from collections.abc import Iterable

from fightnotes.pages.drawing import INKS
from fightnotes.visible import visible

STYLE = """
:root { color-scheme: light dark; --ink: #22303c; --soft: #d9dee3; --pale: #4a5a68; --paper: #fff; --link: #0b5ea8; }
@media (prefers-color-scheme: dark) {
  :root { --ink: #e4e9ee; --soft: #46535f; --pale: #a9b6c1; --paper: #14191e; --link: #8cc4f5; }
}
@media print { :root { --ink: #000; --soft: #bbb; --pale: #333; --paper: #fff; --link: #0b5ea8; } }
body { margin: 0; overflow-wrap: anywhere; font: 16px/1.5 Georgia, serif; color: var(--ink); background: var(--paper); }
a { color: var(--link); }
main { max-width: 60rem; margin: 2rem auto; padding: 0 1rem; } svg { max-width: 100%; height: auto; }
.scroll svg { max-width: none; }
h1, h2, h3, h4 { font-family: sans-serif; line-height: 1.2; }
h2 { margin-top: 2.5rem; border-bottom: 1px solid var(--soft); }
table { border-collapse: collapse; font-size: .9rem; overflow-wrap: break-word; } caption { text-align: left; }
th, td { padding: .25rem .7rem; text-align: left; vertical-align: top; border-bottom: 1px solid var(--soft); }
.place { font: .85rem monospace; } .note { color: var(--pale); margin: .1rem 0 .1rem 1.2rem; }
figure { margin: 0; max-width: 100%; } figcaption { font: .8rem sans-serif; } .scroll { overflow-x: auto; }
small { color: var(--pale); }
h1, h2, h3, h4, caption { break-after: avoid; } figure, tr { break-inside: avoid; }
section > p:first-of-type { break-before: avoid; }
"""


def escape(text: str) -> str:
    """Text from files; what would turn the direction of what follows is shown, and not followed."""
    return html.escape(visible(text))


def document(title: str, parts: Iterable[str], style: str = "") -> str:
    """A whole HTML document, for a reader who has neither the program nor the library.

    `parts` are HTML; `title` is text; `style` is CSS beside that of all pages.
    """
    return (
        f'<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8"><title>{escape(title)}</title>'
        f'<meta name="viewport" content="width=device-width, initial-scale=1"><style>{STYLE}{INKS}{style}</style>'
        f"</head>\n<body><main>\n{chr(10).join(parts)}\n</main></body></html>\n"
    )
