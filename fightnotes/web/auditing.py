"""What in the notes looks wrong or doubtful."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from starlette.requests import Request
from starlette.responses import Response

from fightnotes.library import Library, audit_rules, audit_severities
from fightnotes.web.asked import Parameters, texts_in
from fightnotes.web.forms import choice_in, form_page, moment_address
from fightnotes.web.guarding import reads
from fightnotes.web.kept import KeptLibrary
from fightnotes.web.showing import kept_of

if TYPE_CHECKING:
    from fightnotes.audit.report import AuditReport


def audit(request: Request) -> Response:
    """The report, as it is in the file that is handed on; it is worked out once for an index, and when it is asked."""
    kept = kept_of(request)
    rules, severities = tuple(rule.name for rule in audit_rules()), audit_severities()

    def shown(library: Library, given: Parameters) -> dict[str, Any] | None:
        rule, severity = choice_in(given, "rule", rules), choice_in(given, "severity", severities)
        if not texts_in(given, "run"):
            return None
        report = _report(kept, with_agreement=bool(texts_in(given, "agreement"))).narrowed(rule, severity)
        return {"report": report, "body": library.audit_body(report, moment_address)}

    return form_page(
        request,
        "audit.html",
        shown,
        rules=[(rule, rule) for rule in rules],
        severities=[(each, each) for each in severities],
    )


def audit_file(request: Request) -> Response:
    """The whole report as a file to keep."""
    report = _report(kept_of(request), with_agreement=True)
    kept_as = {"content-disposition": 'attachment; filename="audit.html"'}
    return Response(kept_of(request).library.audit_html(report), headers=kept_as, media_type="text/html")


def _report(kept: KeptLibrary, *, with_agreement: bool) -> AuditReport:
    return kept.once(f"audit, agreement {with_agreement}", lambda library: library.audit(with_agreement=with_agreement))


ROUTES = (reads("/audit", audit), reads("/audit/html", audit_file))
