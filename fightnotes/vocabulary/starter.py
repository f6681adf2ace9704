"""The starter vocabulary: plain words of the trade, packaged, and brought into a library whole or by the branch."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import cache
from importlib.resources import files

from fightnotes.editing.plan import Plan
from fightnotes.editing.vocabulary_rewrite import rewrite_vocabulary
from fightnotes.errors import UsageError
from fightnotes.model import Concept, Vocabulary, fold
from fightnotes.reading.vocabulary_file import read_vocabulary
from fightnotes.vocabulary import changed as change
from fightnotes.vocabulary.edits import LibraryText

_FILE = "starter.yaml"


@cache
def starter_vocabulary() -> Vocabulary:
    vocabulary, _ = read_vocabulary(files(__package__).joinpath(_FILE).read_text(encoding="utf-8"), _FILE)
    return vocabulary


def plan_start(library: LibraryText, parts: Iterable[str] = ()) -> Plan:
    """The starter vocabulary, or the branches of it that `parts` name by id or label, put beside what is there.

    What is there stays as it is. A concept whose id or preferred label is taken stays out, with another label that is
    taken the concept comes without it; what was to stand under a concept left out stands under the one that has its
    name. The plan's notes name all of it. Raises UnknownName for no such part.
    """
    starter, wanted, notes = starter_vocabulary(), library.vocabulary, []
    names: dict[str, str] = {}
    """Ids in the library by those of the starter."""
    for concept in _chosen(starter, parts):
        holder = _holder(wanted, concept.id, concept.label)
        if holder:
            names[concept.id] = holder
            notes.append(f"{concept.id} stays out: '{concept.label}' is {holder} in your vocabulary")
            continue
        word = next((term.say for term in wanted.terms if fold(term.say) in map(fold, (concept.id, concept.label))), "")
        if word:
            notes.append(f"{concept.id} stays out: '{word}' is among your trade words that are no concepts")
            continue
        fitting = _fitting(concept, wanted, names)
        try:
            wanted = change.with_concept(wanted, fitting)
        except UsageError as error:
            notes.append(f"{concept.id} stays out: {error}")
            continue
        names[concept.id] = concept.id
        notes += [
            f"{concept.id} comes without the label '{label}', which is {_holder(wanted, label)} in your vocabulary"
            for label in concept.also
            if label not in fitting.also
        ]
    edits = rewrite_vocabulary(library.vocabulary_text, library.vocabulary_file, wanted)
    added = len(wanted.concepts) - len(library.vocabulary.concepts)
    return Plan(f"start with {added} concepts", edits, tuple(notes))


def _chosen(starter: Vocabulary, parts: Iterable[str]) -> Iterator[Concept]:
    """In the order of the starter, a broader concept before what is below it."""
    tops = [change.named(starter, starter.resolve(part) or part).id for part in parts]
    chosen = {id for top in tops for id in starter.with_narrower(top)}
    return (concept for concept in starter.concepts if not tops or concept.id in chosen)


def _fitting(concept: Concept, vocabulary: Vocabulary, names: dict[str, str]) -> Concept:
    """The concept with labels that are free and links to what is there."""
    broader = (names.get(id) or _holder(vocabulary, id, starter_vocabulary().by_id[id].label) for id in concept.broader)
    return concept.model_copy(
        update={
            "also": tuple(label for label in concept.also if _holder(vocabulary, label) is None),
            "broader": tuple(filter(None, broader)),
            "line": 0,
        }
    )


def _holder(vocabulary: Vocabulary, *labels: str) -> str | None:
    """The id of the concept that has one of the labels."""
    return next(filter(None, map(vocabulary.resolve, labels)), None)
