"""What the weights of `fightnotes/language/talk_weights` are fitted on, and how: prints both tables anew.

    python -m tests.bench.talk_fit

The judged talks of the demo, each as it is and once more without its pauses, as captions of a talk without a break
have them. Two logistic regressions with a ridge of 1 on all weights but that of `always`, which is then raised, as an
end that is missed costs more than one too many.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from pathlib import Path

import numpy as np
from scipy.optimize import minimize

from fightnotes.language import sentence_ends as ends
from fightnotes.language import talk_moments
from fightnotes.language.talk import SpokenWord
from fightnotes.language.talk_moments import TalkSentence
from fightnotes.model import Bout, Vocabulary
from fightnotes.reading.library import find_root, read_bouts, read_configuration
from fightnotes.reading.transcript import sentences_said, words_said
from tests.judged.talks import ROOT, TALKS, JudgedTalk, load_talk

Weights = dict[str, float]
RIDGE = 1.0
RAISED_SENTENCE = 0.6
RAISED_MOMENT = 0.8
TUNED = [path for path in TALKS if path.parent == Path(__file__).parents[1] / "judged/talks"]
REPORTED = [path for path in TALKS if path not in TUNED]


@dataclass(frozen=True)
class Talk:
    """A judged talk and its words as the program reads them, counted as the program counts them."""

    name: str
    bout: Bout
    vocabulary: Vocabulary
    words: tuple[SpokenWord, ...]
    sentence_ends: frozenset[int]
    """Last words of the sentences."""
    moment_starts: tuple[int, ...]
    judged: JudgedTalk

    def sentences(self) -> list[TalkSentence]:
        return sentences_said(self.words, self.bout, self.vocabulary)

    def without_pauses(self) -> Talk:
        words: list[SpokenWord] = []
        silent = Fraction(0)
        for number, word in enumerate(self.words):
            silent += word.start - self.words[number - 1].end if number else 0
            words.append(replace(word, start=word.start - silent, end=word.end - silent))
        return replace(self, words=tuple(words))


def load(path: Path) -> Talk:
    judged = load_talk(path)
    file = ROOT / judged.file
    root = find_root(file.parent)
    configuration = read_configuration(root)
    of_file = {
        (root / source.file).resolve(): bout for bout in read_bouts(root, configuration) for source in bout.sources
    }
    bout = of_file[file.resolve()]
    words = words_said(judged.file, file.read_text(encoding="utf-8"), bout, configuration.vocabulary)
    ours: list[int] = []
    for number, word in enumerate(words):  # words of the file -> ours, where one may stand for several
        ours += [number] * len((word.heard or word.text).split())
    return Talk(
        path.stem,
        bout,
        configuration.vocabulary,
        tuple(words),
        frozenset(ours[sentence.last] for sentence in judged.sentences),
        tuple(ours[moment.first] for moment in judged.moments),
        judged,
    )


def fit(rows: Sequence[Mapping[str, float]], happened: Sequence[bool]) -> Weights:
    names = sorted({name for row in rows for name in row})
    values = np.array([[row.get(name, 0.0) for name in names] for row in rows])
    told = np.array(happened, dtype=float)
    ridge = np.array([0.0 if name == "always" else RIDGE for name in names])

    def cost(weights: np.ndarray) -> tuple[float, np.ndarray]:
        scores = values @ weights
        slope = values.T @ (1 / (1 + np.exp(-scores)) - told) + ridge * weights
        return float((np.logaddexp(0, scores) - told * scores).sum() + (ridge * weights**2).sum() / 2), slope

    found = minimize(cost, np.zeros(len(names)), jac=True, method="L-BFGS-B").x
    return dict(zip(names, map(float, found), strict=True))


def sentence_weights(talks: Iterable[Talk]) -> Weights:
    rows: list[Mapping[str, float]] = []
    happened: list[bool] = []
    for talk in talks:
        told, running = ends.told_of(talk.words), ends.Running()
        for gap in range(len(talk.words) - 1):
            running.take(told.words[gap], told.verbs[gap])
            rows.append(ends.features_of(talk.words, told, gap, running))
            happened.append(gap in talk.sentence_ends)
            running = ends.Running() if happened[-1] else running
    found = fit(rows, happened)
    return {**found, "always": found["always"] + RAISED_SENTENCE}


def moment_weights(talks: Iterable[tuple[Talk, Sequence[TalkSentence], Sequence[float]]]) -> Weights:
    """Of talks with their sentences as the program ends them, and how far the words shift between two."""
    rows: list[Mapping[str, float]] = []
    happened: list[bool] = []
    for talk, sentences, shifts in talks:
        opening = 0
        for sentence, found in zip(sentences[1:], talk_moments.gap_features(sentences, shifts), strict=True):
            rows.append({**found, **talk_moments.length_features(sentence.first - opening)})
            happened.append(sentence.first in talk.moment_starts)
            opening = sentence.first if happened[-1] else opening
    weights = fit(rows, happened)
    return {**weights, "always": weights["always"] + RAISED_MOMENT}


def both_ways(talks: Iterable[Talk]) -> list[Talk]:
    """Each talk, and without its pauses."""
    return [each for talk in talks for each in (talk, talk.without_pauses())]


def fitted(talks: Sequence[Talk]) -> tuple[Weights, Weights]:
    """The weights of sentences and of moments."""
    ways = both_ways(talks)
    of_sentences = sentence_weights(ways)
    ends.SENTENCE_WEIGHTS.update(of_sentences)
    prepared = [
        (talk, sentences, talk_moments.shifts_of(sentences)) for talk in ways for sentences in [talk.sentences()]
    ]
    return of_sentences, moment_weights(prepared)


def main() -> None:
    for name, weights in zip(("SENTENCE", "MOMENT"), fitted([load(path) for path in TUNED]), strict=True):
        print(f"{name}_WEIGHTS: dict[str, float] = {{")
        for key in sorted(weights, key=lambda key: (key != "always", key)):
            print(f'    "{key}": {weights[key]:.2f},')
        print("}")


if __name__ == "__main__":
    main()
