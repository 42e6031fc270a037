"""The page that shows `sim.screens.progress.page`."""

from sim.screens.progress import page

if __name__ == "__main__":
    page.show()
