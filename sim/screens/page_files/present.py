"""The page that shows `sim.screens.present.page`."""

from sim.screens.present import page

if __name__ == "__main__":
    page.show()
