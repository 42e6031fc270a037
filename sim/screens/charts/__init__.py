"""Charts that follow a lever, as Vega-Lite specifications: plain dicts of results, no library in between."""
