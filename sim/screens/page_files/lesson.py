"""The page that shows `sim.screens.lesson.page`."""

from sim.screens.lesson import page

if __name__ == "__main__":
    page.show()
