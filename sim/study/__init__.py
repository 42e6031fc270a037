"""Many readings."""
