"""The page that shows `sim.screens.practice.page`."""

from sim.screens.practice import page

if __name__ == "__main__":
    page.show()
