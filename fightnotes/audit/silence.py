"""What the library asks the audit to leave out: rules in `library.yaml`, single findings on their line.

In `library.yaml`:

    audit:
      off: {tag-form: "labels are fine in this house"}
      severity: {missing-tag: warning}

In a note, on any of its lines or on the line above, and in YAML behind `#`:

    <!-- audit: skip duplicate-note because the replay shows it twice -->
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from fightnotes.audit.finding import SEVERITIES, Finding, Location, Severity
from fightnotes.audit.rules import BY_NAME
from fightnotes.model import Settings
from fightnotes.reading.file_names import SETTINGS_FILE

RULE = "audit-request"
"""The rule under which a request that cannot be followed is reported; it cannot be silenced itself."""
SUMMARY = "A request to the audit that names no rule or gives no reason."
_REQUEST = re.compile(
    r"(?:<!--|#)[ \t]*audit:[ \t]*skip[ \t]+([\w, \t-]+?)(?:[ \t]+because[ \t]+(.*?))?[ \t]*(?:-->|$)", re.MULTILINE
)


@dataclass(frozen=True)
class Requests:
    off: frozenset[str]
    severity: Mapping[str, Severity]
    on_lines: Mapping[tuple[str, int], frozenset[str]]
    """Rules by file and line of the request."""
    faults: tuple[Finding, ...]

    def silences(self, finding: Finding) -> bool:
        place = finding.place
        lines = range(place.line - 1, max(place.line, place.last_line) + 1)
        return any(finding.rule in self.on_lines.get((place.file, line), ()) for line in lines)


def read_requests(settings: Settings, texts: Mapping[str, str]) -> Requests:
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
    on_lines: dict[tuple[str, int], frozenset[str]] = {}
    for file, text in texts.items():
        for line, names, reason in _requests_in(file, text):
            unknown = [name for name in names if name not in BY_NAME]
            if unknown or not reason:
                found = f"a request to skip {', '.join(unknown or names)}{'' if reason else ' without a reason'}"
                faults.append(_fault(found, "the names of rules, 'because' and a reason", file, line))
            on_lines[file, line] = frozenset(names) - set(unknown) if reason else frozenset()
    return Requests(frozenset(off), severity, on_lines, tuple(faults))


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


def _requests_in(file: str, text: str) -> Iterator[tuple[int, list[str], str]]:
    in_yaml = file.endswith((".yaml", ".yml"))
    for match in _REQUEST.finditer(text):
        if match[0].startswith("#") == in_yaml:
            names = [name for name in re.split(r"[,\s]+", match[1]) if name]
            yield text.count("\n", 0, match.start()) + 1, names, (match[2] or "").strip()


def _fault(found: str, expected: str, file: str = SETTINGS_FILE, line: int = 0) -> Finding:
    message = f"found {found}, expected {expected}"
    places = (Location(file=file, line=line),)
    return Finding(rule=RULE, severity="error", places=places, message=message, about=found)
