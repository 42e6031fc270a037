"""`cuffbias app`: open the lessons in the browser."""

from __future__ import annotations

import argparse
import os
import sys
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import sim
from sim.commands import network
from sim.commands.own_lessons import add_option, folders
from sim.commands.parser import UsageError

LOWEST_PORT, HIGHEST_PORT = 1024, 65535
DEFAULT_PORT = 8501
EVERY_ADDRESS = "0.0.0.0"
DESCRIPTION = """\
Opens the lessons in the browser. The server answers this computer only, until it is
stopped with Ctrl+C.

  cuffbias app --share                    phones in the same network can open it, too

With --share the server listens on all addresses of this computer. Everybody in the same
network can then open every page, without a password and without encryption: use it in a
network that you trust, and stop it after the class. The address is printed, with a QR
code, and stands in the app where links are shared. What others let the app work out uses
this computer's processors, one study at a time; its readings stand in a temporary folder
that goes with the server. docs/teaching.md says what stays closed.
"""
NOTHING_FOUND = (
    "No network found: the pages answer this computer only. Connect it, then start again; or name the address: "
    "--share --host ADDRESS"
)


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
    parser.add_argument("--share", action="store_true", help="Answer other computers and phones in the network, too")
    parser.add_argument(
        "--host",
        type=network.checked_host,
        metavar="ADDRESS",
        help="With --share: the address or name that the others open (default: the one that this computer finds)",
    )
    add_option(parser, "A folder with lessons of your own, shown beside the built-in ones")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Serve until stopped."""
    from streamlit.web import cli  # here, so that the other commands do not wait for it

    from sim.screens import no_lookup
    from sim.screens.engine import ENGINE

    for folder in folders(options):
        _tell_of(folder.resolve())
    host = _host(options)
    if options.share:
        print(shared_words(host, options.port), flush=True)
    if host:  # one processor is left for the pages themselves
        ENGINE.begin(max(1, (os.cpu_count() or 2) - 1))
    no_lookup.forbid()
    # In this very process, so that whatever stops the command stops the server.
    arguments = server_arguments(options.port, options.no_browser, host)
    cli.main(args=arguments, prog_name="streamlit", standalone_mode=False)
    return 0


def _tell_of(folder: Path) -> None:
    """Let the server show a folder's lessons; where files in it are left out, say so."""
    from sim.teach.lesson import OWN_FOLDER, load_all

    os.environ[OWN_FOLDER] = str(folder)
    for file in dict.fromkeys(fault.file for fault in load_all(folder)[1] if fault.local):
        print(f"cuffbias: {file} is left out; cuffbias lesson check {folder} says why", file=sys.stderr)


def _host(options: argparse.Namespace) -> str:
    """The address that others open; "" where the server answers this computer only."""
    if not options.share:
        if options.host is not None:
            raise UsageError(f"--host {options.host}: only together with --share")
        return ""
    return options.host or next(iter(network.addresses()), "")


def shared_words(host: str, port: int) -> str:
    """What is printed to whoever shares the app: the address, its QR code, and what that means."""
    if not host:
        return NOTHING_FOUND
    address = f"http://{host}:{port}"
    others = [f"http://{other}:{port}" for other in network.addresses() if other != host]
    also = f"\n  This computer's other addresses: {', '.join(others)}" if others else ""
    code = network.code_for_terminal(address)
    try:
        code.encode(sys.stdout.encoding or "ascii")
    except UnicodeEncodeError:
        code = ""  # this terminal has no blocks to draw it with
    return (
        f"\n  Phones and computers in the same network can open {address}{also}\n"
        "  No password, no encryption: share in a network that you trust, and stop with Ctrl+C after the class.\n"
        f"\n{code}"
    )


def server_arguments(port: int, no_browser: bool = False, host: str = "") -> list[str]:
    """What the server is told: the app's entry, and the settings that the source tree keeps in .streamlit.

    host: the address that others open, where the server answers more than this computer
    """
    flags = [*_flags(_settings()), f"--server.port={port}"]
    if host:  # the last of two flags of one name holds, and of a list all
        flags += [f"--server.address={EVERY_ADDRESS}", f"--browser.serverAddress={host}"]
        flags += [f"--server.allowedHosts={known}" for known in dict.fromkeys((host, *network.addresses()))]
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
