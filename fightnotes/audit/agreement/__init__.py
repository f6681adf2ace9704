"""Agreement between analysts who noted the same bout, or of one analyst with a second annotation of their own."""

from fightnotes.audit.agreement.models import (
    Agreement,
    AgreementReport,
    Comparison,
    ConceptAgreement,
    Confusion,
    Noted,
    Overall,
)
from fightnotes.audit.agreement.report import agreement

__all__ = [
    "Agreement",
    "AgreementReport",
    "Comparison",
    "ConceptAgreement",
    "Confusion",
    "Noted",
    "Overall",
    "agreement",
]
