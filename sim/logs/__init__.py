"""Logs of real readings: read, looked at, averaged by a schedule's rule, written out again."""
