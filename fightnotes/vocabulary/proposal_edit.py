"""A proposal carried out: the line edits of `vocabulary.yaml` that it comes to."""

from __future__ import annotations

from fightnotes.editing.plan import Plan
from fightnotes.editing.vocabulary_rewrite import rewrite_vocabulary
from fightnotes.errors import UsageError
from fightnotes.model import Concept, fold
from fightnotes.proposing.proposal import Proposal, ProposalKind
from fightnotes.reading.grammar import concept_id_from
from fightnotes.reading.library import LibraryReading
from fightnotes.reading.people import forms_of
from fightnotes.vocabulary.edits import LibraryText, plan_concept, plan_labels


def fighter_meant(proposal: Proposal, kind: ProposalKind | None, of: str | None, reading: LibraryReading) -> str | None:
    """The id of the fighter whose name was misheard: of the proposal, else whom `of` names and no concept does.

    Raises UsageError where a fighter is named and `kind` is another than a misheard form.
    """
    people = [*reading.settings.fighters, *(fighter for bout in reading.bouts for fighter in bout.fighters)]
    named = [each.id for each in people if of and fold(of) in map(fold, forms_of(each))]
    fighter = named[0] if named and not reading.vocabulary.resolve(of or "") else None if of else proposal.fighter
    if fighter and (kind or "misheard") != "misheard":
        raise UsageError(f"{fighter} is a fighter: a name takes misheard forms alone")
    return fighter


def plan_proposal(
    library: LibraryText, proposal: Proposal, kind: ProposalKind | None = None, concept: str | None = None
) -> Plan:
    """As proposed, unless `kind` says otherwise or `concept` names another one to stand under or to be a label of.

    Raises UsageError where the vocabulary would break a condition, UnknownName.
    """
    wanted = kind or proposal.kind
    place = concept or proposal.concept
    if wanted == "concept":
        return plan_concept(
            library,
            Concept(id=_id(proposal.term), label=proposal.term, also=proposal.also, broader=_one(place)),
        )
    if proposal.trade_word and not concept:
        return _plan_trade_word(library, proposal.trade_word, proposal.term)
    if place is None or (proposal.kind == "concept" and not concept):
        raise UsageError(f"name the concept that '{proposal.term}' is a label of")
    if wanted == "label":
        return plan_labels(library, place, also=[proposal.term, *proposal.also])
    return plan_labels(library, place, misheard=[proposal.term, *proposal.also])


def _plan_trade_word(library: LibraryText, say: str, misheard: str) -> Plan:
    terms = [
        term.model_copy(update={"misheard": (*term.misheard, misheard)})
        if term.say == say and misheard not in term.misheard
        else term
        for term in library.vocabulary.terms
    ]
    wanted = library.vocabulary.model_copy(update={"terms": tuple(terms)})
    edits = rewrite_vocabulary(library.vocabulary_text, library.vocabulary_file, wanted)
    return Plan(f"add a misheard form to {say}", edits)


def _one(concept: str | None) -> tuple[str, ...]:
    return (concept,) if concept else ()


def _id(term: str) -> str:
    return concept_id_from(term.replace("'", ""))
