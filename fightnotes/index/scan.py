"""The scan of the library's files that a build starts from: settings, vocabulary, bouts and model as they are now."""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path

from fightnotes.editing.own_files import TRANSCRIPTS_FOLDER
from fightnotes.errors import Problem
from fightnotes.index.changes import digest_of, fingerprint
from fightnotes.index.model_source import ModelSource, locate_model
from fightnotes.model import Vocabulary
from fightnotes.reading.captions import READERS
from fightnotes.reading.file_names import SETTINGS_FILE, TERMS_FILE, VOCABULARY_FILE
from fightnotes.reading.library import Configuration, bout_files, read_configuration
from fightnotes.reading.opening import allowed_folders


@dataclass(frozen=True)
class Scan:
    root: Path
    configuration: Configuration
    digests: dict[str, str]
    """Of settings, vocabulary and refused terms, taken before they were read, so that a later change shows."""
    files: tuple[str, ...]
    """Of the bouts, relative to the library."""
    unseen: tuple[str, ...]
    """Folders of bouts that cannot be read."""
    problems: tuple[Problem, ...]
    """Of no bout's own files."""
    model: ModelSource
    transcripts: tuple[str, ...]
    """Captions below `transcripts/`, whether a bout names them or not."""

    @property
    def meta(self) -> dict[str, str]:
        """What the database says of itself when it is up to date."""
        return {
            "configuration": fingerprint(self.configuration),
            "digests": json.dumps(self.digests),
            "settings": self.configuration.settings.model_dump_json(),
            "vocabulary": self.configuration.vocabulary.model_dump_json(),
        }

    @property
    def vocabulary(self) -> Vocabulary:
        return self.configuration.vocabulary


def scan_library(root: Path) -> Scan:
    """Raises ModelError where the model that the settings name is not on this machine."""
    digests = {name: digest_of(root / name) for name in (SETTINGS_FILE, VOCABULARY_FILE, TERMS_FILE)}
    configuration = read_configuration(root)
    walked = bout_files(root, allowed_folders(root, configuration.settings.media_roots))
    captions = (path for path in (root / TRANSCRIPTS_FOLDER).rglob("*") if path.suffix.lower() in READERS)
    return Scan(
        root=root,
        configuration=configuration,
        digests=digests,
        files=walked.files,
        unseen=walked.unseen,
        problems=(*configuration.problems, *walked.problems),
        model=locate_model(configuration.settings.model, root),
        transcripts=tuple(sorted(path.relative_to(root).as_posix() for path in captions)),
    )
