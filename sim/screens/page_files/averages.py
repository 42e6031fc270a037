"""The page that shows `sim.screens.averages.page`."""

from sim.screens.averages import page

if __name__ == "__main__":
    page.show()
