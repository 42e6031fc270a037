"""One recording, its beats and envelope, and what each algorithm reads from it."""
