"""The page that shows `sim.screens.handouts.page`."""

from sim.screens.handouts import page

if __name__ == "__main__":
    page.show()
