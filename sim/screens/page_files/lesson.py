"""The page that shows `sim.screens.lesson_page`."""

from sim.screens import lesson_page

if __name__ == "__main__":
    lesson_page.show()
