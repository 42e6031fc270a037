"""`cuffbias app`: this computer only, or a network that it is told to share with."""

import importlib
import socket

import pytest
from streamlit import net_util
from streamlit.web.server import server_util

from sim.commands import app, network
from sim.screens import no_lookup
from sim.screens.engine import ENGINE


def last(flags, name):
    """The value that holds where a flag is given more than once: the last one."""
    return [flag.partition("=")[2] for flag in flags if flag.startswith(f"--{name}=")][-1:]


def names(flags):
    """The addresses and names under which pages get a connection."""
    return [flag.partition("=")[2] for flag in flags if flag.startswith("--server.allowedHosts=")]


@pytest.fixture
def served(monkeypatch):
    """What the server would be told; nothing is served, and no process begun."""
    from streamlit.web import cli

    told = []
    monkeypatch.setattr(ENGINE, "begin", lambda count: told.append(f"processes={count}"))
    monkeypatch.setattr(cli, "main", lambda args, **_: told.extend(args))
    return told


def test_without_share_only_this_computer_is_served_and_nothing_is_printed(run, served):
    assert run("app") == (0, "", "")
    assert last(served, "server.address") == ["127.0.0.1"]
    assert last(served, "browser.serverAddress") == []
    assert names(served) == ["127.0.0.1", "localhost"]
    assert not [flag for flag in served if flag.startswith("processes=")]
    assert last(served, "browser.gatherUsageStats") == last(served, "server.enableAgentApi") == ["false"]


def test_share_listens_everywhere_and_prints_address_and_code(run, served, monkeypatch):
    monkeypatch.setattr(network, "addresses", lambda: ["192.168.0.20", "10.1.2.3"])
    status, out, err = run("app", "--share", "--port", 8765)
    assert (status, err) == (0, "")
    assert last(served, "server.address") == ["0.0.0.0"]
    assert last(served, "browser.serverAddress") == ["192.168.0.20"]
    assert names(served) == ["127.0.0.1", "localhost", "192.168.0.20", "10.1.2.3"]
    assert last(served, "server.enableXsrfProtection") == last(served, "server.enableCORS") == ["true"]
    assert int(served[0].removeprefix("processes=")) >= 1  # the engine works beside the pages
    assert "http://192.168.0.20:8765" in out
    assert "http://10.1.2.3:8765" in out
    assert "No password, no encryption" in out
    assert network.code_for_terminal("http://192.168.0.20:8765") in out


def test_an_address_that_is_named_is_the_one_that_is_shared(run, served):
    status, out, _ = run("app", "--share", "--host", "teacher.school.example")
    assert status == 0
    assert last(served, "browser.serverAddress") == ["teacher.school.example"]
    assert "teacher.school.example" in names(served)
    assert "http://teacher.school.example:8501" in out


def test_without_a_network_one_line_says_so_and_only_this_computer_is_served(run, served, monkeypatch):
    monkeypatch.setattr(network, "addresses", list)
    status, out, _ = run("app", "--share")
    assert (status, out) == (0, f"{app.NOTHING_FOUND}\n")
    assert not [flag for flag in served if flag.startswith("processes=")]
    assert last(served, "server.address") == ["127.0.0.1"]


@pytest.mark.parametrize(
    "host", ["300.1.1.1", "1.2.3", "1.2.3.4:80", "http://a", "a b", "", "-a", "fe80::1", "x" * 300, "a/b", "1.2.3.04"]
)
def test_a_host_that_is_none_is_refused(run, served, host):
    status, out, err = run("app", "--share", f"--host={host}")
    assert (status, out, served) == (2, "", [])
    assert err.startswith("cuffbias: --host")
    assert err.count("\n") == 1


def test_a_host_without_share_is_refused(run, served):
    status, _, err = run("app", "--host", "192.168.0.20")
    assert (status, served) == (2, [])
    assert err == "cuffbias: --host 192.168.0.20: only together with --share\n"


def test_finding_the_addresses_sends_nothing_and_leaves_out_this_computers_own(monkeypatch):
    asked = []

    class Asked(socket.socket):
        def connect(self, destination):
            assert self.type == socket.SOCK_DGRAM  # connecting such a socket sends nothing
            asked.append(destination[0])

        def getsockname(self):
            answers = {"198.51.100.1": "192.168.7.2", "192.168.0.1": "127.0.0.1", "10.0.0.1": "169.254.3.4"}
            return answers.get(asked[-1], "192.168.7.2"), 1

        def send(self, *_):
            raise AssertionError

        sendto = sendall = send

    monkeypatch.setattr("sim.commands.network.socket.socket", Asked)
    assert network.addresses() == ["192.168.7.2"]
    assert len(asked) == 4


def test_a_network_that_cannot_be_reached_gives_no_address(monkeypatch):
    class Asked(socket.socket):
        def connect(self, destination):
            raise OSError("network is unreachable")

    monkeypatch.setattr("sim.commands.network.socket.socket", Asked)
    assert network.addresses() == []


def test_the_server_asks_nobody_outside_for_this_computers_address(monkeypatch):
    asked = []

    def ask(*where, **_):
        asked.append(where[0])
        raise OSError("no network")

    monkeypatch.setattr(socket, "getaddrinfo", ask)
    for name in ("get_external_ip", "get_internal_ip"):  # so that they are as before after this test
        monkeypatch.setattr(net_util, name, getattr(net_util, name))
    importlib.reload(net_util)  # another test may have opened a page in this process
    assert not server_util.is_url_from_allowed_origins("http://elsewhere.example")
    assert asked  # what there is to forbid
    asked.clear()
    no_lookup.forbid()
    assert not server_util.is_url_from_allowed_origins("http://elsewhere.example")
    assert not asked


def test_the_help_says_what_sharing_exposes(run):
    _, out, _ = run("app", "--help")
    words = " ".join(out.split())
    for part in ("--share", "--host", "all addresses of this computer", "without a password", "without encryption"):
        assert part in words
