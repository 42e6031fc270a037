"""Drawn pictures: SVG filled with numbers. No physics: what is drawn is what the fields say."""
