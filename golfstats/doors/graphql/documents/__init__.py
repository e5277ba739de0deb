"""Persisted documents: the files of this folder, named by the SHA-256 of their text.

A client sends ``{"documentId": "sha256:…", "variables": {…}}`` instead of the text. With the setting
``GRAPHQL["PERSISTED_ONLY"]`` nothing else is answered.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from functools import cache
from importlib import resources

PREFIX = "sha256:"


@cache
def documents() -> Mapping[str, str]:
    """Text of every persisted document by its id."""
    files = [file for file in resources.files(__name__).iterdir() if file.name.endswith(".graphql")]
    return {document_id(text): text for text in (file.read_text(encoding="utf-8") for file in files)}


def document_id(text: str) -> str:
    return PREFIX + hashlib.sha256(text.encode()).hexdigest()
