"""How often a process of ours looks for garbage."""

import gc

#: A run makes many small values and soon ends: looking for garbage at every 700th of them takes a tenth of its time.
_SELDOM = 500_000


def collect_seldom() -> None:
    """Lets this process look for garbage far less often than Python does by itself."""
    gc.set_threshold(_SELDOM)
