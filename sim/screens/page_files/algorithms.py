"""The page that shows `sim.screens.algorithms.page`."""

from sim.screens.algorithms import page

if __name__ == "__main__":
    page.show()
