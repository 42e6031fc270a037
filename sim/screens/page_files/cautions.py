"""The page that shows `sim.screens.safety`."""

from sim.screens import safety

if __name__ == "__main__":
    safety.show()
