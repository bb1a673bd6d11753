"""Sockets that stay silent, or say half a sentence, cost the others nothing; a stop lets the request at work finish."""

import http.client
import os
import signal
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent.parent.parent
# The site's own server around an application that needs no database.
SERVER = """
import os, sys, time
import django; django.setup()
from shop.serving.pages import Pages
def answer(environ, start):
    if environ["PATH_INFO"] == "/slow":
        open(os.environ["SHOP_DATA"] + "/at-work", "w").close()
        time.sleep(2)
    body = str(len(environ["wsgi.input"].read())).encode()
    start("200 OK", [("Content-Length", str(len(body)))])
    return [body]
Pages.load = lambda self: answer
Pages(sys.argv[1], 1, 2).run()
"""
SILENT = 200


def free_port() -> int:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        return int(taken.getsockname()[1])


@pytest.fixture
def server(tmp_path: Path) -> Iterator[tuple[subprocess.Popen[bytes], int]]:
    port = free_port()
    chosen = {**os.environ, "SHOP_DATA": str(tmp_path), "SHOP_LOCAL": "1", "DJANGO_SETTINGS_MODULE": "shop.settings"}
    process = subprocess.Popen([sys.executable, "-c", SERVER, f"127.0.0.1:{port}"], cwd=ROOT, env=chosen)
    for _ in range(600):
        try:
            ask(port)
            break
        except OSError:
            time.sleep(0.1)
    yield process, port
    process.kill()
    process.wait()


def ask(port: int, address: str = "/", body: bytes | None = None) -> bytes:
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=30)
    connection.request("POST" if body else "GET", address, body=body, headers={"Cookie": "sessionid=x"})
    answer = connection.getresponse().read()
    connection.close()
    return answer


def test_two_hundred_silent_sockets_keep_nobody_waiting(server: tuple[subprocess.Popen[bytes], int]) -> None:
    """A worker that lends a silent socket one of its two threads for five seconds answers long after `ask` gave up."""
    _, port = server
    held = [socket.create_connection(("127.0.0.1", port)) for _ in range(SILENT)]
    try:
        for half in held[::2]:
            half.sendall(b"POST /people/sign-in/ HTTP/1.1\r\nHost: w\r\nContent-Length: 100\r\n\r\nusername=")
        assert {ask(port) for _ in range(15)} == {b"0"}
    finally:
        for each in held:
            each.close()


def test_a_body_arrives_whole_however_large_and_however_slowly(server: tuple[subprocess.Popen[bytes], int]) -> None:
    _, port = server
    assert ask(port, body=b"x" * 1000) == b"1000"
    assert ask(port, body=b"x" * 3_000_000) == b"3000000"
    with socket.create_connection(("127.0.0.1", port)) as slow:
        for piece in (b"POST / HT", b"TP/1.1\r\nHost: w\r\nContent-Le", b"ngth: 4\r\n\r", b"\nab", b"cd"):
            slow.sendall(piece)
            time.sleep(0.05)
        assert slow.recv(1000).startswith(b"HTTP/1.1 200")


def test_one_connection_carries_several_requests(server: tuple[subprocess.Popen[bytes], int]) -> None:
    _, port = server
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=30)
    for body in (None, b"abc", b"y" * 70_000, None):
        connection.request("POST" if body else "GET", "/", body=body, headers={"Cookie": "sessionid=x"})
        assert connection.getresponse().read() == str(len(body or b"")).encode()
    connection.close()


def test_a_stop_lets_the_request_at_work_finish(server: tuple[subprocess.Popen[bytes], int], tmp_path: Path) -> None:
    process, port = server
    idle = socket.create_connection(("127.0.0.1", port))
    answers: list[bytes] = []
    at_work = threading.Thread(target=lambda: answers.append(ask(port, "/slow")))
    at_work.start()
    for _ in range(600):
        if (tmp_path / "at-work").exists():
            break
        time.sleep(0.05)
    process.send_signal(signal.SIGTERM)
    at_work.join(30)
    assert answers == [b"0"]
    # A socket that said nothing does not hold up the stop, for which gunicorn would wait half a minute.
    assert process.wait(20) == 0
    idle.close()
