"""Proposals for the vocabulary, from what the notes and transcripts say and no label covers."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Iterator, Mapping

from fightnotes.errors import UnknownName
from fightnotes.index.store import Store
from fightnotes.language.labels import labels_of
from fightnotes.language.words import stem, stems_of, written_words
from fightnotes.model import Moment, Segment, Vocabulary, fold
from fightnotes.proposing.known_forms import known_forms, without_names
from fightnotes.proposing.misheard_forms import MisheardForm, misheard_forms
from fightnotes.proposing.proposal import Proposal
from fightnotes.proposing.term_home import home_by_words, home_of, meanings
from fightnotes.proposing.term_uses import term_uses
from fightnotes.proposing.typed_tags import TypedTag, spelling_key, typed_tags
from fightnotes.proposing.weights import FEWEST_MOMENTS, WeighedTerm, WeighedWord, weighed_terms, weighed_words
from fightnotes.proposing.word_uses import word_uses

_EXAMPLES = 3


def propose(
    store: Store, *, limit: int | None = 20, rejected: Collection[str] = (), trade: Vocabulary | None = None
) -> tuple[Proposal, ...]:
    """The proposals: tags that were typed first, for a person chose them, then those with the most weight, and last
    the misheard forms that a build puts right unasked, which a person may list or refuse.

    `rejected` are terms that are not asked again; `trade` is a vocabulary of the trade at large, whose words are
    taken for terms more readily than others. Weights: of a typed tag how often it stands; of terms and words see
    `weights`; of a misheard form how surely it is one, once for each use. Raises StoreTorn, StoreOutdated.
    """
    out = {fold(term) for term in rejected}
    segments = store.every_segment()
    known = known_forms(store.vocabulary, store.bouts.values(), store.settings.fighters)
    texts = {number: without_names(segment.text, known) for number, segment in segments.items()}
    said = Counter(stem(word) for text in texts.values() for word in written_words(text))
    typed = typed_tags(segments, said, labels_of(store.vocabulary))
    claimed = {spelling_key(form) for tag in typed for form in (tag.words, *tag.variants)}
    heard = [
        form
        for form in misheard_forms(segments, store.bouts, store.vocabulary, out)
        if spelling_key(form.text) not in claimed
    ]
    claimed.update(spelling_key(form.text) for form in heard)
    terms = term_uses(texts, known, store.settings.outcomes)
    recurring = [term for term in terms if len(term.segments) >= FEWEST_MOMENTS]
    names = [*(stems_of(tag.words) for tag in typed), *map(stems_of, store.vocabulary.by_label)]
    trade = trade or Vocabulary()
    words = word_uses(segments, texts, known, recurring, names, trade, store.settings.outcomes)

    def free(term: str) -> bool:
        return term not in out and spelling_key(term) not in claimed

    proposals = [
        *_of_tags([tag for tag in typed if out.isdisjoint((tag.words, *tag.variants))], store, segments, trade),
        *(_of_form(form, store, segments) for form in heard),
        *_of_words(weighed_words([word for word in words if free(word.text)], store, segments), store, segments, trade),
        *_of_terms(weighed_terms([term for term in terms if free(term.text)], store, segments), store, segments, trade),
    ]
    proposals.sort(key=lambda one: (one.seen_as != "tag", one.sure, -one.weight, one.term))
    return tuple(proposals[:limit])


def proposal_of(proposals: tuple[Proposal, ...], term: str) -> Proposal:
    """The proposal that these words name. Raises UnknownName."""
    for proposal in proposals:
        if fold(term) in map(fold, (proposal.term, *proposal.also)):
            return proposal
    raise UnknownName(f"'{term}' is not proposed: name one of the terms that `fightnotes propose` lists")


def _of_form(form: MisheardForm, store: Store, segments: Mapping[int, Segment]) -> Proposal:
    there = sorted({use.segment for use in form.uses})
    reasons = [*form.reasons, f"{form.same_moment} at a moment tagged so" if form.same_moment else ""]
    reasons += [f"put right unasked ({form.score:.2f})" if form.sure else f"in doubt ({form.score:.2f})"]
    return Proposal(
        term=form.text,
        kind="misheard",
        seen_as="speech",
        concept=form.label.concept or None if form.label else None,
        trade_word=form.label.text if form.label and not form.label.concept else None,
        fighter=form.fighter,
        bouts=tuple(dict.fromkeys(segments[number].bout for number in there)) if form.fighter else (),
        sure=form.sure,
        uses=len(form.uses),
        segments=len(there),
        score=form.score,
        weight=form.score * len(form.uses),
        why="; ".join(filter(None, reasons)),
        examples=_examples(there, store, segments),
    )


def _of_terms(
    weighed: Iterable[WeighedTerm], store: Store, segments: Mapping[int, Segment], trade: Vocabulary
) -> Iterator[Proposal]:
    each_weighed = list(weighed)
    if not each_weighed:
        return
    ids, concepts = store.concept_vectors
    near = meanings(store.encoder.encode([each.term.text for each in each_weighed]), ids, concepts)
    for each, meaning in zip(each_weighed, near, strict=True):
        there = each.term.segments
        home = home_of(each.term.stems, [segments[number] for number in there], store.vocabulary, meaning, trade)
        yield Proposal(
            term=each.term.text,
            kind=home.kind,
            seen_as="phrase",
            concept=home.concept,
            uses=len(each.term.uses),
            segments=len(there),
            c_value=each.term.c_value,
            tightness=each.tightness,
            weight=each.weight,
            why=home.why,
            examples=_examples(there, store, segments),
        )


def _of_words(
    weighed: Iterable[WeighedWord], store: Store, segments: Mapping[int, Segment], trade: Vocabulary
) -> Iterator[Proposal]:
    taken = store.vocabulary.resolve
    for each in weighed:
        word = each.word
        home = home_by_words(word.text, store.vocabulary, trade)
        reasons = ["a plain word of the trade"] if word.trade_word else []
        reasons += [f"the last word of {word.heads} terms"] if word.heads > 1 else []
        reasons += [f"in {word.bouts} of {len(store.bouts)} bouts", home.why]
        yield Proposal(
            term=word.text,
            kind=home.kind,
            seen_as="word",
            concept=home.concept,
            also=tuple(label for label in (word.trade_word.also if word.trade_word else ()) if not taken(label)),
            uses=len(word.uses),
            segments=len(word.segments),
            weight=each.weight,
            why="; ".join(filter(None, reasons)),
            examples=_examples(word.segments, store, segments),
        )


def _of_tags(
    typed: Iterable[TypedTag], store: Store, segments: Mapping[int, Segment], trade: Vocabulary
) -> Iterator[Proposal]:
    for tag in typed:
        there = sorted(set(tag.segments))
        home = home_by_words(tag.words, store.vocabulary, trade, tag.label)
        yield Proposal(
            term=tag.words,
            kind=home.kind,
            seen_as="tag",
            concept=home.concept,
            also=tag.variants,
            uses=len(tag.segments),
            segments=len(there),
            weight=len(tag.segments),
            why="; ".join(filter(None, ("typed as a tag", home.why))),
            examples=_examples(there, store, segments),
        )


def _examples(there: list[int], store: Store, segments: Mapping[int, Segment]) -> tuple[Moment, ...]:
    """The first moments in the order of the files, from as many bouts as there are."""
    seen: dict[str, int] = {}
    ranked = []
    for number in there:
        bout = segments[number].bout
        ranked.append((seen.get(bout, 0), number))
        seen[bout] = seen.get(bout, 0) + 1
    chosen = sorted(number for _, number in sorted(ranked)[:_EXAMPLES])
    return tuple(store.moment(segments[number]) for number in chosen)
