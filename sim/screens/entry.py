"""Where the app starts. The server runs this file anew at each rerun, so nothing is kept here."""

from __future__ import annotations

from sim.screens import frame


def main() -> None:
    """Show the app."""
    frame.show()


if __name__ == "__main__":
    main()
