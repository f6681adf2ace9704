"""Tables and blocks as wide as the terminal, whose words are never broken inside.

rich lays tables out, too, and breaks a word that is wider than its column: a `file:line` could not be copied then.
Here such a table becomes a list of blocks, and a word wider than the terminal runs over its edge.
"""

from __future__ import annotations

import os
import re
import shutil
import sys
from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import chain

from fightnotes.cli.streams import write_out
from fightnotes.visible import visible, visible_line

Cell = str
"""Lines parted by line feeds; what `whole` gave stays together."""

_GLUE = "\ufdd0"
"""Stands for a blank that is no place to wrap: a character that Unicode keeps for such inner use."""
_GAP = "   "
_INDENT = "  "
_PIPED = 140
"""Columns where the output is no terminal."""
_NARROWEST_PROSE = 24
"""Columns that prose needs beside others."""
_WORD = re.compile(r" *[^ ]+")


def whole(place: str) -> str:
    """A place, such as `file:line`, that is never broken, not even where its name has blanks."""
    return visible_line(place).replace(" ", _GLUE)


def with_whole(text: str, places: Iterable[str]) -> str:
    """A text in which these places are never broken."""
    for place in dict.fromkeys(places):
        text = text.replace(place, whole(place))
    return text


def print_table(header: Sequence[str], rows: Iterable[Sequence[Cell]], *, wide: int) -> None:
    """A table in which the column `wide` takes the room that is left; where there is too little, blocks.

    A block has the columns before the wide one on its first line, then the wide one, then the others with their titles.
    """
    kept = list(rows)
    print_long_table(header, lambda: kept, wide=wide)


def print_long_table(header: Sequence[str], rows: Callable[[], Iterable[Sequence[Cell]]], *, wide: int) -> None:
    """The same of rows that are asked for twice, to be measured and to be printed, and never all held."""
    widths = _widths(header, _cells(rows), wide)
    if widths is None:
        _print_all(line for row in _cells(rows) for line in _wrapped_block(_as_block(header, row, wide)))
        return
    _print_all([_GAP.join(map(_padded, header, widths))], style="bold")
    _print_all(["─" * (sum(widths) + len(_GAP) * (len(widths) - 1))])
    _print_all(line for row in _cells(rows) for line in _side_by_side(row, widths))


def _cells(rows: Callable[[], Iterable[Sequence[Cell]]]) -> Iterator[list[list[str]]]:
    return ([_shown(cell).split("\n") for cell in row] for row in rows())


def print_blocks(blocks: Iterable[Sequence[str]]) -> None:
    """Each block a first line, and lines indented below it."""
    _print_all(line for block in blocks for line in _wrapped_block([_shown(line) for line in block]))


def _print_all(lines: Iterable[str], style: str = "") -> None:
    for line in lines:
        shown = line.rstrip().replace(_GLUE, " ")
        if style:
            write_out(_styled(shown, style) + "\n")
        else:
            write_out(shown + "\n")


def _styled(line: str, style: str) -> str:
    """Plain where NO_COLOR is set and not empty (no-color.org, an informal standard), and where rich says so."""
    from rich.console import Console
    from rich.style import Style

    plain = os.environ.get("NO_COLOR") or Console().color_system is None
    return line if plain else Style.parse(style).render(line)


def _columns() -> int:
    fixed = sys.stdout.isatty() or "COLUMNS" in os.environ
    return shutil.get_terminal_size((_PIPED, 24)).columns if fixed else _PIPED


def _widths(header: Sequence[str], rows: Iterable[Sequence[Sequence[str]]], wide: int) -> list[int] | None:
    """Columns of each; None where some word would have to be broken."""
    least, most = [0] * len(header), [0] * len(header)
    for row in chain([[[title] for title in header]], rows):
        for index, lines in enumerate(row):
            least[index] = max(least[index], *(_size(word) for line in lines for word in _unbroken(line)))
            most[index] = max(most[index], *map(_size, lines))
    least[wide] = max(least[wide], min(most[wide], _NARROWEST_PROSE))
    room = _columns() - len(_GAP) * (len(header) - 1)
    if sum(least) > room:
        return None
    widths = list(least)
    for index in sorted(range(len(header)), key=lambda index: index == wide):
        widths[index] += max(0, min(most[index] - widths[index], room - sum(widths)))
    return widths


def _as_block(header: Sequence[str], row: Sequence[Sequence[str]], wide: int) -> list[str]:
    first = _INDENT.join(line for lines in row[:wide] for line in lines if line)
    block = [first, *row[wide]] if wide else list(row[wide])
    for title, (line, *more) in zip(header[wide + 1 :], row[wide + 1 :], strict=True):
        block += [f"{title}: {line}", *(_INDENT + one for one in more)] if line else []
    return block


def _wrapped_block(block: Sequence[str]) -> Iterator[str]:
    """The lines below the first stand under it, further in than it."""
    columns = _columns()
    margin = _margin(block[0]) + _INDENT
    yield from _wrapped(block[0], columns, margin)
    for line in filter(str.strip, block[1:]):
        yield from (margin + part for part in _wrapped(line, columns - len(margin), _margin(line) + _INDENT))


def _margin(line: str) -> str:
    return " " * (len(line) - len(line.lstrip(" ")))


def _side_by_side(row: Sequence[Sequence[str]], widths: Sequence[int]) -> Iterator[str]:
    columns = [
        [part for line in lines for part in _wrapped(line, width, _margin(line))]
        for lines, width in zip(row, widths, strict=True)
    ]
    for number in range(max(map(len, columns))):
        parts = (column[number] if number < len(column) else "" for column in columns)
        yield _GAP.join(map(_padded, parts, widths))


def _wrapped(line: str, columns: int, margin: str = "") -> Iterator[str]:
    """Parts of a line, those behind the first begun with the margin; without blanks to wrap at a part may be wider."""
    part = ""
    for piece in _pieces(line, columns - len(margin)):
        if part.strip() and _size(part) + _size(piece) > columns:
            yield part
            part = margin + piece.lstrip(" ")
        else:
            part += piece
    yield part


def _pieces(line: str, columns: int) -> Iterator[str]:
    """The words; in scripts that put no blanks between words, what fits on a line each."""
    from rich.cells import chop_cells

    for word in _WORD.findall(line):
        if _is_unbroken(word) or _size(word) <= columns:
            yield word
        else:
            yield from chop_cells(word, max(columns, 2))


def _unbroken(line: str) -> list[str]:
    """The words that are never broken, and a margin with the first."""
    if line.isascii():
        return line.split(" ")
    return [word.strip(" ") for word in _WORD.findall(line) if _is_unbroken(word)] or [""]


def _is_unbroken(word: str) -> bool:
    """Places and all words but those of scripts whose characters take two columns."""
    return _GLUE in word or _size(word) <= len(word)


def _shown(text: str) -> str:
    return visible(text).replace("\t", " ")


def _padded(text: str, columns: int) -> str:
    return text + " " * (columns - _size(text))


def _size(text: str) -> int:
    """Columns that it takes on a terminal."""
    if text.isascii():
        return len(text)
    from rich.cells import cell_len

    return cell_len(text)
