"""A folder as ten years leave it: files in many habits, encodings and places, with what nobody reads between them."""

from __future__ import annotations

from pathlib import Path

_DOWN = """# Ines Corvale (southpaw) vs Rika Brandaal (orthodox)

## Round 1
- 2:41 Corvale creeps the lead foot forward, then a longer step. #shuffle-step by:corvale
- 2:05-2:01 Brandaal lifts both gloves to draw the counter. by:brandaal outcome:ignored
- 1:30 jab to the chest by:corvale outcome:landed

## Round 2
- R2 2:50 Corvale jabs first #jab
- R2 1:10 and again #jab
- 0:20 a long clinch at the ropes
"""
_SECOND_LOOK = """second look, slower

R1 2:40 the rear heel is already up when Corvale creeps
R2 2:48 Brandaal watches the chest, not the foot
R3 0:58 the only clean right hand
"""
_MEDIA_TIMES = """notes taken from the stream

4:52 Umoreke circles left, café lights behind him
6:10 Kazehori feints low, goes high
12m30s Umoreke hurt for a moment #hurt
1:04:11 final bell
"""
_HEAD = """Red: Tova Orzhelian (orthodox)
Blue corner: Mags Thackmoor, southpaw
Date: 4 October 2029
Rounds: 8 x 3:00
Analyst: dv

ROUND 1
0:20 Thackmoor steps in behind the jab
1:05 Orzhelian answers to the body
2:31 both miss
ROUND 2
0:12 Orzhelian leads with the hook
1:50 Thackmoor clinches
"""
_TWO_DATES = """- R1 2:40 Kazehori pulls back
- R1 1:15 Corvale walks her to the ropes
- R3 0:30 Kazehori folds over a body shot #body-hook
"""
_TABLE = """| Round | Time | What |
| --- | --- | --- |
| 1 | 2:10 | Sablewick slips outside |
| 1 | 1:02 | Thornquist doubles the jab |
| 2 | 2:44 | Sablewick counters over the top |
"""
_VAULT = """---
title: Ostrelle v Lindvask, the short one
date: 2023-04-04
tags: [boxing, southpaw]
red: {name: Vida Ostrelle, stance: southpaw}
---
## Round 1
- 2:30 Ostrelle pivots out
- 2:00 Lindvask follows straight in
"""
_PARTIAL = """---
title: Halden Night, main bout
date: 2030-11-21
---
- R1 2:30 a feint to the body
- R2 2:00 the same feint, over the top this time
- R2 1:00 nothing
"""
_FIVE_MINUTES = """R1 4:40 Drayhoven kicks the calf
R1 3:15 Pellucar checks it
R1 0:50 Drayhoven kicks again
R2 4:58 Pellucar shoots #takedown
"""
_CUES = """WEBVTT

00:04:52.000 --> 00:04:55.000
here she creeps forward

00:05:01.000 --> 00:05:04.000
and the long step
"""
_SUBRIP = """1
00:00:12,000 --> 00:00:15,000
so this is the step I mean

2
00:00:16,000 --> 00:00:19,000
watch the heel
"""

FILES: dict[str, bytes] = {
    # one bout in four files, with footage and a spoken breakdown; CRLF
    "2031/2031-03-08 Corvale v Brandaal.md": _DOWN.replace("\n", "\r\n").encode(),
    "2031/2031-03-08 Corvale v Brandaal (second look).txt": _SECOND_LOOK.encode(),
    "2031/2031-03-08 Corvale v Brandaal.vtt": _CUES.encode(),
    "2031/2031-03-08 Corvale v Brandaal.mp4": b"\0",
    "2031/2031-03-08 Corvale v Brandaal talk.srt": _SUBRIP.encode(),
    "2031/2031-03-08 Corvale v Brandaal talk.mp4": b"\0",
    # other encodings
    "old/umoreke_vs_kazehori_2029-05-17.txt": _MEDIA_TIMES.encode("latin-1"),
    "old/2027-01-15 Brandaal v Thackmoor.txt": "R1 2:10 Brandaal leads\nR1 1:40 Thackmoor slips\n".encode("utf-16"),
    "old/2024-09-09 Sablewick v Thornquist.md": b"\xef\xbb\xbf" + _TABLE.encode(),
    "old/2021-07-07 Halvenne v Brookmire.TXT": b"Rd1 2:10 Halvenne jabs\rRd1 1:30 Brookmire jabs back\rRd1 0:40 both\r",
    # what the head says, and what it does not
    "old/thackmoor.txt": _HEAD.encode(),
    "Kazehori vs. Corvale 8.3.2030.md": _TWO_DATES.encode(),
    "old/quillace-morrowin-2026.txt": b"1:10 Quillace waits\n1:30 Quillace goes\n2:00 Morrowin is late\n",
    "old/anon.md": b"- 0:40 by:hesk jab\n- 0:50 by:marl slip on:hesk\n- 1:10 by:hesk jab again\n",
    "Ängstrøm v Łuczkova 2028-11-02.md": "- 0:31 Ängstrøm öffnet\n- 0:45 Łuczkova kontert\n".encode(),
    "mma/Drayhoven v Pellucar 2022-12-12.markdown": _FIVE_MINUTES.encode(),
    "2026-06-20 Orzhelian v Umoreke/Round 1.md": b"## Round 1\n- 2:50 Orzhelian jabs\n- 2:30 Umoreke jabs\n",
    "2026-06-20 Orzhelian v Umoreke/Round 2.md": b"## Round 2\n- 2:55 Umoreke hooks\n- 0:30 Orzhelian holds\n",
    "vault/2023-04-04 Ostrelle v Lindvask.md": _VAULT.encode(),
    # in the folder that a library reads
    "bouts/halden-night.md": _PARTIAL.encode(),
    "bouts/2030-05-03 Thackmoor v Corvale.md": b"## Round 1\n- 2:40 Corvale is first\n- 2:20 again\n- 1:00 and again\n",
    "bouts/broken.md": b"---\ntitle: [never closed\n---\n- 0:10 a jab\n",
    # captions alone
    "captions/2025-02-14 Vargossa v Vargossa.srt": _SUBRIP.encode(),
    "captions/loose.vtt": _CUES.encode(),
    # no notes
    "README.md": b"# My notes\n\nTen years of them. Ask me before you move anything.\n",
    "ideas.txt": b"why do southpaws give up the lead hand so often?\n",
    "todo.txt": b"10:30 call the printer\n",
    "jab v cross.md": b"0:10 the jab first\n",
    "empty.md": b"",
    "scan.pdf": b"%PDF-1.4\n\0\1\2",
    "old/not text.txt": bytes(range(256)),
}


def write_untidy(root: Path) -> Path:
    for name, content in FILES.items():
        path = root / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)
    return root


def tree(root: Path) -> dict[str, bytes | None]:
    """Every file with its content, every folder with None; what the program keeps for itself left out."""
    own = (".fightnotes", "undo")
    paths = (path for path in root.rglob("*") if path.relative_to(root).parts[0] not in own)
    return {path.relative_to(root).as_posix(): path.read_bytes() if path.is_file() else None for path in paths}


def make(root: Path, files: dict[str, str | bytes]) -> Path:
    for name, content in files.items():
        path = root / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content if isinstance(content, bytes) else content.encode())
    return root
