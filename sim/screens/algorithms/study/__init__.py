"""A study of many people: planned, run, read, downloaded."""
