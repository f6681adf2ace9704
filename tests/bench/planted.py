"""Trends and sequences planted in simulated bouts: how often they are found, and how often where there are none.

    python -m tests.bench.planted [--runs 500] [PART ...]

PART is `counts`, `shares`, `days`, `values` or `follows`. Each row is one way in which bouts may differ, and how many
bouts and rounds there are. "false" is the share of runs without anything planted in which p is below 0.05, which ought
not to be above the interval that is printed first; "found" the same with it planted; "held" the share in which the 95 %
interval has the true effect.
"""

from __future__ import annotations

import argparse
from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np

from fightnotes.tally import chance, follow
from fightnotes.tally.count_trend import count_trend
from fightnotes.tally.events import Events
from fightnotes.tally.events import events_of as lined_up_events
from fightnotes.tally.proportion import share
from fightnotes.tally.series_trend import series_trend
from fightnotes.tally.share_trend import share_trend
from fightnotes.tally.trend import LEVEL, Trend

Generator = np.random.Generator
RATIO = 2.5
"""The last rate over the first, where one is planted."""
MORE = 0.3
"""The last share less the first, where that is planted."""


@dataclass(frozen=True)
class Bouts:
    """How bouts differ from one another."""

    name: str
    between: float = 0.0
    """Variance of a bout's rate over the square of its mean; a share's beta distribution is as wide."""
    within: float = 0.0
    """The same of a round's rate, the bout's given."""
    slopes: float = 0.0
    """Standard deviation of the logarithm of a bout's own change from first to last; of a share's change, a quarter."""
    noted: float = 1.0
    """The least part of a round that is noted."""
    end_early: bool = False
    """Bouts last 1 to all rounds, the short ones three times as busy."""


KINDS = (
    Bouts("alike"),
    Bouts("rates differ", between=0.5),
    Bouts("rounds differ", within=0.3),
    Bouts("changes differ", slopes=0.6),
    Bouts("noted in part", between=0.5, noted=0.2),
    Bouts("the busy end early", end_early=True),
    Bouts("all of it", between=0.5, within=0.25, slopes=0.4, noted=0.2, end_early=True),
)
SIZES = ((1, 5), (3, 3), (7, 3), (12, 3), (30, 3), (12, 5))
"""Bouts and rounds."""


def gamma(variance: float, rng: Generator) -> float:
    """Of mean 1."""
    return float(rng.gamma(1 / variance, variance)) if variance else 1.0


def beta(mean: float, variance: float, rng: Generator) -> float:
    """A share about `mean`; `variance` as of a rate of which the share is a part."""
    alike = 3 / variance if variance else 0.0
    return float(rng.beta(mean * alike, (1 - mean) * alike)) if alike and 0 < mean < 1 else mean


def lasted(bouts: Bouts, rounds: int, rng: Generator) -> tuple[int, float]:
    """How many rounds a bout has, and how busy it is."""
    if not bouts.end_early:
        return rounds, 1.0
    last = int(rng.integers(1, rounds + 1))
    return last, 2.1 if last <= rounds / 2 else 0.7


def counts_of(bouts: Bouts, size: tuple[int, int], ratio: float, rng: Generator) -> Trend:
    """Three events a round of five minutes, on average in the first."""
    cells = []
    for bout in range(size[0]):
        last, busy = lasted(bouts, size[1], rng)
        mean = 3 * busy * gamma(bouts.between, rng)
        slope = np.log(ratio) + rng.normal(-(bouts.slopes**2) / 2, bouts.slopes)
        for number in range(1, last + 1):
            minutes = 5 * rng.uniform(bouts.noted, 1)
            rate = mean / 5 * np.exp(slope * (number - 1) / (size[1] - 1)) * gamma(bouts.within, rng)
            cells.append((number, rng.poisson(rate * minutes), minutes, bout))
    return count_trend(*zip(*cells, strict=True))


def shares_of(bouts: Bouts, size: tuple[int, int], more: float, rng: Generator) -> Trend:
    """About six a round, of which 30 % are it in the first."""
    cells = []
    for bout in range(size[0]):
        last, busy = lasted(bouts, size[1], rng)
        chance = beta(min(0.3 * busy, 0.6), bouts.between, rng)
        change = more + rng.normal(0, bouts.slopes / 4)
        for number in range(1, last + 1):
            of = rng.poisson(6 * rng.uniform(bouts.noted, 1))
            here = np.clip(chance + change * (number - 1) / (size[1] - 1), 0, 1)
            cells.append((number, rng.binomial(of, beta(float(here), bouts.within, rng)), of, bout))
    return share_trend(*zip(*cells, strict=True))


def days_of(differ: float, bouts: int, ratio: float, rng: Generator) -> Trend:
    """A bout a day, on any of 1,000 days, 3 to 25 minutes of it noted."""
    days, minutes = np.sort(rng.choice(1000, bouts, replace=False)), rng.uniform(3, 25, bouts)
    means = np.array([gamma(differ, rng) for _ in range(bouts)])
    since = (days - days[0]) / (days[-1] - days[0])
    return count_trend(days, rng.poisson(0.8 * minutes * means * ratio**since), minutes)


def values_of(places: int | None, values: int, change: float, rng: Generator) -> Trend:
    """Normal about a line that changes by so many standard deviations; rounded where there are to be ties."""
    drawn = rng.normal(size=values) + change * np.linspace(0, 1, values)
    return series_trend(np.arange(values), drawn if places is None else np.round(drawn, places))


@dataclass(frozen=True)
class Round:
    """How the events of a round come, and what kinds they have."""

    name: str
    exchanges: bool = True
    """Whether they come one to five at a time, and not one by one."""
    phases: bool = False
    """Whether feet and ground change at a stroke, with other kinds."""
    runs: float = 0.0
    """Chance that an event has the kind of the one before."""
    drift: bool = False
    """Whether kinds that are rare at the bell are common at the end."""
    chance_differs: bool = False
    """Whether some bouts have more of what is planted."""
    turns: bool = False
    """Whether two take turns, each with his own common kinds; asked is then what the other one answers."""


ROUNDS = (
    Round("one by one", exchanges=False),
    Round("in exchanges"),
    Round("feet and ground", phases=True),
    Round("runs of a kind", runs=0.4),
    Round("kinds change slowly", drift=True),
    Round("in some bouts more", chance_differs=True),
    Round("two take turns", turns=True),
)
NAMES = np.array(list("ABCDEFGH"))
COMMON = np.array([0.2, 0.15, 0.15, 0.1, 0.1, 0.1, 0.1, 0.1])
FEET = np.array([0.4, 0.3, 0.2, 0.1, 0, 0, 0, 0])
WITHIN = 5.0


def round_of(rounds: Round, planted: float, rng: Generator) -> tuple[np.ndarray, np.ndarray]:
    """Seconds and kinds of 300 seconds; B comes next after A by chance `planted`, where it comes within 4 seconds."""
    if rounds.exchanges:
        begins = rng.uniform(0, 300, rng.poisson(12))
        seconds = np.concatenate([[0.0], *(at + np.cumsum(rng.uniform(0.5, 3, rng.integers(1, 6))) for at in begins)])
    else:
        seconds = rng.uniform(0, 300, rng.poisson(36))
    seconds = np.sort(seconds)
    kinds = rng.choice(NAMES, len(seconds), p=COMMON)
    if rounds.phases:
        on_feet = (seconds < rng.uniform(60, 240)) == (rng.random() < 0.5)
        kinds = rng.choice(NAMES, len(seconds), p=FEET[::-1])
        kinds[on_feet] = rng.choice(NAMES, int(on_feet.sum()), p=FEET)
    if rounds.drift:
        late = rng.random(len(seconds)) < seconds / 320
        kinds[late] = rng.choice(NAMES, int(late.sum()), p=COMMON[::-1])
    if rounds.turns:
        kinds[1::2] = rng.choice(NAMES, len(kinds[1::2]), p=COMMON[::-1])
    for event in range(len(seconds) - 1):
        if rng.random() < rounds.runs:
            kinds[event + 1] = kinds[event]
        if kinds[event] == "A" and seconds[event + 1] - seconds[event] < 4 and rng.random() < planted:
            kinds[event + 1] = "B"
    return seconds, kinds


def events_of(rounds: Round, planted: float, rng: Generator, bouts: int = 8) -> Events:
    """Three rounds a bout."""
    groups, seconds, kinds = [], [], []
    for bout in range(bouts):
        chance = planted * float(rng.beta(1, 3)) * 4 if rounds.chance_differs else planted
        for number in range(3):
            when, what = round_of(rounds, chance, rng)
            groups += [3 * bout + number] * len(when)
            seconds.append(when)
            kinds.append(what)
    actors = ["xy"[place % 2] for when in seconds for place in range(len(when))] if rounds.turns else None
    return lined_up_events(groups, np.concatenate(seconds), np.concatenate(kinds).tolist(), actors)


def trends(
    name: str, nothing: Callable[[Generator], Trend], planted: Callable[[Generator], Trend], effect: float, runs: int
) -> str:
    """A row of the table; `effect` is the true one where it is planted."""
    rng = np.random.default_rng(1)
    without, found = [nothing(rng) for _ in range(runs)], [planted(rng) for _ in range(runs)]
    said = [trend for trend in without if trend.p_value is not None]
    false = np.mean([_clear(trend.p_value) for trend in said]) if said else float("nan")
    effects = [trend.effect for trend in found if trend.effect is not None]
    held = np.mean([each.low <= effect <= each.high for each in effects]) if effects else float("nan")
    power = np.mean([_clear(trend.p_value) for trend in found])
    return f"{name:36}{runs - len(said):8}{false:8.3f}{power:8.3f}{held:8.3f}"


def follows(rounds: Round, runs: int) -> str:
    """A row: A and B with nothing planted, the same planted in one case of four, and the interval of the lift."""
    rng = np.random.default_rng(1)
    who: follow.Who = "other" if rounds.turns else "either"
    without = [follow.chain(events_of(rounds, 0.0, rng), "AB", WITHIN, who) for _ in range(runs)]
    found = [follow.chain(events_of(rounds, 0.25, rng), "AB", WITHIN, who) for _ in range(runs)]
    true = sum(each.count for each in found) / sum(each.expected for each in found)
    held = np.mean([each.lift is not None and each.lift.low <= true <= each.lift.high for each in found])
    false, power = (np.mean([_clear(each.p_value) for each in many]) for many in (without, found))
    return f"{rounds.name:36}{'':8}{false:8.3f}{power:8.3f}{held:8.3f}   true lift {true:.2f}"


def _clear(p_value: float | None) -> bool:
    return p_value is not None and p_value < LEVEL


def _rows(parts: list[str], runs: int) -> Iterator[str]:
    bounds = share(round(LEVEL * runs), runs)
    assert bounds is not None
    yield f"5 % of {runs} runs: {bounds.low:.3f} to {bounds.high:.3f}"
    yield f"{'':36}{'too few':>8}{'false':>8}{'found':>8}{'held':>8}"
    for part, make, planted, still in (("counts", counts_of, RATIO, 1.0), ("shares", shares_of, MORE, 0.0)):
        for bouts in KINDS if part in parts else ():
            for size in SIZES:
                yield trends(
                    f"{part}, {bouts.name}, {size[0]} x {size[1]}",
                    lambda rng, m=make, b=bouts, s=size, e=still: m(b, s, e, rng),
                    lambda rng, m=make, b=bouts, s=size, e=planted: m(b, s, e, rng),
                    planted,
                    runs,
                )
    for differ in (0.0, 0.5, 1.0) if "days" in parts else ():
        for bouts in (6, 12, 30):
            yield trends(
                f"days, rates differ by {differ}, {bouts}",
                lambda rng, d=differ, b=bouts: days_of(d, b, 1.0, rng),
                lambda rng, d=differ, b=bouts: days_of(d, b, RATIO, rng),
                RATIO,
                runs,
            )
    for places in (None, 0) if "values" in parts else ():
        for values in (5, 8, 20, 60):
            yield trends(
                f"values{'' if places is None else ' with ties'}, {values}",
                lambda rng, p=places, v=values: values_of(p, v, 0.0, rng),
                lambda rng, p=places, v=values: values_of(p, v, 2.0, rng),
                2.0,
                runs,
            )
    if "follows" in parts:
        chance.SHUFFLES = 399
    for rounds in ROUNDS if "follows" in parts else ():
        yield follows(rounds, runs)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--runs", type=int, default=500)
    parser.add_argument("parts", nargs="*", default=["counts", "shares", "days", "values", "follows"])
    given = parser.parse_args()
    for row in _rows(given.parts, given.runs):
        print(row, flush=True)


if __name__ == "__main__":
    main()
