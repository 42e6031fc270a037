"""The page that shows `sim.screens.final_test.page`."""

from sim.screens.final_test import page

if __name__ == "__main__":
    page.show()
