"""What the tests of commands share."""

from sim.fields import Choice, Limit
from sim.setup import FIELDS

NUMBERS = [(name, limit) for name, limit in FIELDS.items() if isinstance(limit, Limit)]
CHOICES = [(name, limit) for name, limit in FIELDS.items() if isinstance(limit, Choice)]


def refused(outcome, *words):
    """Status 2, nothing on stdout, one line on stderr with all of `words`."""
    status, out, err = outcome
    assert (status, out) == (2, "")
    assert err.count("\n") == 1
    for word in words:
        assert str(word) in err
    return True
