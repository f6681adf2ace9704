"""`python -m tests.bench.render_speed`: the reel against one plain pass of ffmpeg that makes the same cuts.

The plain pass opens the film once for each cut, trims, and encodes with the same settings; it checks nothing. Wall
time is the median of three turns each, processor time their mean; the film is moving noise, so that encoding works.
"""

from __future__ import annotations

import resource
import subprocess
import tempfile
from fractions import Fraction
from pathlib import Path
from time import perf_counter

from fightnotes.cutting import RenderPlan, assemble, find_media, plan_render, render
from fightnotes.cutting.ffmpeg import ffmpeg_path
from fightnotes.cutting.packets import packets
from fightnotes.model import Handles
from tests.bench.table import Row, alternating, print_rows
from tests.cut_samples import a_bout, a_candidate

RATE = Fraction(30)
SECONDS = 30
CASES = (
    ("3 cuts of 8 s, 1280x720", 3, Fraction(8), "1280x720"),
    ("6 cuts of 3 s, 640x360", 6, Fraction(3), "640x360"),
    ("18 cuts of 1 s, 320x180", 18, Fraction(1), "320x180"),
)


def make_film(path: Path, size: str) -> None:
    picture = f"testsrc2=s={size}:r={RATE}:d={SECONDS},noise=alls=6:allf=t"
    command = [ffmpeg_path(), "-v", "error", "-f", "lavfi", "-i", picture, "-f", "lavfi", "-i", f"sine=d={SECONDS}"]
    subprocess.run(
        [*command, "-c:v", "libx264", "-preset", "veryfast", "-g", "120", "-c:a", "aac", str(path)], check=True
    )


def plan_of(folder: Path, film: str, cuts: int, long: Fraction) -> RenderPlan:
    bout = a_bout("film", recording={"file": film, "rate": RATE})
    media, _ = find_media([bout], folder)
    apart = Fraction(SECONDS - 4, cuts)
    picked = [a_candidate(bout, number * apart, number * apart + long, line=number + 1) for number in range(cuts)]
    if apart <= long:
        raise ValueError("the cuts touch and would be joined")
    return plan_render(assemble(picked, media, Handles(before=Fraction(0), after=Fraction(0)), "hand"), media)


def plain(plan: RenderPlan, path: Path) -> None:
    command, filters = [ffmpeg_path(), "-v", "error", "-nostdin"], ""
    cuts = plan.cut_list.cuts
    for number, (cut, media) in enumerate(zip(cuts, plan.media, strict=True)):
        command += ["-ss", f"{max(0.0, float(cut.start - 1 / (2 * cut.rate))):.5f}", "-i", str(media.path)]
        filters += f"[{number}:v]trim=end_frame={cut.frames},setpts=PTS-STARTPTS[v{number}];"
        filters += f"[{number}:a]atrim=duration={float(cut.duration)},asetpts=PTS-STARTPTS[a{number}];"
    filters += "".join(f"[v{number}][a{number}]" for number in range(len(cuts))) + f"concat=n={len(cuts)}:a=1[v][a]"
    command += ["-filter_complex", filters, "-map", "[v]", "-map", "[a]", *plan.encoding, "-c:a", "aac", "-b:a", "192k"]
    subprocess.run([*command, "-movflags", "+faststart", "-y", str(path)], check=True)


def processor_time() -> float:
    used = [resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)]
    return sum(one.ru_utime + one.ru_stime for one in used)


def main() -> None:
    rows: list[Row] = []
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        for what, cuts, long, size in CASES:
            make_film(folder / f"{size}.mp4", size)
            plan = plan_of(folder, f"{size}.mp4", cuts, long)
            spent = {"ours": 0.0, "plain": 0.0}

            def measured(kind: str, path: Path, plan: RenderPlan = plan, spent: dict[str, float] = spent) -> None:
                before = processor_time()
                if kind == "ours":
                    render(plan, path)
                else:
                    plain(plan, path)
                spent[kind] += processor_time() - before

            ours, reference = alternating(
                lambda call=measured: call("ours", folder / "ours.mp4"),
                lambda call=measured: call("plain", folder / "plain.mp4"),
                times=3,
            )
            rows.append(Row(f"render, {what}", ours, reference, 1.3, True, "s"))
            rows.append(Row(f"  processor time, {what}", spent["ours"] / 3, spent["plain"] / 3, 1.3, True, "s"))
            counted = [len(packets(folder / f"{kind}.mp4")) for kind in ("ours", "plain")]
            print(
                f"{what}: {plan.timeline.frames} frames in the list, {counted[0]} in the reel, {counted[1]} in the pass"
            )
    print_rows(rows)


if __name__ == "__main__":
    begun = perf_counter()
    main()
    print(f"{perf_counter() - begun:.0f} s in all")
