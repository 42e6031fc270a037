"""Recordings in files: read from elsewhere, written for others."""
