"""The engineer's screens: one recording under several algorithms, and a study of many people."""
