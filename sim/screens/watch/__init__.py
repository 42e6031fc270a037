"""A reading played: the cuff's pressure falls, the pulses come and go, the envelope builds, the number appears."""
