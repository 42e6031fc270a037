"""Drawn pictures for paper and files; a figure is a function from results to Figure."""
