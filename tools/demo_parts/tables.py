"""All tables of the truth in one: every `truth_*.py` beside this file that states `ARTICLES`."""

import importlib
from pathlib import Path

from .truth_unlisted import UNLISTED

TRUTH = {}
for _path in sorted(Path(__file__).parent.glob("truth_*.py")):
    _stated = getattr(importlib.import_module(f".{_path.stem}", __package__), "ARTICLES", {})
    _twice = sorted(set(_stated) & set(TRUTH))
    if _twice:
        raise SystemExit(f"error: {_path}: `{_twice[0]}` has a truth in another file already")
    TRUTH |= _stated

__all__ = ["TRUTH", "UNLISTED"]
