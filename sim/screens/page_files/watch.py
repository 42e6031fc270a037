"""The page that shows `sim.screens.playing.page`."""

from sim.screens.playing import page

if __name__ == "__main__":
    page.show()
