import socket

import pytest

from leafgill.web.hosts import address, is_loopback, names_of, reaches_out


@pytest.mark.parametrize(
    "host", ["127.0.0.1", "127.8.9.1", "::1", "[::1]", "localhost", "LocalHost", "::ffff:127.0.0.1"]
)
def test_what_means_this_machine_alone(host):
    assert is_loopback(host)
    assert not reaches_out(host)


@pytest.mark.parametrize(
    "host",
    ["0.0.0.0", "::", "192.168.1.20", "10.0.0.1", "fe80::1", "den", "localhost.example.org", ""],
)
def test_what_reaches_other_machines(host):
    assert reaches_out(host)


def test_an_address_is_told_from_a_name():
    assert str(address("[fe80::1%eth0]")) == "fe80::1"
    assert address("192.168.1.20.example.org") is None
    assert address("den.local") is None


def test_only_loopbacks_names_lead_to_a_server_of_this_machine_alone():
    assert names_of("127.0.0.1") == ["localhost", "127.0.0.1", "[::1]", "::1"]


def test_the_machines_names_lead_to_one_that_reaches_out(monkeypatch):
    monkeypatch.setattr(socket, "gethostname", lambda: "Den.example.org")
    names = names_of("0.0.0.0", "tank.example.org, .home.arpa bad|name")
    assert {"den", "den.local", "tank.example.org", ".home.arpa"} <= set(names)
    assert "0.0.0.0" not in names
    assert not [name for name in names if "|" in name]
    assert "192.168.1.20" in names_of("192.168.1.20")
    assert "[fd00::1]" in names_of("fd00::1")
