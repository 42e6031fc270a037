"""The page that shows `sim.screens.home`."""

from sim.screens import home

if __name__ == "__main__":
    home.show()
