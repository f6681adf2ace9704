"""The vocabulary of a library: what it might take in, and plans for its changes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from fightnotes.library.opened import Opened

if TYPE_CHECKING:  # a script that only builds need not load what only a search needs
    from fightnotes.editing.plan import Plan
    from fightnotes.model import Concept
    from fightnotes.proposing.proposal import Proposal, ProposalKind
    from fightnotes.vocabulary.edits import LibraryText, TagPlace
    from fightnotes.vocabulary.usage import Branch


class Terms(Opened):
    """`propose` and `vocabulary`."""

    def propose(self, limit: int | None = 20) -> tuple[Proposal, ...]:
        """What the vocabulary might take in: tags that were typed, then the weightiest. Raises StoreMissing."""
        from fightnotes.proposing.propose import propose
        from fightnotes.reading.refusals import read_rejected_terms
        from fightnotes.vocabulary.starter import starter_vocabulary

        rejected = read_rejected_terms(self.root)
        return propose(self.store, limit=limit, rejected=rejected, trade=starter_vocabulary())

    def plan_proposal(self, term: str | Proposal, kind: ProposalKind | None = None, of: str | None = None) -> Plan:
        """A proposal, or the one that words name, taken as proposed unless `kind` or `of`, a concept or a fighter, say
        otherwise.

        A misheard name is written where the fighter stands. Raises UnknownName, UsageError, UnreadableFile.
        """
        from fightnotes.editing.fighter_rewrite import plan_misheard
        from fightnotes.vocabulary.proposal_edit import fighter_meant, plan_proposal

        proposal = self._proposal(term)
        reading = self.read()
        if fighter := fighter_meant(proposal, kind, of, reading):
            heard_in = proposal.bouts or tuple(example.bout.id for example in proposal.examples)
            return plan_misheard(reading, fighter, (proposal.term, *proposal.also), heard_in)
        return plan_proposal(self.text(), proposal, kind, of)

    def plan_term_rejection(self, term: str | Proposal) -> Plan:
        """The line by which the library remembers that a proposal was refused. Raises UnknownName for none."""
        from fightnotes.proposing.rejected_terms import plan_term_rejection

        return plan_term_rejection(self.root, self._proposal(term).term)

    def _proposal(self, term: str | Proposal) -> Proposal:
        """One that is at hand, or the one that these words name, for which all are worked out."""
        from fightnotes.proposing.propose import proposal_of

        return proposal_of(self.propose(limit=None), term) if isinstance(term, str) else term

    def concept_tree(self, concept: str | None = None) -> tuple[Branch, ...]:
        """The concepts below each other with their uses; of one, by id or label, what is below it. UnknownName."""
        from fightnotes.vocabulary.usage import concept_tree

        reading = self.read()
        return concept_tree(reading.vocabulary, reading.segments, concept)

    def text(self) -> LibraryText:
        """What the plans for the vocabulary change: the files as they are now. Raises UnreadableFile."""
        from fightnotes.vocabulary.edits import library_text, vocabulary_text

        before = vocabulary_text(self.root)
        text = library_text(self.read())
        return text if text.vocabulary_text == before else self.text()  # it was changed while it was read

    def plan_start(self, parts: Iterable[str] = ()) -> Plan:
        """The starter vocabulary, or branches of it, beside what is there. Raises UnknownName."""
        from fightnotes.vocabulary.starter import plan_start

        return plan_start(self.text(), parts)

    def plan_concept(self, concept: Concept) -> Plan:
        """A new concept, behind its neighbours. Raises UsageError."""
        from fightnotes.vocabulary.edits import plan_concept

        return plan_concept(self.text(), concept)

    def plan_labels(self, concept: str, also: Iterable[str] = (), misheard: Iterable[str] = ()) -> Plan:
        """More labels for a concept. Raises UsageError, UnknownName."""
        from fightnotes.vocabulary.edits import plan_labels

        return plan_labels(self.text(), concept, also, misheard)

    def plan_merge(self, gone: str, into: str) -> Plan:
        """One concept into another, with its tags. Raises UsageError, UnknownName."""
        from fightnotes.vocabulary.edits import plan_merge

        return plan_merge(self.text(), gone, into)

    def plan_rename(
        self, concept: str, new_id: str | None = None, new_label: str | None = None, keep: bool = True
    ) -> Plan:
        """Another id or preferred label; with `keep` the old words stay as labels. Raises UsageError, UnknownName."""
        from fightnotes.vocabulary.edits import plan_rename

        return plan_rename(self.text(), concept, new_id, new_label, keep)

    def plan_split(self, concept: str, parts: Sequence[Concept], given: Mapping[TagPlace, str]) -> Plan:
        """New concepts below one; `given` says which part takes the tags at a place. Raises as `edits.plan_split`."""
        from fightnotes.vocabulary.edits import plan_split

        return plan_split(self.text(), concept, parts, given)

    def plan_retire(self, concept: str, instead: str | None = None) -> Plan:
        """A concept taken out; its tags go to `instead`, else to its broader one. Raises UsageError, UnknownName."""
        from fightnotes.vocabulary.edits import plan_retire

        return plan_retire(self.text(), concept, instead)

    def vocabulary_as_skos(self, format: str = "turtle", base: str | None = None, language: str = "en") -> str:
        """The vocabulary as SKOS, `turtle` or `json-ld`; `base` is what the ids are put behind.

        `language` is the tag (BCP 47) that the texts bear. Raises UsageError.
        """
        from fightnotes.vocabulary.skos import export_skos
        from fightnotes.vocabulary.skos_names import BASE

        return export_skos(self.read().vocabulary, format, base or BASE, language)

    def export_vocabulary(
        self, path: Path, format: str | None = None, base: str | None = None, language: str = "en"
    ) -> None:
        """The same in a file, in the format of its ending unless one is named. Raises UnknownName."""
        from fightnotes.vocabulary.skos_file import format_of

        self._write_output(path, self.vocabulary_as_skos(format or format_of(path), base, language))

    def plan_import(self, path: Path, format: str | None = None, language: str = "en", whole: bool = False) -> Plan:
        """Concepts of a SKOS file brought in; the plan says which are refused and what is left out.

        `language` is a basic language range (RFC 4647). Raises UnreadableFile, UnknownName, UsageError.
        """
        from fightnotes.vocabulary.imported import plan_import
        from fightnotes.vocabulary.skos_file import read_skos_file

        return plan_import(self.text(), read_skos_file(path, format, language), whole)
