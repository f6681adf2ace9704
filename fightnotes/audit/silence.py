"""What the library asks the audit to leave out: rules in `library.yaml`, single findings on their line.

In `library.yaml`:

    audit:
      off: {tag-form: "labels are fine in this house"}
      severity: {missing-tag: warning}

In a note, on any of its lines or alone on the line above it, and in YAML behind `#` in the same way:

    <!-- audit: skip duplicate-note because the replay shows it twice -->

A request holds for its own note: what stands on the last line of one says nothing of the next.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from fightnotes.audit.finding import SEVERITIES, Finding, Location, Severity
from fightnotes.audit.rules import BY_NAME
from fightnotes.model import Segment, Settings
from fightnotes.reading.file_names import SETTINGS_FILE
from fightnotes.reading.text_file import split_lines

RULE = "audit-request"
"""The rule under which a request that cannot be followed is reported; it cannot be silenced itself."""
SUMMARY = "A request to the audit that names no rule or gives no reason."
_REQUEST = re.compile(
    r"(?P<alone>^[ \t]*)?(?:<!--|(?P<yaml>#))[ \t]*audit:[ \t]*skip[ \t]+(?P<rules>[\w, \t-]+?)"
    r"(?:[ \t]+because[ \t]+(?P<reason>.*?))?[ \t]*(?:-->|$)"
)
_Place = tuple[str, int]
"""File and line."""


@dataclass(frozen=True)
class Requests:
    off: frozenset[str]
    severity: Mapping[str, Severity]
    asked: Mapping[_Place, frozenset[str]]
    """Rules by the place of the note that the request is for, or by the line where that is no note."""
    note_at: Mapping[_Place, Segment]
    """The innermost note that a line belongs to."""
    faults: tuple[Finding, ...]

    def silences(self, finding: Finding) -> bool:
        return finding.rule in self.asked.get(_begin(self.note_at, finding.place.file, finding.place.line), ())


def read_requests(settings: Settings, texts: Mapping[str, str], note_at: Mapping[_Place, Segment]) -> Requests:
    """All requests; those without a reason or for an unknown rule are faults and are not followed."""
    faults: list[Finding] = []
    off: set[str] = set()
    severity: dict[str, Severity] = {}
    known = settings.audit.keys() & {"off", "severity", "baseline"}
    faults.extend(_fault(f"audit: {key}", "one of off, severity, baseline") for key in settings.audit.keys() - known)
    for name, reason in _by_rule(settings.audit, "off", faults):
        if isinstance(reason, str) and reason.strip():
            off.add(name)
        else:
            faults.append(_fault(f"audit: off: {name} without a reason", f"{name}: the reason"))
    for name, wanted in _by_rule(settings.audit, "severity", faults):
        if wanted in SEVERITIES:
            severity[name] = wanted
        else:
            faults.append(_fault(f"audit: severity: {name}: {wanted}", f"one of {', '.join(SEVERITIES)}"))
    asked: dict[_Place, frozenset[str]] = {}
    for file, text in texts.items():
        lines = split_lines(text)
        for line, alone, names, reason in _requests_in(file, lines):
            unknown = [name for name in names if name not in BY_NAME]
            request = f"a request to skip {', '.join(unknown or names)}"
            if unknown or not reason:
                found = request + ("" if reason else " without a reason")
                faults.append(_fault(found, "the names of rules, 'because' and a reason", file, line))
                continue
            below = alone and (file, line) not in note_at
            if below and not "".join(lines[line : line + 1]).strip():
                expected = "it on a line of its note, or alone right above it"
                faults.append(_fault(f"{request} above an empty line", expected, file, line))
            place = _begin(note_at, file, line + below)
            asked[place] = asked.get(place, frozenset()) | frozenset(names)
    return Requests(frozenset(off), severity, asked, note_at, tuple(faults))


def _begin(note_at: Mapping[_Place, Segment], file: str, line: int) -> _Place:
    """Where the note begins that a line belongs to; the line itself where it belongs to none."""
    note = note_at.get((file, line))
    return file, note.line if note else line


def _by_rule(audit: Mapping[str, Any], key: str, faults: list[Finding]) -> Iterator[tuple[str, Any]]:
    """What `library.yaml` says under a key of each rule."""
    value = audit.get(key)
    if isinstance(value, dict):
        for name, said in value.items():
            if name in BY_NAME:
                yield name, said
            else:
                faults.append(_fault(f"audit: {key}: {name}", "the name of a rule"))
    elif value is not None:
        faults.append(_fault(f"audit: {key}: that is no mapping", "rule names, each with a text"))


def _requests_in(file: str, lines: Sequence[str]) -> Iterator[tuple[int, bool, list[str], str]]:
    """Of each request its line, whether it stands alone there, its rules and its reason."""
    in_yaml = file.endswith((".yaml", ".yml"))
    for number, line in enumerate(lines, 1):
        for match in _REQUEST.finditer(line):
            if bool(match["yaml"]) == in_yaml:
                names = [name for name in re.split(r"[,\s]+", match["rules"]) if name]
                yield number, match["alone"] is not None, names, (match["reason"] or "").strip()


def _fault(found: str, expected: str, file: str = SETTINGS_FILE, line: int = 0) -> Finding:
    message = f"found {found}, expected {expected}"
    places = (Location(file=file, line=line),)
    return Finding(rule=RULE, severity="error", places=places, message=message, about=found)
