"""The hash that is reckoned while a clip still comes in."""

import hashlib
import os
from uuid import uuid4

import pytest

from portal.intake.tus import running


def sha256(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


@pytest.fixture
def path(tmp_path):
    return tmp_path / "clip.part"


@pytest.mark.parametrize("pieces", [[3_000_000], [1, 2_500_000, 7], [5] * 40])
def test_it_is_that_of_the_whole_file(path, pieces):
    key, whole = uuid4(), b""
    for size in pieces:
        whole += os.urandom(size)
        path.write_bytes(whole)
        running.go_on(key, path)
    with path.open("rb") as file:
        assert running.sha256_of(key, file) == sha256(whole)


def test_without_a_beginning_the_file_is_read(path):
    path.write_bytes(b"swing" * 1000)
    with path.open("rb") as file:
        assert running.sha256_of(uuid4(), file) == sha256(b"swing" * 1000)


def test_a_file_that_is_gone_harms_nothing(path):
    key = uuid4()
    running.go_on(key, path)
    path.write_bytes(b"swing")
    with path.open("rb") as file:
        assert running.sha256_of(key, file) == sha256(b"swing")


def test_what_is_forgotten_begins_anew(path):
    key = uuid4()
    path.write_bytes(b"of another clip")
    running.go_on(key, path)
    running.forget(key)
    path.write_bytes(b"swing")
    with path.open("rb") as file:
        assert running.sha256_of(key, file) == sha256(b"swing")


def test_no_more_are_known_than_may_be(path):
    path.write_bytes(b"swing")
    for _ in range(2 * running.MOST):
        running.go_on(uuid4(), path)
    assert len(running._known) <= running.MOST
