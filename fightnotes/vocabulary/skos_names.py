"""What SKOS calls the parts of a concept, and our own words for what it has none for."""

from __future__ import annotations

import re

from rdflib import SKOS, Namespace

from fightnotes.model import MATCH_KINDS

BASE = "urn:fightnotes:vocabulary#"
"""What a concept's id is put behind, unless the caller names an address of the library's own."""
OWN = Namespace("urn:fightnotes:skos#")
XL = Namespace("http://www.w3.org/2008/05/skos-xl#")
LANGUAGE = "en"
LANGUAGE_TAG = re.compile(r"[A-Za-z]{1,8}(?:-[A-Za-z0-9]{1,8})*")
"""As RFC 4647, section 2.1, has a basic language range that is not `*`."""

LABELS = {"also": SKOS.altLabel, "misheard": SKOS.hiddenLabel}
LINKS = {"broader": SKOS.broader, "related": SKOS.related}
NOTES = {"definition": SKOS.definition, "scope": SKOS.scopeNote}
MATCHES = {kind: SKOS[f"{kind}Match"] for kind in MATCH_KINDS}
