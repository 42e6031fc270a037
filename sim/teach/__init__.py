"""Lessons, and how the model compares with published effects."""
