"""Why readings differ from the truth."""
