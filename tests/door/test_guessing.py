"""Guessing slowed: how long somebody who only guesses has to wait, and that nobody else has to wait long."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from tests import examples
from webapp.door.guessing import (
    FORGOTTEN,
    FREE,
    FREE_IN_ALL,
    IN_ALL,
    LONGEST,
    LONGEST_IN_ALL,
    MOST_PEERS,
    Tries,
    key_of,
)

PEER = "192.0.2.66"


def guess_until(seconds: int, peer: str = PEER) -> int:
    """How many wrong tries are looked at in so many seconds, of one who tries each second."""
    tries, looked_at = Tries(), 0
    for now in range(1, seconds + 1):
        if not tries.wait(peer, now):
            tries, looked_at = tries.begun(peer, now), looked_at + 1
    return looked_at


def test_a_slip_costs_nothing_and_the_next_ones_double() -> None:
    tries, waits = Tries(), []
    for _ in range(9):
        tries = tries.begun(PEER, 100)
        waits.append(tries.wait(PEER, 100))
    assert waits == [0, 0, 0, 0, 2, 4, 8, 16, 32]
    assert tries.wait(PEER, 131) == 1
    assert tries.wait(PEER, 132) == 0


def test_a_day_of_guessing_is_a_hundred_tries() -> None:
    """Five are free, in seconds 1 to 5. 2 + 4 + ... + 512 = 1022 s for the next nine, so that the 14th is looked at in
    second 1027; then one in 900 s: (86400 - 1027) / 900 = 94.9. 14 + 94 = 108.
    """
    assert guess_until(86_400) == 108


def test_another_peer_is_free_while_one_guesses() -> None:
    tries = Tries()
    for _ in range(FREE + 3):
        tries = tries.begun(PEER, 100)
    assert tries.wait("192.0.2.9", 100) == 0
    assert tries.wait(PEER, 100) > 0


def test_many_peers_together_are_slowed_and_never_shut_everybody_out_for_long() -> None:
    tries = Tries()
    for number in range(FREE_IN_ALL + 40):
        tries = tries.begun(f"192.0.2.{number}", 100)
    assert tries.wait("198.51.100.1", 100) == LONGEST_IN_ALL


def test_a_quiet_hour_forgets() -> None:
    tries = Tries()
    for _ in range(20):
        tries = tries.begun(PEER, 100)
    assert tries.wait(PEER, 100) == LONGEST
    assert tries.wait(PEER, 100 + FORGOTTEN) == 0
    assert tries.begun(PEER, 100 + FORGOTTEN).wait(PEER, 100 + FORGOTTEN) == 0


def test_who_was_right_is_not_slowed_and_is_no_wrong_try_of_all() -> None:
    tries = Tries()
    for now in range(200):
        assert tries.wait(PEER, now) == 0
        tries = tries.begun(PEER, now).right(PEER)
    assert tries.in_all.wrong == 0


def test_all_addresses_of_one_network_of_ipv6_are_one_peer() -> None:
    assert key_of("2001:db8:1:2::1") == key_of("2001:db8:1:2:ffff:ffff:ffff:ffff") != key_of("2001:db8:1:3::1")
    assert key_of("::ffff:192.0.2.9") == key_of("192.0.2.9") != key_of("192.0.2.8")


@given(st.lists(st.tuples(st.integers(0, 3), st.integers(0, 400), st.booleans()), max_size=60))
def test_a_wait_is_bounded_passes_and_is_kept(steps: list[tuple[int, int, bool]]) -> None:
    tries, now = Tries(), 0
    for number, seconds, right in steps:
        peer, now = f"192.0.2.{number}", now + seconds
        wait = tries.wait(peer, now)
        assert 0 <= wait <= LONGEST
        assert tries.wait(peer, now + wait) == 0
        if wait > 1:
            assert tries.wait(peer, now + wait - 1) == 1
        if not wait:
            tries = tries.begun(peer, now)
            tries = tries.right(peer) if right else tries


def test_peers_without_end_take_no_memory_without_end() -> None:
    tries = Tries()
    for number in range(MOST_PEERS + 50 * examples.of(3)):
        tries = tries.begun(f"10.0.{number // 256}.{number % 256}", 1)
    assert len(tries.peers) == MOST_PEERS


def test_a_clock_that_was_set_back_keeps_nobody_waiting_for_long() -> None:
    tries = Tries()
    for _ in range(20):
        tries = tries.begun(PEER, 10_000_000)
    assert tries.wait(PEER, 10_000_000 - 60) == LONGEST + 60
    assert tries.wait(PEER, 10_000_000 - LONGEST - 1) == 0
    assert tries.begun(PEER, 1_000).peers[PEER].wrong == 1


def test_a_peer_that_says_nothing_of_itself_is_one_like_any() -> None:
    assert key_of("") != IN_ALL
