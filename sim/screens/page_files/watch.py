"""The page that shows `sim.screens.watch.page`."""

from sim.screens.watch import page

if __name__ == "__main__":
    page.show()
