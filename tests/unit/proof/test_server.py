"""The server on its port: broken, slow and many connections stop nobody else."""

from __future__ import annotations

import asyncio
import contextlib
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

from kbgen.cli import main
from kbgen.proof import Proofs, Server
from kbgen.proof import server as module

NOTE = "content/notes/0001-winder-tyre-slips.md"


@pytest.fixture
def server(root: Path) -> Iterator[Server]:
    found = Server(Proofs(root))
    loop = asyncio.new_event_loop()
    running = loop.create_task(found.run())

    def run() -> None:
        with contextlib.suppress(asyncio.CancelledError):
            loop.run_until_complete(running)

    thread = threading.Thread(target=run)
    thread.start()
    yield found
    loop.call_soon_threadsafe(running.cancel)
    thread.join(10)
    assert not thread.is_alive()
    loop.run_until_complete(loop.shutdown_default_executor())
    left = asyncio.all_tasks(loop)
    loop.run_until_complete(asyncio.wait(left)) if left else None
    loop.close()


def get(server: Server, target: str = "/n/0001.html", method: str = "GET") -> tuple[int, bytes]:
    connection = http.client.HTTPConnection("127.0.0.1", server.port, timeout=10)
    try:
        connection.request(method, target)
        answer = connection.getresponse()
        return answer.status, answer.read()
    finally:
        connection.close()


def raw(server: Server, data: bytes, wait_s: float = 5.0) -> bytes:
    """Send bytes, and return what comes back until the other side ends."""
    with socket.create_connection(("127.0.0.1", server.port), timeout=wait_s) as connection:
        connection.sendall(data)
        found = b""
        with contextlib.suppress(TimeoutError, ConnectionError):
            while chunk := connection.recv(65_536):
                found += chunk
        return found


def test_a_page_over_http(server: Server) -> None:
    status, body = get(server)
    assert status == 200
    assert b"Bobbin winder tyre slips" in body
    assert get(server, "/n/0001.html", "HEAD") == (200, b"")
    assert get(server, "/n/9999.html")[0] == 404
    assert get(server, "/n/0001.html", "POST")[0] == 405


def test_one_connection_for_several_requests(server: Server) -> None:
    connection = http.client.HTTPConnection("127.0.0.1", server.port, timeout=10)
    for target in ("/", "/icon.svg", "/n/0001.html", "/nothing"):
        connection.request("GET", target)
        answer = connection.getresponse()
        assert answer.read()
        assert answer.version == 11
    connection.close()


def test_only_this_machine_is_answered(server: Server) -> None:
    assert server.address.startswith("http://127.0.0.1:")
    assert module.LOOPBACK == "127.0.0.1"
    named = f"GET / HTTP/1.1\r\nHost: evil.example:{server.port}\r\nConnection: close\r\n\r\n"
    assert raw(server, named.encode()).startswith(b"HTTP/1.1 421 ")
    twice = (
        f"GET / HTTP/1.1\r\nHost: 127.0.0.1:{server.port}\r\nHost: evil.example\r\n"
        "Connection: close\r\n\r\n"
    )
    assert raw(server, twice.encode()).startswith((b"HTTP/1.1 400 ", b"HTTP/1.1 421 "))


@pytest.mark.parametrize(
    "data",
    [
        pytest.param(b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03", id="another protocol"),
        pytest.param(b"GET / HTTP/1.1\r\n\r\n", id="no host"),
        pytest.param(b"GET /\x00 HTTP/1.1\r\nHost: x\r\n\r\n", id="zero byte"),
        pytest.param(b"GET / HTTP/1.1\r\nHost : x\r\n\r\n", id="blank before the colon"),
        pytest.param(b"GET / HTTP/1.1\r\nA: " + b"x" * 40_000, id="a header without end"),
        pytest.param(b"A" * 40_000, id="a line without end"),
        pytest.param(b"\r\n" * 5_000 + b"x y\r\n\r\n", id="nothing but line ends"),
    ],
)
def test_what_is_no_request_is_refused(server: Server, data: bytes) -> None:
    found = raw(server, data)
    assert found == b"" or found.startswith((b"HTTP/1.1 400 ", b"HTTP/1.1 431 "))
    assert get(server)[0] == 200


def test_a_body_is_not_waited_for(server: Server) -> None:
    head = f"POST / HTTP/1.1\r\nHost: 127.0.0.1:{server.port}\r\nContent-Length: 1000000\r\n\r\n"
    began = time.monotonic()
    assert raw(server, head.encode()).startswith(b"HTTP/1.1 405 ")
    assert time.monotonic() - began < 4


def test_who_says_nothing_is_let_go(server: Server, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "_HEAD_S", 0.2)
    began = time.monotonic()
    for half in (b"", b"GET / HT", b"GET / HTTP/1.1\r\nHost: 127"):
        assert raw(server, half) == b""
    assert time.monotonic() - began < 4


def test_who_does_not_read_is_let_go(server: Server, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "_ANSWER_S", 0.3)
    asked = f"GET /fonts/sofia-sans.woff2 HTTP/1.1\r\nHost: 127.0.0.1:{server.port}\r\n\r\n"
    with socket.socket() as deaf:
        deaf.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, 1)
        deaf.connect(("127.0.0.1", server.port))
        with contextlib.suppress(ConnectionError, TimeoutError):
            deaf.settimeout(2)
            for _ in range(400):
                deaf.sendall(asked.encode())
        assert get(server)[0] == 200
        until = time.monotonic() + 10
        while server._open and time.monotonic() < until:
            time.sleep(0.05)
        assert not server._open


def test_who_goes_early_is_not_missed(server: Server, capfd: pytest.CaptureFixture[str]) -> None:
    asked = f"GET / HTTP/1.1\r\nHost: 127.0.0.1:{server.port}\r\n\r\n".encode()
    for _ in range(20):
        with socket.create_connection(("127.0.0.1", server.port)) as connection:
            linger = b"\x01\x00\x00\x00\x00\x00\x00\x00"  # closed by a reset, not in good order
            connection.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, linger)
            connection.sendall(asked)
    assert get(server)[0] == 200
    assert capfd.readouterr().err == ""


def test_a_thousand_idle_connections_stop_nobody(server: Server) -> None:
    idle = []
    try:
        for number in range(1_000):
            connection = socket.create_connection(("127.0.0.1", server.port), timeout=5)
            if number % 2:
                connection.sendall(b"GET / HTT")
            idle.append(connection)
            if number % 250 == 249:
                began = time.monotonic()
                assert get(server)[0] == 200
                assert time.monotonic() - began < 5
        assert len(server._open) <= module._CONNECTIONS
    finally:
        for connection in idle:
            connection.close()
    assert get(server)[0] == 200


def test_every_save_is_told(server: Server, root: Path) -> None:
    connection = http.client.HTTPConnection("127.0.0.1", server.port, timeout=10)
    connection.request("GET", "/_proof/events")
    answer = connection.getresponse()
    assert answer.getheader("content-type") == "text/event-stream"
    assert answer.readline() == b"data: 1\n"
    assert answer.readline() == b"\n"
    path = root / NOTE
    path.write_text(path.read_text(encoding="utf-8") + "\nMore.\n", encoding="utf-8")
    assert answer.readline() == b"data: 2\n"
    connection.close()
    assert b"More." in get(server)[1]


def test_a_port_that_is_taken_is_said(
    server: Server, root: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["proof", "--tree", str(root), "--port", str(server.port)]) == 2
    assert f"port {server.port} cannot be had" in capsys.readouterr().err
    for wrong in ("0", "65536", "x", "-1", "½"):
        assert main(["proof", "--tree", str(root), "--port", wrong]) == 2


def test_it_is_ended_from_the_keyboard(root: Path) -> None:
    running = subprocess.Popen(
        [sys.executable, "-m", "kbgen", "proof", "--tree", str(root)],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        env=os.environ | {"PYTHONUNBUFFERED": "1"},
    )
    assert running.stdout
    assert f"The proof of {root} is at http://127.0.0.1:" in running.stdout.readline()
    running.stdout.readline()
    assert running.stdout.readline() == "Read: nothing was found.\n"
    running.send_signal(signal.SIGINT)
    out, err = running.communicate(timeout=20)
    assert (running.returncode, err) == (0, "")
    assert out.endswith("The proof has ended.\n")
    assert sorted(path.name for path in root.iterdir()) == ["content"]
