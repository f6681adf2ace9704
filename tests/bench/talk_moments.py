"""How well the sentences and moments of talk are found: judged talks of the demo, and talks that nothing was tuned on.

    python -m tests.bench.talk_moments [--without-encoder]

Pk (Beeferman, Berger and Lafferty 1999) and WindowDiff (Pevzner and Hearst 2002) are errors, boundary similarity
(Fournier 2013) is not; all three from segeval, in words, the window half a moment long on average, boundaries up to ten
words apart near misses. Beside ours: as many moments as the truth has, of even length, at random (mean of 200), and at
the gaps between sentences where one signal alone is strongest; and cues as they were joined before, until a pause, a
full stop or 12 s. `left out` is ours with weights that are fitted on the other talks of the demo alone. The encoder's
shift takes the place of the words' to tell what is left on the table; reading has no encoder.
"""

from __future__ import annotations

import random
import sys
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from itertools import accumulate, pairwise
from pathlib import Path
from unittest.mock import patch

import numpy as np
import segeval

from fightnotes.index.encoder import Encoder
from fightnotes.index.encoder_cache import ready_encoder
from fightnotes.index.model_source import locate_model
from fightnotes.index.progress import Silent
from fightnotes.language import cohesion, sentence_ends, talk_moments
from fightnotes.language.talk_moments import TalkSentence, best_starts, gap_features, moment_starts, shifts_of
from fightnotes.reading.captions import Cue, read_captions
from fightnotes.reading.spoken_rounds import rounds_said
from tests.bench.talk_fit import REPORTED, TUNED, Talk, both_ways, fitted, load, moment_weights
from tests.judged.talks import ROOT

NEAR = 10
"""Words apart up to which two boundaries are a near miss."""
RANDOM = 200
Starts = Sequence[int]
Shifts = Callable[[Sequence[TalkSentence]], list[float]]


def masses(starts: Starts, words: int) -> tuple[int, ...]:
    """Lengths of moments that begin at these words."""
    return tuple(stop - start for start, stop in zip(starts, [*starts[1:], words], strict=True))


def measured(found: Starts, true: Starts, words: int) -> tuple[float, float, float]:
    """Pk, WindowDiff, boundary similarity."""
    ours, judged = masses(found, words), masses(true, words)
    return (
        float(segeval.pk(ours, judged)),
        float(segeval.window_diff(ours, judged)),
        float(segeval.boundary_similarity(ours, judged, n_t=NEAR + 1)),
    )


def even(talk: Talk) -> Starts:
    parts = np.array_split(np.arange(len(talk.words)), len(talk.moment_starts))
    return [int(part[0]) for part in parts]


def at_random(talk: Talk, dice: random.Random) -> Starts:
    return [0, *sorted(dice.sample(range(1, len(talk.words)), len(talk.moment_starts) - 1))]


def ours(talk: Talk) -> Starts:
    sentences = talk.sentences()
    return [sentences[number].first for number in moment_starts(sentences)]


def by_shift(talk: Talk, shifts: Shifts) -> Starts:
    """Ours, with the shift measured in another way."""
    sentences = talk.sentences()
    return [sentences[number].first for number in best_starts(sentences, gap_features(sentences, shifts(sentences)))]


def alone(talk: Talk, names: Sequence[str], shifts: Shifts = shifts_of) -> Starts:
    """As many moments as the truth has, at the gaps where the features of these names are highest together."""
    sentences = talk.sentences()
    found = gap_features(sentences, shifts(sentences))
    strength = [sum(gap.get(name, 0.0) for name in names) for gap in found]
    best = sorted(range(len(found)), key=lambda gap: -strength[gap])[: len(talk.moment_starts) - 1]
    return [0, *sorted(sentences[gap + 1].first for gap in best)]


def as_before(talk: Talk) -> Starts:
    """Cues joined until a pause of 1.5 s, a full stop or 12 s."""
    text = (ROOT / talk.judged.file).read_text(encoding="utf-8")
    cues = [cue for cue in read_captions(talk.judged.file, text).cues if cue.text]
    lines, opening = [cues[0].line], cues[0]
    for before, cue in pairwise(cues):
        if not _joined(before, cue, opening):
            lines.append(cue.line)
            opening = cue
    first = {word.line: number for number, word in reversed(list(enumerate(talk.words)))}
    return sorted({first[line] for line in lines if line in first})


def _joined(before: Cue, cue: Cue, opening: Cue) -> bool:
    if before.end is None or cue.end is None or before.speaker != cue.speaker:
        return False
    return not before.text.endswith(".") and cue.start - before.end < 1.5 and cue.end - opening.start <= 12


def encoder_shifts(encoder: Encoder) -> Shifts:
    """The depth of each gap between the vectors of the blocks before and behind it."""

    def shifts(sentences: Sequence[TalkSentence]) -> list[float]:
        words = " ".join(sentence.text for sentence in sentences).split()
        gaps = list(accumulate(len(sentence.text.split()) for sentence in sentences))[:-1]
        before = [" ".join(words[max(0, gap - cohesion.BLOCK) : gap]) for gap in gaps]
        behind = [" ".join(words[gap : gap + cohesion.BLOCK]) for gap in gaps]
        vectors = encoder.encode([*before, *behind])
        likeness = (vectors[: len(before)] * vectors[len(before) :]).sum(axis=1)
        return cohesion.depths_of([float(value) for value in likeness])

    return shifts


@contextmanager
def weights_of(talks: Sequence[Talk], shifts: Shifts = shifts_of) -> Iterator[None]:
    """The program with weights fitted on these talks."""
    with patch.dict(sentence_ends.SENTENCE_WEIGHTS), patch.dict(talk_moments.MOMENT_WEIGHTS):
        of_sentences, of_moments = fitted(talks)
        sentence_ends.SENTENCE_WEIGHTS.update(of_sentences)
        if shifts is not shifts_of:
            prepared = [(talk, found, shifts(found)) for talk in both_ways(talks) for found in [talk.sentences()]]
            of_moments = moment_weights(prepared)
        talk_moments.MOMENT_WEIGHTS.update(of_moments)
        yield


def f1(found: set[int], true: set[int]) -> tuple[float, float, float]:
    """F1, precision, recall."""
    right = len(found & true)
    return 2 * right / max(1, len(found) + len(true)), right / max(1, len(found)), right / max(1, len(true))


def sentence_row(talk: Talk) -> tuple[float, float, float]:
    """Of the ends inside the talk."""
    last = len(talk.words) - 1
    return f1(set(sentence_ends.sentence_ends(talk.words)) - {last}, set(talk.sentence_ends) - {last})


def round_rows(talks: Sequence[Talk]) -> list[str]:
    """Of the judged moments, whose rounds and clocks the words tell: what is found where they begin and end so."""
    true, told, right = Counter[str](), Counter[str](), Counter[str]()
    for talk in talks:
        starts = [*talk.moment_starts, len(talk.words)]
        sentences = [(sentence, (sentence.first + sentence.last) / 2) for sentence in talk.sentences()]
        cut = [[one for one, middle in sentences if start <= middle < stop] for start, stop in pairwise(starts)]
        for said, judged in zip(rounds_said(cut, talk.bout.rounds), talk.judged.moments, strict=True):
            way = "round, named" if said.named else "round, gone on with"
            for key, found, theirs in ((way, said.round, judged.round), ("clock", said.clock, judged.clock)):
                true[key.partition(",")[0]] += theirs is not None
                told[key] += found is not None
                right[key] += found is not None and found == theirs
    rounds = right["round, named"] + right["round, gone on with"]
    return [
        *(f"{key}: {right[key]} of {told[key]} right" for key in sorted(told)),
        f"recall: round {rounds}/{true['round']}, clock {right['clock']}/{true['clock']}",
    ]


def rows(talks: Sequence[Talk], encoder: Encoder | None) -> dict[str, Callable[[Talk], Starts]]:
    found: dict[str, Callable[[Talk], Starts]] = {
        "ours": ours,
        "even": even,
        "shift alone": lambda talk: alone(talk, ["shift"]),
        "cues alone": lambda talk: alone(talk, ["turn", "opener", "joiner", "announces", "sums up"]),
        "pauses alone": lambda talk: alone(talk, ["pause"]),
        "rounds alone": lambda talk: alone(talk, ["round", "clock"]),
        "as before": as_before,
        "ours without pauses": lambda talk: ours(talk.without_pauses()),
    }
    if encoder:
        by_encoder = encoder_shifts(encoder)
        found["encoder's shift alone"] = lambda talk: alone(talk, ["shift"], by_encoder)
    return found


def left_out(talks: Sequence[Talk], encoder: Encoder | None) -> dict[str, dict[str, Starts]]:
    """Of each talk of the demo, by weights of the others."""
    found: dict[str, dict[str, Starts]] = {
        "left out": {},
        "left out, without pauses": {},
        "left out, encoder's shift": {},
    }
    for talk in talks:
        others = [other for other in talks if other is not talk]
        with weights_of(others):
            found["left out"][talk.name] = ours(talk)
            found["left out, without pauses"][talk.name] = ours(talk.without_pauses())
            print(f"  sentences of {talk.name}, left out: F1 {sentence_row(talk)[0]:.3f}")
        if encoder:
            shifts = encoder_shifts(encoder)
            with weights_of(others, shifts):
                found["left out, encoder's shift"][talk.name] = by_shift(talk, shifts)
    return {name: starts for name, starts in found.items() if starts}


def report(title: str, talks: Sequence[Talk], encoder: Encoder | None, more: dict[str, dict[str, Starts]]) -> None:
    print(f"\n{title}: {len(talks)} talks, {sum(len(talk.moment_starts) for talk in talks)} moments")
    for talk in talks:
        print(
            f"  sentences of {talk.name}: F1 {{:.3f}}, precision {{:.3f}}, recall {{:.3f}}".format(*sentence_row(talk))
        )
    print(f"{'':28}{'Pk':>8}{'WinDiff':>9}{'B':>8}{'moments':>9}   Pk of each")

    def line(name: str, scores: Sequence[tuple[float, float, float]], count: float) -> None:
        means = np.mean(np.array(scores), axis=0)
        print(f"{name:28}{means[0]:8.3f}{means[1]:9.3f}{means[2]:8.3f}{count:9.0f}   "
              + " ".join(f"{score[0]:.3f}" for score in scores))  # fmt: skip

    named = {name: {talk.name: find(talk) for talk in talks} for name, find in rows(talks, encoder).items()}
    for name, starts in {**named, **more}.items():
        scores = [measured(starts[talk.name], talk.moment_starts, len(talk.words)) for talk in talks]
        line(name, scores, sum(map(len, starts.values())))
    dice = random.Random(20310308)
    draws = [
        [measured(at_random(talk, dice), talk.moment_starts, len(talk.words)) for _ in range(RANDOM)] for talk in talks
    ]
    line("random", [tuple(np.mean(np.array(each), axis=0)) for each in draws], sum(len(t.moment_starts) for t in talks))
    for said in round_rows(talks):
        print(f"  {said}")


def real_encoder() -> Encoder:
    model = locate_model(None, Path())
    return ready_encoder(model, Silent())


def main() -> None:
    encoder = None if "--without-encoder" in sys.argv else real_encoder()
    tuned, reported = ([load(path) for path in paths] for paths in (TUNED, REPORTED))
    report("tuned on", tuned, encoder, left_out(tuned, encoder))
    if reported:
        report("reported", reported, encoder, {})


if __name__ == "__main__":
    main()
