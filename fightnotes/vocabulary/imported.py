"""A vocabulary that comes from elsewhere brought into `vocabulary.yaml`, concept by concept."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence

from fightnotes.editing.plan import Plan
from fightnotes.editing.vocabulary_rewrite import rewrite_vocabulary
from fightnotes.model import Concept, Term, Vocabulary, fold
from fightnotes.model.conditions import CYCLE, Breach, breaches
from fightnotes.vocabulary.edits import LibraryText
from fightnotes.vocabulary.skos_read import Imported, named

Reasons = dict[str, list[str]]
"""By id, why a concept is not taken."""


def plan_import(library: LibraryText, imported: Imported, whole: bool = False) -> Plan:
    """What came in wins over what stands under the same address or id; the rest stays, or goes where it is the `whole`.

    A concept that would break a condition is refused, and named with the reason; the others are taken. Where any is
    refused nothing goes, as a file that is not sound does not say what there shall be.
    """
    before = library.vocabulary
    came, reasons = _under_standing_ids(before, imported.vocabulary)
    refused = {**imported.refused}
    keep = not whole or bool(refused or reasons) or not came.concepts
    wanted, clashes = _sound(before, came, keep)
    if clashes and not keep:
        keep = True
        wanted, clashes = _sound(before, came, keep)
    addresses = {concept.id: concept.address for concept in imported.vocabulary.concepts}
    for id, why in [*reasons.items(), *clashes.items()]:
        refused[named(id, addresses.get(id, ""))] = tuple(why)
    taken = [concept for concept in came.concepts if concept.id not in clashes]
    faults = [f"not imported: {name}: {'; '.join(why)}" for name, why in refused.items()]
    if not (came.concepts or came.terms or refused):
        faults.append("nothing imported: the file holds no concept")
    notes = [*imported.notes, *_links_left_out(taken, wanted)]
    if whole and keep:
        notes.append("no concept goes, as not all of the file could be taken")
    notes += _left_without_concept(library, wanted)
    edits = rewrite_vocabulary(library.vocabulary_text, library.vocabulary_file, wanted)
    count = f"{len(taken)} {'concept' if len(taken) == 1 else 'concepts'}"
    return Plan(f"import {count}", edits, tuple(map(_in_one_line, notes)), tuple(map(_in_one_line, faults)))


def _in_one_line(said: str) -> str:
    """A message; the words of the file that it quotes may hold line ends."""
    return " ".join(said.split())


def _under_standing_ids(before: Vocabulary, imported: Vocabulary) -> tuple[Vocabulary, Reasons]:
    """What came in, under the ids that the library has for its addresses, and what cannot be for its id."""
    by_address = {concept.address: concept.id for concept in before.concepts if concept.address}
    address_of = {fold(concept.id): concept.address for concept in before.concepts}
    ids = {concept.id: by_address.get(concept.address, concept.id) for concept in imported.concepts}
    moved = {new for old, new in ids.items() if new != old}
    reasons: Reasons = {}
    for concept in imported.concepts:
        standing = address_of.get(fold(concept.id), "")
        other = standing and concept.address and standing != concept.address and ids[concept.id] == concept.id
        if other or (concept.id in moved and ids[concept.id] == concept.id):
            reasons[concept.id] = [f"the library's {concept.id} is another concept, <{standing}>"]
    concepts = [
        concept.model_copy(
            update={
                "id": ids[concept.id],
                "broader": tuple(ids.get(id, id) for id in concept.broader),
                "related": tuple(ids.get(id, id) for id in concept.related),
            }
        )
        for concept in imported.concepts
        if concept.id not in reasons
    ]
    return Vocabulary(concepts=tuple(concepts), terms=imported.terms), reasons


def _sound(before: Vocabulary, came: Vocabulary, keep: bool) -> tuple[Vocabulary, Reasons]:
    """The vocabulary as it shall be, without what would break a condition that holds now, and why that is left out."""
    known = {_key(breach) for breach in breaches(before)}
    refused: Reasons = {}
    while True:
        good = [concept for concept in came.concepts if concept.id not in refused]
        wanted = _linked(_joined(before.concepts if keep else (), good), good, _terms(before, came, keep))
        new = [breach for breach in breaches(wanted) if _key(breach) not in known]
        blamed = _blamed(wanted, new, {concept.id for concept in good})
        if not blamed:
            return wanted, refused
        refused.update(blamed)


def _key(breach: Breach) -> tuple[str, str, str | None, str]:
    return breach.condition, breach.concept, breach.other, fold(breach.value)


def _blamed(vocabulary: Vocabulary, new: Sequence[Breach], mine: set[str]) -> Reasons:
    """The concepts of `mine` that break a condition, the later one where two do; what might go with another waits."""
    blamed: Reasons = defaultdict(list)
    for breach in new:
        pair = [id for id in (breach.concept, breach.other) if id]
        if breach.condition == CYCLE:
            guilty = vocabulary.hierarchy.in_cycle_with(breach.concept) & mine
        elif breach.other in blamed:
            continue
        else:
            guilty = {id for id in pair if id in mine}
            if guilty:
                guilty = {next(id for id in pair if id in guilty)}
            else:  # it stands between the two
                lines = [{*vocabulary.with_broader(id), *vocabulary.with_narrower(id)} for id in pair]
                guilty = set.union(*lines) & mine
        for id in sorted(guilty):
            if breach.message not in blamed[id]:
                blamed[id].append(breach.message)
    return dict(blamed)


def _joined(standing: Sequence[Concept], came: Sequence[Concept]) -> list[Concept]:
    """A new concept stands behind the one that it follows in the import."""
    by_id = {fold(concept.id): concept for concept in standing}
    new_behind: dict[str, list[Concept]] = defaultdict(list)
    behind = ""
    for concept in came:
        key = fold(concept.id)
        if key in by_id:
            by_id[key] = concept
            behind = key
        else:
            new_behind[behind].append(concept)
    joined = [each for key, concept in by_id.items() for each in (concept, *new_behind[key])]
    return [*joined, *new_behind[""]]


def _linked(concepts: Sequence[Concept], came: Sequence[Concept], terms: tuple[Term, ...]) -> Vocabulary:
    """The vocabulary, where what came in links to nothing that is not there."""
    there = {concept.id for concept in concepts}
    mine = {concept.id for concept in came}
    return Vocabulary(
        concepts=tuple(
            concept.model_copy(
                update={
                    "broader": tuple(id for id in concept.broader if id in there),
                    "related": tuple(id for id in concept.related if id in there),
                }
            )
            if concept.id in mine
            else concept
            for concept in concepts
        ),
        terms=terms,
    )


def _terms(before: Vocabulary, came: Vocabulary, keep: bool) -> tuple[Term, ...]:
    """A word that came in stands for the one that was there; one that came in twice keeps what both say of it."""
    came_in: dict[str, Term] = {}
    for term in came.terms:
        first = came_in.setdefault(fold(term.say), term)
        misheard = tuple(dict.fromkeys((*first.misheard, *term.misheard)))
        came_in[fold(term.say)] = first.model_copy(update={"misheard": misheard})
    standing = {fold(term.say): term for term in before.terms} if keep else {}
    return tuple((standing | came_in).values())


def _links_left_out(taken: Sequence[Concept], wanted: Vocabulary) -> Iterator[str]:
    for concept in taken:
        for key, links in (("broader", concept.broader), ("related", concept.related)):
            gone = [id for id in links if id not in wanted.by_id]
            if gone:
                yield f"{concept.id}: left out: {key} {', '.join(gone)}, which is not imported"


def _left_without_concept(library: LibraryText, wanted: Vocabulary) -> Iterator[str]:
    tags: Mapping[str | None, int] = Counter(tag.concept for segment in library.segments for tag in segment.tags)
    for concept in library.vocabulary.concepts:
        if concept.id not in wanted.by_id and tags.get(concept.id):
            yield f"{concept.id} goes, and so many tags that name it are left without a concept: {tags[concept.id]}"
