"""From readings to what they mean: repeating, categories, populations, surprising readings, logs."""
