"""What has arrived of a request is judged before any thread begins on it."""

import socket

import pytest

from shop.serving import arrival
from shop.serving.arrival import AWAITED, BAD_LENGTH, NO_LENGTH, TOO_LARGE, TOO_LONG_HEAD, WHOLE, judge

COOKIE = b"sessionid"


def said(*lines: str, body: bytes = b"") -> bytes:
    return "\r\n".join(("POST /people/sign-in/ HTTP/1.1", "Host: w", *lines, "", "")).encode() + body


@pytest.mark.parametrize("half", [b"", b"G", b"GET / HTTP/1.1\r\n", b"GET / HTTP/1.1\r\nHost: w\r\n"])
def test_half_a_head_is_awaited(half: bytes) -> None:
    assert judge(half, COOKIE) == AWAITED


def test_a_head_that_never_ends_is_refused() -> None:
    assert judge(b"GET / HTTP/1.1\r\nX: " + b"x" * arrival.LONGEST_HEAD, COOKIE) == TOO_LONG_HEAD
    assert judge(said("X: " + "x" * arrival.LONGEST_HEAD), COOKIE) == TOO_LONG_HEAD


def test_a_small_body_is_awaited_whole() -> None:
    assert judge(said("Content-Length: 10", body=b"name=ama&"), COOKIE) == AWAITED
    assert judge(said("Content-Length: 10", body=b"name=ama&p"), COOKIE) == WHOLE
    assert judge(said(), COOKIE) == WHOLE


def test_a_stranger_s_hundred_megabytes_are_refused_by_their_head() -> None:
    assert judge(said("Content-Length: 104857600"), COOKIE) == TOO_LARGE


def test_who_has_a_session_sends_photographs() -> None:
    assert judge(said("Cookie: sessionid=abc", "Content-Length: 5000000"), COOKIE) == WHOLE


@pytest.mark.parametrize("lengths", [("-1",), ("ten",), ("",), ("1", "2"), ("9" * 30,)])
def test_a_length_that_is_none_is_refused(lengths: tuple[str, ...]) -> None:
    assert judge(said(*(f"Content-Length: {length}" for length in lengths)), COOKIE) == BAD_LENGTH


def test_a_body_without_a_length_is_refused() -> None:
    assert judge(said("Transfer-Encoding: chunked"), COOKIE) == NO_LENGTH


def test_who_asks_first_whether_to_send_is_answered_not_awaited() -> None:
    assert judge(said("Content-Length: 10", "Expect: 100-continue"), COOKIE) == WHOLE


def test_a_refusal_is_a_whole_answer() -> None:
    head, _, words = arrival.refusal(TOO_LARGE).partition(b"\r\n\r\n")
    assert head.startswith(b"HTTP/1.1 413 Content Too Large\r\n")
    assert f"Content-Length: {len(words)}".encode() in head


def test_no_thread_waits_for_ever_for_one_who_left(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(arrival, "LONGEST_SILENCE", 0.05)
    theirs, ours = socket.socketpair()
    patient = arrival.PatientSocket(fileno=ours.detach())
    patient.setblocking(True)
    with theirs, patient:
        with pytest.raises(TimeoutError):
            patient.recv(1)
        with pytest.raises(TimeoutError):
            patient.sendall(b"x" * 50_000_000)
