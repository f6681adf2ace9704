"""A vocabulary that comes from elsewhere brought into `vocabulary.yaml`."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from fightnotes.editing.plan import Plan
from fightnotes.editing.vocabulary_rewrite import rewrite_vocabulary
from fightnotes.errors import FightnotesError
from fightnotes.model import Concept, Term, Vocabulary, fold
from fightnotes.model.conditions import breaches
from fightnotes.vocabulary.edits import LibraryText


def plan_import(library: LibraryText, imported: Vocabulary, whole: bool = False, left_out: Iterable[str] = ()) -> Plan:
    """What came in wins over what stands under the same id; the rest stays, or goes where it is the `whole`.

    Raises FightnotesError where the vocabulary would break a condition that held before, each named.
    """
    before = library.vocabulary
    wanted = imported if whole else _joined(before, imported)
    known = {breach.message for breach in breaches(before)}
    new = [breach.message for breach in breaches(wanted) if breach.message not in known]
    if new:
        raise FightnotesError(f"nothing imported, as the vocabulary would break a condition: {'; '.join(new)}")
    tags = Counter(tag.concept for segment in library.segments for tag in segment.tags)
    notes = tuple(
        f"{concept.id} goes, and so many tags that name it are left without a concept: {tags[concept.id]}"
        for concept in before.concepts
        if concept.id not in wanted.by_id and tags[concept.id]
    )
    edits = rewrite_vocabulary(library.vocabulary_text, library.vocabulary_file, wanted)
    return Plan(f"import {len(imported.concepts)} concepts", edits, (*left_out, *notes))


def _joined(before: Vocabulary, imported: Vocabulary) -> Vocabulary:
    """A new concept stands behind the one that it follows in the import."""
    concepts: list[Concept] = list(before.concepts)
    behind = len(concepts)
    for concept in imported.concepts:
        place = next((n for n, old in enumerate(concepts) if fold(old.id) == fold(concept.id)), None)
        if place is None:
            concepts.insert(behind, concept)
            behind += 1
        else:
            concepts[place] = concept
            behind = place + 1
    terms: dict[str, Term] = {fold(term.say): term for term in before.terms}
    terms.update({fold(term.say): term for term in imported.terms})
    return Vocabulary(concepts=tuple(concepts), terms=tuple(terms.values()))
