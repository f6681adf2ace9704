"""An answer as Markdown to paste."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from fightnotes.briefing.answer import Answer
from fightnotes.model.pasting import citation, literal
from fightnotes.search.hit import Hit


def answer_markdown(answer: Answer) -> Iterator[str]:
    """The lines of an answer in CommonMark: what is said, each sentence with the numbers of its moments, and below them
    these in the analyst's own words with their places and links."""
    lines, moments = answer.in_lines()
    yield f"**{literal(answer.question.text)}**"
    yield ""
    yield literal(answer.says)
    yield ""
    yield from (f"- {literal(line)}" for line in lines)
    if lines:
        yield ""
    yield from numbered_moments(moments)
    if moments:
        yield ""
    yield from (f"{literal(begun)}  " for begun in answer.notices)


def numbered_moments(moments: Iterable[Hit]) -> Iterator[str]:
    """A numbered list of moments: their words, and where they stand."""
    for number, hit in enumerate(moments, start=1):
        yield f"{number}. “{literal(hit.quoted)}” {', '.join(citation(hit))}"
