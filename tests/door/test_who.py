"""Who is asking, decided from what a connection and a request say."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from webapp.door.who import (
    Visitor,
    cookie_in,
    cookie_name,
    is_at_machine,
    is_made_by,
    said_by,
    set_cookie,
)

LOOPBACK_PEERS = ("127.0.0.1", "127.0.0.2", "127.255.255.254", "::1", "::ffff:127.0.0.1")  # RFC 1122, RFC 4291
LOOPBACK_HOSTS = ("127.0.0.1", "localhost", "LOCALHOST", "[::1]")
OTHERS = ("192.0.2.9", "10.0.0.1", "0.0.0.0", "::", "fe80::1%eth0", "::ffff:192.0.2.9", "2001:db8::1")  # noqa: S104


@pytest.mark.parametrize("peer", LOOPBACK_PEERS)
@pytest.mark.parametrize("host", LOOPBACK_HOSTS)
def test_from_this_machine_for_this_machine_is_the_person_at_it(peer: str, host: str) -> None:
    assert is_at_machine(peer, host)


@pytest.mark.parametrize("peer", [*OTHERS, "", None, "testclient", "localhost", "127.0.0.1.evil.example"])
@pytest.mark.parametrize("host", LOOPBACK_HOSTS)
def test_a_loopback_name_from_elsewhere_is_not(peer: str | None, host: str) -> None:
    assert not is_at_machine(peer, host)


@pytest.mark.parametrize("peer", LOOPBACK_PEERS)
@pytest.mark.parametrize("host", [*OTHERS, "", "evil.example", "localhost.", "localhost.evil.example", "127.1", "[::1"])
def test_another_name_from_this_machine_is_not(peer: str, host: str) -> None:
    assert not is_at_machine(peer, host)


@given(st.ip_addresses())
def test_an_address_is_the_machine_only_where_the_standards_say_loopback(address: object) -> None:
    text = str(address)
    expected = text == "::1" or text.startswith(("127.", "::ffff:127.", "::ffff:7f"))
    assert is_at_machine(text, "localhost") == expected


def test_the_cookie_is_as_strict_as_the_connection_allows() -> None:
    """RFC 6265bis, section 4.1.3: __Host- goes with Secure, Path=/ and no Domain."""
    plain = set_cookie(cookie_name("ab12cd34", secure=False), "t", 90, secure=False)
    assert plain == "brimful-ab12cd34=t; Path=/; Max-Age=7776000; HttpOnly; SameSite=Strict"
    tls = set_cookie(cookie_name("ab12cd34", secure=True), "t", 90, secure=True)
    assert tls == "__Host-brimful-ab12cd34=t; Path=/; Max-Age=7776000; HttpOnly; SameSite=Strict; Secure"
    assert "Max-Age=0" in set_cookie("x", "", 0, secure=False)


@pytest.mark.parametrize(
    ("lines", "found"),
    [
        (["a=1; n=x"], "x"),
        (["n=x", "a=1"], "x"),
        (["n=x; n=x"], "x"),
        (["n=x; n=y"], ""),
        (["n=x", "n=y"], ""),
        (["nn=x; N=y; n"], ""),
        ([], ""),
    ],
)
def test_a_cookie_that_is_there_twice_is_none(lines: list[str], found: str) -> None:
    assert cookie_in(lines, "n") == found


@given(st.integers(1, 999_999_999), st.text(max_size=30), st.integers(1, 999_999_999), st.booleans())
def test_a_change_is_known_by_the_number_of_its_device_whatever_it_is_called(
    device: int, name: str, other: int, by_program: bool
) -> None:
    mark = ("json" if by_program else "") + Visitor(device=device, name=name).mark
    assert is_made_by(mark, device)
    assert is_made_by(mark, other) == (other == device)


@pytest.mark.parametrize("mark", ["", "json", "#", "#0 x", "x#3 y", "3"])
def test_what_no_device_made_is_no_devices(mark: str) -> None:
    assert not any(is_made_by(mark, device) for device in (0, 3))


def test_who_made_a_change_in_words() -> None:
    assert [said_by(one) for one in ("", "json", "#3 Bench tablet", "json#3 Till #2")] == [
        "",
        "by a program",
        "by Bench tablet",
        "by a program on Till #2",
    ]
