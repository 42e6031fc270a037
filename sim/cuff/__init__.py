"""From cuff pressure to pressure on the artery, and what the sensor sees of it."""
