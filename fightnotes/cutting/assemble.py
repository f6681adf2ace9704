"""From picked moments to a cut list."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from fractions import Fraction

from fightnotes.clock import Timecode, format_media_time, format_timecode, timecode_of
from fightnotes.cutting.choosing import choose
from fightnotes.cutting.cuts import Candidate, Cut, CutList, LeftOut, one_line
from fightnotes.cutting.media import Media, footage_of
from fightnotes.cutting.ordering import Order, ordered
from fightnotes.cutting.placing import ASSUMED_RATE, Placed, place, start_of, with_own_start
from fightnotes.cutting.sources import reel_names
from fightnotes.cutting.timeline import lay_out
from fightnotes.model import FOOTAGE, OUTCOMES, Handles


def assemble(
    candidates: Iterable[Candidate],
    media: Mapping[str, Media],
    handles: Handles = Handles(),  # noqa: B008 (immutable)
    order: Order = "date",
    inside_round: bool = False,
    target: Fraction | None = None,
    at_hand: bool = False,
    outcomes: Sequence[str] = OUTCOMES,
    title: str = "Cut list",
    reel_start: Timecode | None = None,
) -> CutList:
    """A cut list of the candidates.

    Each gets its handles (its own, else `handles`) and is kept within its footage, whose length is known for
    files in `media`, and with `inside_round` within its round. With `at_hand` only those whose footage is in
    `media` are taken; with `target`, in seconds, only the best, as `choose` tells. Those of one source that
    overlap or touch become one cut. A moment timed on another recording is cut from the footage where the two
    are aligned, else from the recording it is timed on, which the notes say. What cannot be cut is in
    `left_out`, with why; so is the same note picked again. Raises ExportError for a `reel_start` that the reel's
    rate has not.
    """
    placed: list[Placed] = []
    left_out: list[LeftOut] = []
    seen: dict[tuple[str, int, Fraction | None], Candidate] = {}
    for position, candidate in enumerate(candidates):
        segment = candidate.segment
        note = (segment.file, segment.line, segment.start)
        if note in seen:
            again = _picked_twice(seen[note], candidate)
            left_out.append(LeftOut(candidate=candidate, why="picked twice", detail=again))
            continue
        seen[note] = candidate
        found = place(candidate, position, handles, inside_round, media)
        if isinstance(found, Placed) and at_hand and footage_of(found.media, media) is None:
            detail = found.media.file or "no file is given"
            found = LeftOut(candidate=candidate, why="footage not at hand", detail=detail)
        if isinstance(found, Placed):
            placed.append(found)
        else:
            left_out.append(found)
    if target is not None:
        placed, over = choose(placed, target)
        detail = f"no room for it in {format_media_time(target)}"
        left_out += [LeftOut(candidate=item.candidate, why="over the target duration", detail=detail) for item in over]
    cuts = _named(ordered(_merged(placed, media), order, outcomes))
    return CutList(
        cuts=tuple(cuts),
        left_out=tuple(left_out),
        notes=_notes(cuts, media, reel_start),
        title=one_line(title) or "Cut list",
        handles=handles,
        inside_round=inside_round,
        reel_start=reel_start,
    )


def _picked_twice(first: Candidate, again: Candidate) -> str:
    unused = [name for name in ("title", "handles") if getattr(again, name) not in (None, getattr(first, name))]
    return "it is cut once" + (f", without the {' and '.join(unused)} of the second entry" if unused else "")


def _merged(placed: Sequence[Placed], media: Mapping[str, Media]) -> list[Cut]:
    """One cut for each run of overlapping or touching moments of a source, where the first of them was picked."""
    by_source: dict[tuple[str, str], list[Placed]] = defaultdict(list)
    for item in placed:
        by_source[item.source].append(item)
    runs: list[list[Placed]] = []
    for items in by_source.values():
        end = -1
        for item in sorted(items, key=lambda item: (item.start_frame, item.end_frame_exclusive, item.place)):
            if item.start_frame > end:
                runs.append([])
            runs[-1].append(item)
            end = max(end, item.end_frame_exclusive)
    runs.sort(key=lambda run: min(item.place for item in run))
    return [_cut(run, footage_of(run[0].media, media)) for run in runs]


def _cut(run: Sequence[Placed], at_hand: Media | None) -> Cut:
    first = run[0]
    moments = sorted((one.moment for one in run), key=lambda one: (one.start, one.end, one.candidate.segment.line))
    return Cut(
        bout=with_own_start(first, at_hand),
        recording=first.recording,
        rate=first.rate,
        start_frame=first.start_frame,
        end_frame_exclusive=max(item.end_frame_exclusive for item in run),
        moments=tuple(moments),
    )


def _named(cuts: Sequence[Cut]) -> list[Cut]:
    """The cuts with what only the whole list tells of their names."""
    reels = reel_names([cut.source for cut in cuts])
    several = len({cut.bout.id for cut in cuts}) > 1
    return [cut.model_copy(update={"reel": reels[cut.source], "names_bout": several}) for cut in cuts]


def _notes(cuts: Sequence[Cut], media: Mapping[str, Media], reel_start: Timecode | None) -> tuple[str, ...]:
    """What mixed rates mean, and a sentence for each other thing to know, with the recordings that it is true of."""
    sources: dict[str, dict[str, None]] = defaultdict(dict)
    for cut in cuts:
        for sentence in _remarkable(cut, footage_of(cut.media, media)):
            sources[sentence][f"{cut.bout.id} ({cut.recording})"] = None
    mixed = lay_out(cuts, reel_start=reel_start).remark if cuts else None
    said = (f"{', '.join(names)}: {sentence}." for sentence, names in sources.items())
    return ((mixed,) if mixed else ()) + tuple(said)


def _remarkable(cut: Cut, at_hand: Media | None) -> Iterator[str]:
    said, read = cut.media.rate, at_hand.rate if at_hand else None
    if cut.recording != FOOTAGE:
        yield "cut from this recording, as nothing aligns it with the footage"
    if said is None and read is not None:
        yield f"frame rate {cut.rate} taken from the file"
    elif said is None:
        yield f"no frame rate is known, {ASSUMED_RATE} a second are assumed: frame numbers may be wrong"
    elif read is not None and read != said:
        yield f"the notes say {said} frames a second, the file {read}: notes taken"
    if at_hand is not None:
        yield from _peculiar(cut, at_hand)
    else:
        yield "footage not at hand, so out points are not checked against its end"
    if any(moment.candidate.segment.bell_inferred for moment in cut.moments):
        yield "some times rest on a bell that was worked out from another round's"


def _peculiar(cut: Cut, at_hand: Media) -> Iterator[str]:
    """What the file itself has that others have not."""
    if at_hand.average_rate is not None:
        average = round(float(at_hand.average_rate), 2)
        yield (
            f"the file's frame rate varies, {average} a second on average: frames are counted at {cut.rate}, and each "
            "shows the picture last begun"
        )
    if not at_hand.stamped:
        yield "the file's pictures carry no times: they are counted from its first one, for which a render reads it all"
    if at_hand.interlaced:
        yield "the footage is interlaced: a reel shows each frame as one picture"
    written = cut.moments[0].candidate.bout.recordings.get(cut.recording, cut.media).first_frame
    own = start_of(at_hand, cut.rate)
    if at_hand.timecode and own is None:
        yield f"the file's own timecode {at_hand.timecode} does not exist at {cut.rate} frames a second"
    elif own and not written:
        yield f"timecode counts from the file's own start, {at_hand.timecode}"
    elif own is not None and own != written:
        start = format_timecode(timecode_of(written, cut.rate, cut.drop_frame))
        yield f"the notes say that timecode starts at {start}, the file {at_hand.timecode}: notes taken"
