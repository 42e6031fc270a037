"""The page that shows `sim.screens.cautions.page`."""

from sim.screens.cautions import page

if __name__ == "__main__":
    page.show()
