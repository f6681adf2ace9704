"""The audit: every rule over the library, less what it is asked to leave out."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from fractions import Fraction

from fightnotes.audit.agreement import agreement
from fightnotes.audit.baseline import covered, read_baseline
from fightnotes.audit.data import AuditData, Meaning
from fightnotes.audit.finding import Finding, Fix, Retag, Severity, Skipped
from fightnotes.audit.findings import put_aside
from fightnotes.audit.report import AuditReport, BoutLine, ConceptTally
from fightnotes.audit.rules import BY_NAME, RULES, Remark, Rule, TooLittle
from fightnotes.audit.silence import Requests, read_requests
from fightnotes.audit.undisturbed import undisturbed
from fightnotes.editing.line_edit import LineEdit, read_exact
from fightnotes.editing.plan import Plan
from fightnotes.editing.tag_rewrite import retag
from fightnotes.errors import UnknownName, UnreadableFile
from fightnotes.index.store import Store
from fightnotes.model import Segment, Tag
from fightnotes.reading.file_names import SETTINGS_FILE, VOCABULARY_FILE
from fightnotes.reading.library import LibraryReading
from fightnotes.suggesting.rejected import read_rejections

_NO_FOOTAGE = "no recording is at hand to be measured"
_NO_INDEX = "it compares meanings, and this library has no index: run `fightnotes build`"


def audit(
    reading: LibraryReading,
    store: Store | None,
    *,
    title: str = "",
    only: Iterable[str] = (),
    lengths: Mapping[tuple[str, str], Fraction] | None = None,
    unmeasured: Iterable[str] = (),
    no_store: str | None = None,
    use_baseline: bool = True,
    with_agreement: bool = False,
) -> AuditReport:
    """What is wrong or doubtful in the notes and the vocabulary.

    `title` is that of a library whose settings give none. `store` gives the meanings of notes; without it the rules
    that need them are skipped, for the reason `no_store` where one is given. `only` names the rules to run; none
    named, all run. `lengths` holds the seconds of recordings that could be measured, by bout id and the recording's
    name, `unmeasured` what is wrong with others. Raises UnknownName for a rule that is not there, UnreadableFile for
    a damaged baseline, StoreError where there is no room to put findings aside.
    """
    chosen = _chosen(only)
    texts = _note_texts(reading)
    beside = _Beside()
    with undisturbed():
        meaning = None
        if store is not None and any(rule.needs == "index" for rule in chosen):
            meaning = Meaning(store, reading.segments, reading.vocabulary.concepts)
        data = AuditData(reading, texts, meaning, lengths or {}, read_rejections(reading.root))
        requests = read_requests(reading.settings, texts, data.note_at)
        findings = put_aside(_heard(data, requests, chosen, no_store or _NO_INDEX, beside))
    known = read_baseline(reading.root, reading.settings.audit_baseline) if use_baseline else Counter()
    found = len(findings)
    if known:
        findings.leave_out(tuple(covered(findings.numbered(), known)))
    return AuditReport(
        title=reading.settings.title or title or reading.root.name,
        notes=len(data.notes),
        findings=findings,
        silenced=beside.silenced,
        known=found - len(findings),
        skipped=(*beside.skipped, *(Skipped(rule="outside-footage", reason=reason) for reason in unmeasured)),
        bouts=_bout_lines(data),
        uses=_uses(data),
        agreement=agreement(reading.segments, data.bouts, reading.vocabulary) if with_agreement else None,
    )


@dataclass
class _Beside:
    """What is told beside the findings, gathered while they come."""

    skipped: list[Skipped] = field(default_factory=list)
    silenced: int = 0


def _heard(
    data: AuditData, requests: Requests, chosen: Iterable[Rule], no_store: str, beside: _Beside
) -> Iterator[Finding]:
    """What the rules find and no line asks to be left out, one by one."""
    for finding in _found(data, requests, chosen, no_store, beside):
        if requests.silences(finding):
            beside.silenced += 1
        else:
            yield finding


def _found(
    data: AuditData, requests: Requests, chosen: Iterable[Rule], no_store: str, beside: _Beside
) -> Iterator[Finding]:
    yield from requests.faults
    for rule in chosen:
        if rule.name in requests.off:
            reason = f"{SETTINGS_FILE}: {data.reading.settings.audit['off'][rule.name]}"
            beside.skipped.append(Skipped(rule=rule.name, reason=reason))
        elif rule.needs == "index" and data.meaning is None:
            beside.skipped.append(Skipped(rule=rule.name, reason=no_store))
        elif rule.needs == "footage" and not data.lengths:
            beside.skipped.append(Skipped(rule=rule.name, reason=_NO_FOOTAGE))
        else:
            reasons: list[str] = []
            severity = requests.severity.get(rule.name, rule.severity)
            yield from (_finding(rule, severity, remark, data) for remark in _remarks(rule, data, reasons))
            if rule.needs == "index" and data.meaning and (newer := data.newer_than_index):
                reasons.append(f"{newer} notes are newer than the index and were left out: {data.meaning.advice}")
            if reasons:
                beside.skipped.append(Skipped(rule=rule.name, reason="; ".join(reasons)))


def _remarks(rule: Rule, data: AuditData, reasons: list[str]) -> Iterator[Remark]:
    """`reasons` takes what the rule had too little data for."""
    for said in rule.check(data):
        if isinstance(said, TooLittle):
            reasons.append(said.reason)
        else:
            yield said


def plan_fixes(reading: LibraryReading, report: AuditReport) -> Plan:
    """The fixes of a report as one change.

    A tag that another stands for goes out only where that other one stays as it is: else it waits for
    the next audit.
    """
    mended = [finding for finding in report.findings if finding.fix]
    lines = Counter((finding.place.file, finding.place.line) for finding in mended)
    retags = [
        one
        for finding in mended
        if finding.fix and (finding.rule != "parent-and-child" or lines[finding.place.file, finding.place.line] == 1)
        for one in finding.fix.retags
    ]
    return Plan("fix tags", _edits(reading.segments, _note_texts(reading), retags))


def _note_texts(reading: LibraryReading) -> dict[str, str]:
    """Every note file, the vocabulary and the settings that can be read, by file, exactly as they stand."""
    files = dict.fromkeys(segment.file for segment in reading.segments if segment.kind == "note")
    texts = {}
    for file in (*files, VOCABULARY_FILE, SETTINGS_FILE):
        if (reading.root / file).is_file():
            with suppress(UnreadableFile):  # the reader has reported it
                texts[file] = read_exact(reading.root / file)
    return texts


def _chosen(only: Iterable[str]) -> Sequence[Rule]:
    names = tuple(only)
    for name in names:
        if name not in BY_NAME:
            raise UnknownName(f"no rule '{name}': one of {', '.join(BY_NAME)}")
    return [rule for rule in RULES if not names or rule.name in names]


def _finding(rule: Rule, severity: Severity, remark: Remark, data: AuditData) -> Finding:
    fix = None
    if remark.retags:
        edits = _edits(data.notes_of(one.file for one in remark.retags), data.texts, remark.retags)
        fix = Fix(says=remark.fix, retags=remark.retags, edits=edits)
    return Finding(
        rule=rule.name, severity=severity, places=remark.places, message=remark.message, about=remark.about, fix=fix
    )


def _edits(segments: Iterable[Segment], texts: Mapping[str, str], retags: Iterable[Retag]) -> tuple[LineEdit, ...]:
    wanted = {(one.file, one.line, one.column): one.concept for one in retags}
    touched = {file for file, _, _ in wanted}

    def choose(segment: Segment, tag: Tag) -> str | None:
        return wanted.get((segment.file, tag.line, tag.column))

    return retag((segment for segment in segments if segment.file in touched), texts, choose)


def _bout_lines(data: AuditData) -> tuple[BoutLine, ...]:
    dated = sorted(data.reading.bouts, key=lambda bout: (bout.date is None, str(bout.date), bout.id))
    return tuple(BoutLine(id=bout.id, title=bout.title, date=str(bout.date) if bout.date else None) for bout in dated)


def _uses(data: AuditData) -> tuple[ConceptTally, ...]:
    uses = []
    for name, notes in data.tagged_with.items():
        concept = data.vocabulary.by_id.get(name)
        if concept:
            by_bout = Counter(note.bout for note in notes)
            uses.append(ConceptTally(concept=name, label=concept.label, total=len(notes), by_bout=dict(by_bout)))
    return tuple(sorted(uses, key=lambda use: (-use.total, use.concept)))
