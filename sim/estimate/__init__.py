"""A number from the recording alone."""
