"""The page that shows `sim.screens.averaging.page`."""

from sim.screens.averaging import page

if __name__ == "__main__":
    page.show()
