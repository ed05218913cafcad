"""Names of what is kept: whatever a result depends on, as a short hash."""

from __future__ import annotations

import hashlib
import json


def key_of(*about: object) -> str:
    """Hash of plain values (what JSON can say)."""
    return hashlib.sha256(json.dumps(about).encode()).hexdigest()[:16]
