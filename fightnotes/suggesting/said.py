"""What a text says was done, word by word, and which labels of the vocabulary it speaks."""

from __future__ import annotations

from dataclasses import dataclass

from fightnotes.language.labels import LabelFinder, Mention, find_labels, label_finder, labels_of
from fightnotes.language.negation import undone_spans
from fightnotes.language.words import content_stems, is_content, words_of
from fightnotes.model import Vocabulary


@dataclass(frozen=True)
class Said:
    done: tuple[str, ...]
    """Stems of the content words that no negation or report covers; a misheard label counts as the label."""
    done_words: tuple[str, ...]
    """The same as they stand in the text, one for each of `done`; empty where a mishearing stands."""
    undone: tuple[str, ...]
    """Stems of the content words that one covers."""
    labels: tuple[Mention, ...]


@dataclass(frozen=True)
class Listening:
    """A vocabulary, ready to be heard in texts."""

    finder: LabelFinder
    repairs: dict[str, list[tuple[str, str]]]
    """Stems of each concept's preferred label, for where a mishearing of it stands; its words are not there."""


def listening_for(vocabulary: Vocabulary) -> Listening:
    repairs = {concept.id: [(stem, "") for stem in content_stems(concept.label)] for concept in vocabulary.concepts}
    return Listening(label_finder(labels_of(vocabulary)), repairs)


def said_in(text: str, listening: Listening) -> Said:
    words = words_of(text)
    labels = find_labels(text, listening.finder, words)
    spans = undone_spans(text)
    done: list[tuple[str, str]] = []
    undone: list[tuple[str, str]] = []
    coming = iter(labels)
    label = next(coming, None)
    for word in words:
        if label and word.begin >= label.stop:
            label = next(coming, None)
        if label and word.begin >= label.begin:
            side = undone if label.undone else done
            if label.label.role == "hidden":
                side.extend(listening.repairs[label.concept] if word.begin == label.begin else ())
                continue
        else:
            side = undone if spans and any(span.begin <= word.begin < span.stop for span in spans) else done
        if is_content(word.text):
            side.append((word.stem, word.text))
    return Said(
        tuple([stem for stem, _ in done]),
        tuple([written for _, written in done]),
        tuple([stem for stem, _ in undone]),
        tuple(labels),
    )
