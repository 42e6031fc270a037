"""The page that shows `sim.screens.evidence.page`."""

from sim.screens.evidence import page

if __name__ == "__main__":
    page.show()
