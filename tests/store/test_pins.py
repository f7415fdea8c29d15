import re
import threading
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack
from dataclasses import replace

import pytest
from argon2 import PasswordHasher, extract_parameters

from tests.people import PIN, some_keys
from walkaround.store import pins
from walkaround.store.pins import TooBusy


def ours():
    return extract_parameters(pins.hash_pin(some_keys(), PIN))


def test_a_pin_fits_its_own_hash_alone():
    pin_hash = pins.hash_pin(some_keys(), PIN)

    assert pins.matches(some_keys(), pin_hash, PIN)
    assert not pins.matches(some_keys(), pin_hash, "48215938")
    assert not pins.matches(some_keys(), pin_hash, "")


def test_the_same_pin_twice_is_kept_in_two_ways():
    assert pins.hash_pin(some_keys(), PIN) != pins.hash_pin(some_keys(), PIN)


def test_a_pin_is_worth_nothing_under_another_key():
    pin_hash = pins.hash_pin(some_keys(), PIN)
    thief = replace(some_keys(), pin_key=b"q" * 32)

    assert not pins.matches(thief, pin_hash, PIN)


def test_the_parameters_reach_what_owasp_asks_for():
    # OWASP Password Storage sheet: argon2id, at least 19 MiB, 2 passes, 1 lane.
    kind, memory, passes, lanes = re.match(
        r"\$(\w+)\$v=19\$m=(\d+),t=(\d+),p=(\d+)\$", pins.hash_pin(some_keys(), PIN)
    ).groups()

    assert kind == "argon2id"
    assert (int(memory) >= 19 * 1024, int(passes) >= 2, int(lanes)) == (True, True, 1)


def test_a_hash_made_with_less_is_outgrown():
    weak = PasswordHasher(time_cost=1, memory_cost=1024, parallelism=1).hash("x")

    assert pins.outgrown(weak)
    assert not pins.outgrown(pins.hash_pin(some_keys(), PIN))


def test_nobodys_pin_takes_the_same_work_and_is_wrong(monkeypatch):
    verified = []

    class Noting(PasswordHasher):
        def verify(self, kept, given):
            verified.append(kept)
            return super().verify(kept, given)

    monkeypatch.setattr(pins, "HASHER", Noting.from_parameters(ours()))

    assert not pins.matches(some_keys(), None, PIN)
    assert [extract_parameters(kept) for kept in verified] == [ours()]


@pytest.mark.parametrize("spoilt", ["", "plain", "$argon2id$v=19$m=19456,t=2,p=1$x"])
def test_a_spoilt_hash_fits_nothing(spoilt):
    assert not pins.matches(some_keys(), spoilt, PIN)


@pytest.mark.parametrize("pin", ["\x00", "\ud800", "é" * 10_000])
def test_foreign_text_is_a_wrong_pin_and_no_accident(pin):
    assert not pins.matches(some_keys(), pins.hash_pin(some_keys(), PIN), pin)


def test_only_a_few_pins_are_hashed_at_once():
    inside, most, lock = 0, 0, threading.Lock()

    def hold(_):
        nonlocal inside, most
        with pins.turn():
            with lock:
                inside += 1
                most = max(most, inside)
            pins.hash_pin(some_keys(), PIN)
            with lock:
                inside -= 1

    with ThreadPoolExecutor(20) as threads:
        list(threads.map(hold, range(40)))

    assert most <= pins.AT_ONCE


def test_who_finds_no_place_is_told_to_come_again():
    with ExitStack() as taken:
        for _ in range(pins.AT_ONCE):
            taken.enter_context(pins.turn())

        with pytest.raises(TooBusy, match="Try again in a few seconds") as caught, pins.turn(0.01):
            pass

    assert caught.value.retry_after == 5


def test_a_place_comes_free_again_after_an_accident():
    for _ in range(pins.AT_ONCE + 1):
        with pytest.raises(ZeroDivisionError), pins.turn(0.01):
            raise ZeroDivisionError
