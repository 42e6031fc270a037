"""What a data set says of itself: its kind, and where it comes from."""

from __future__ import annotations

import re
from typing import Any

from sim import PARAMETERS_VERSION, __version__
from sim.files.sizes import MOST_ORIGIN
from sim.labels import MOVEMENT_FROM_MMHG, MOVEMENT_JOINED_S, Labels
from sim.texts import from_json

# What is written. Kind 2 had no labels and was otherwise the same: it is read, too.
KIND = "cuffbias recordings 3"
READ = ("cuffbias recordings 2", KIND)
# What is told of a data set's origin, on pages and in files made from it, and what may stand there.
_TOLD = {
    "version": re.compile(r"[0-9A-Za-z.+_-]{1,40}"),
    "parameters_version": re.compile(r"[0-9A-Za-z.+_-]{1,40}"),
    "seed": re.compile(r"None|[0-9]{1,40}"),
}
NOTE = "Simulated recordings with their truth; no medical device, no measurements of people."


def origin(seed: int | None, labels: Labels | None) -> dict[str, Any]:
    """What a new data set says of itself."""
    found = {
        "kind": KIND,
        "version": __version__,
        "parameters_version": PARAMETERS_VERSION,
        "seed": seed,
        "note": NOTE,
    }
    if labels is None:
        return found
    return found | {"movement_from_mmhg": MOVEMENT_FROM_MMHG, "movement_joined_s": MOVEMENT_JOINED_S}


def origin_of(text: str | bytes) -> dict[str, Any]:
    """What a file says of itself. Raises ValueError where it is no data set of a kind that is read."""
    if len(text) > MOST_ORIGIN:
        raise ValueError(f"an origin of {len(text):,} letters, and {MOST_ORIGIN:,} are allowed")
    found = from_json(text if isinstance(text, str) else text.decode())
    if not isinstance(found, dict) or found.get("kind") not in READ:
        raise ValueError(f"no data set of this kind; {' and '.join(READ)} are read")
    for name, pattern in _TOLD.items():
        if not pattern.fullmatch(str(found.get(name))):
            raise ValueError(f"an origin whose {name} is {str(found.get(name))[:40]!r}")
    return found
