"""A person: who, the pulse, the artery, what moves the pressure itself."""
