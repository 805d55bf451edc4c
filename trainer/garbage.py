"""Work without the search for garbage: rows and values by the thousand, none of them in a cycle.

Looking for cycles among them again and again costs a tenth of a flight or of a debrief.
"""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def collection_paused() -> Iterator[None]:
    """No search for garbage meanwhile; what is no longer referred to still goes at once."""
    is_collecting = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if is_collecting:
            gc.enable()
