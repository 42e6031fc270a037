"""`cuffbias app`: open the lessons in the browser."""

from __future__ import annotations

import argparse
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import sim
from sim.commands.parser import UsageError

LOWEST_PORT, HIGHEST_PORT = 1024, 65535
DEFAULT_PORT = 8501
DESCRIPTION = """\
Opens the lessons in the browser. The server answers this computer only, until it is
stopped with Ctrl+C.
"""


def add_to(commands: Any) -> None:
    """Add the command to the subparsers of `cuffbias`."""
    parser = commands.add_parser("app", help="open the lessons in the browser", description=DESCRIPTION)
    parser.add_argument(
        "--port",
        type=_port,
        default=DEFAULT_PORT,
        metavar="N",
        help=f"Where to serve, {LOWEST_PORT} to {HIGHEST_PORT} (default {DEFAULT_PORT})",
    )
    parser.add_argument("--no-browser", action="store_true", help="Serve without opening a browser window")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Serve until stopped."""
    from streamlit.web import cli  # here, so that the other commands do not wait for it

    # In this very process, so that whatever stops the command stops the server.
    cli.main(args=server_arguments(options.port, options.no_browser), prog_name="streamlit", standalone_mode=False)
    return 0


def server_arguments(port: int, no_browser: bool = False) -> list[str]:
    """What the server is told: the app's entry, and the settings that the source tree keeps in .streamlit."""
    flags = [*_flags(_settings()), f"--server.port={port}"]
    if no_browser:
        flags.append("--server.headless=true")
    # Without it a first start asks for an address to write to.
    flags.append("--server.showEmailPrompt=false")
    return ["run", str(_package() / "screens" / "entry.py"), *flags]


def _settings() -> dict[str, dict[str, Any]]:
    """The app's settings, from the installed package or from the source tree around it."""
    inside = _package() / "screens" / ".streamlit" / "config.toml"
    beside = _package().parent / ".streamlit" / "config.toml"
    return tomllib.loads((inside if inside.exists() else beside).read_text(encoding="utf-8"))


def _flags(settings: dict[str, Any], name: str = "") -> Iterator[str]:
    """Nested settings as --section.option=value; a list repeats the option."""
    for key, value in settings.items():
        if isinstance(value, dict):
            yield from _flags(value, f"{name}{key}.")
        else:
            yield from (f"--{name}{key}={_word(v)}" for v in (value if isinstance(value, list) else [value]))


def _word(value: object) -> str:
    return str(value).lower() if isinstance(value, bool) else str(value)


def _package() -> Path:
    return Path(sim.__file__).parent


def _port(text: str) -> int:
    if not text.isascii() or not text.isdecimal() or len(text) > 5 or not LOWEST_PORT <= int(text) <= HIGHEST_PORT:
        raise UsageError(f"--port {text}: must be a whole number from {LOWEST_PORT} to {HIGHEST_PORT}")
    return int(text)
