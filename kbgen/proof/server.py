"""HTTP on this machine alone: many slow or broken connections, none of which stops the rest.

One loop serves all connections; h11 reads the requests. Each connection has a time for
its request and for its answer, and where there are too many the one that has been idle
longest is closed.
"""

from __future__ import annotations

import asyncio
import contextlib
import socket
import sys
import threading
import traceback
from collections.abc import Callable

import h11

from kbgen.proof.answers import EVENTS, Answer, Asked, answer, said
from kbgen.proof.proofs import Proofs

__all__ = ["Server"]

LOOPBACK = "127.0.0.1"

_CONNECTIONS = 100
_HEAD_S = 10.0
"""So long may a connection take for the head of a request, or stay idle."""
_ANSWER_S = 30.0
"""So long may a connection take to read an answer."""
_BEAT_S = 15.0
_HEAD_BYTES = 16_384


class Server:
    """The proofs of one tree on one port of this machine."""

    def __init__(
        self, proofs: Proofs, port: int = 0, told: Callable[[], None] = lambda: None
    ) -> None:
        """Take the port, a free one for 0.

        Shape: ``told`` is called after every reading of the tree, by the thread that read.
        Raises: OSError where the port is taken.
        """
        self._proofs = proofs
        self._told = told
        self._socket = socket.create_server((LOOPBACK, port), backlog=1024)
        self.port: int = self._socket.getsockname()[1]
        self._hosts = frozenset(f"{name}:{self.port}" for name in (LOOPBACK, "localhost"))
        self._open: dict[asyncio.Task[None], None] = {}
        self._saved = asyncio.Condition()

    @property
    def address(self) -> str:
        """Where a browser finds the home page."""
        return f"http://{LOOPBACK}:{self.port}/"

    async def run(self) -> None:
        """Serve until cancelled; everything that was opened is closed then."""
        ended = threading.Event()
        loop = asyncio.get_running_loop()
        tellings: set[asyncio.Task[None]] = set()

        def tell() -> None:
            task = loop.create_task(self._tell())
            tellings.add(task)
            task.add_done_callback(tellings.discard)

        def told() -> None:
            self._told()
            with contextlib.suppress(RuntimeError):  # the loop has ended in the meantime
                loop.call_soon_threadsafe(tell)

        # It begins to serve only below: whoever cancels this before has to find it closed as well.
        server = await asyncio.start_server(self._connected, sock=self._socket, start_serving=False)
        threading.Thread(target=self._proofs.follow, args=(ended.is_set, told), daemon=True).start()
        try:
            await server.serve_forever()
        finally:
            ended.set()
            server.close()
            for task in list(self._open):
                task.cancel()

    async def _tell(self) -> None:
        async with self._saved:
            self._saved.notify_all()

    async def _connected(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        """Hold one connection from its first byte to its last."""
        task = asyncio.current_task()
        assert task is not None
        while len(self._open) >= _CONNECTIONS:
            longest_idle = next(iter(self._open))
            del self._open[longest_idle]
            longest_idle.cancel()
        self._open[task] = None
        writer.transport.set_write_buffer_limits(high=0)  # drained is: all of it is sent
        try:
            await self._speak(task, reader, writer)
        except (OSError, TimeoutError, h11.ProtocolError, asyncio.CancelledError):
            writer.transport.abort()  # whoever it was has gone, or has to go
        finally:
            self._open.pop(task, None)
            writer.close()

    async def _speak(
        self, task: asyncio.Task[None], reader: asyncio.StreamReader, writer: asyncio.StreamWriter
    ) -> None:
        """Answer the requests of one connection until one side ends it."""
        connection = h11.Connection(h11.SERVER, max_incomplete_event_size=_HEAD_BYTES)
        while True:
            try:
                async with asyncio.timeout(_HEAD_S):
                    asked = await _asked(connection, reader)
            except h11.RemoteProtocolError as wrong:
                refused = said(wrong.error_status_hint, "This is no request.")
                await _send(connection, writer, refused, head=False)
                return
            if asked is None:
                return
            self._in_use(task)
            await self._wait_for(1)
            found = await asyncio.to_thread(self._answer, asked)
            if found.status == 200 and asked.target == EVENTS:
                await self._events(task, connection, writer, found)
                return
            await _send(connection, writer, found, head=asked.method == "HEAD")
            if connection.states != {h11.CLIENT: h11.DONE, h11.SERVER: h11.DONE}:
                return
            connection.start_next_cycle()

    def _in_use(self, task: asyncio.Task[None]) -> None:
        """Put a connection behind all that have been idle for longer."""
        if task in self._open:
            del self._open[task]
            self._open[task] = None

    async def _wait_for(self, number: int) -> None:
        """Wait until the tree was read so many times."""
        async with self._saved:
            await self._saved.wait_for(lambda: self._proofs.reading.number >= number)

    def _answer(self, asked: Asked) -> Answer:
        try:
            return answer(asked, self._proofs, self._hosts)
        except Exception:  # a fault of the program, which must not end the proof
            traceback.print_exc(file=sys.stderr)
            return said(500, "The program failed at this page; the terminal says how.")

    async def _events(
        self,
        task: asyncio.Task[None],
        connection: h11.Connection,
        writer: asyncio.StreamWriter,
        found: Answer,
    ) -> None:
        """Tell of every save, and say something now and then so that a dead end is noticed."""
        await _write(connection, writer, _head_of(found))
        number = 0
        while True:
            new = self._proofs.reading.number
            line = f"data: {new}\n\n" if new != number else ": still here\n\n"
            number = new
            await _write(connection, writer, h11.Data(line.encode()))
            self._in_use(task)
            with contextlib.suppress(TimeoutError):
                async with asyncio.timeout(_BEAT_S):
                    await self._wait_for(number + 1)


async def _asked(connection: h11.Connection, reader: asyncio.StreamReader) -> Asked | None:
    """Return the next request, None where the other side has ended.

    Raises: h11.RemoteProtocolError for what is no request.
    """
    while True:
        event = connection.next_event()
        if event is h11.NEED_DATA:
            connection.receive_data(await reader.read(_HEAD_BYTES))
        elif isinstance(event, h11.Request):
            connection.next_event()  # its end, where it has no body; a body is never read
            header: dict[str, str] = {}
            for name, value in event.headers:
                key, text = name.decode("ascii"), value.decode("latin-1")
                header[key] = f"{header[key]}, {text}" if key in header else text
            return Asked(event.method.decode("ascii"), event.target.decode("ascii"), header)
        else:
            return None


def _head_of(found: Answer) -> h11.Response:
    return h11.Response(status_code=found.status, headers=list(found.header))


async def _send(
    connection: h11.Connection, writer: asyncio.StreamWriter, found: Answer, *, head: bool
) -> None:
    """Send a whole answer, of a HEAD request the header alone."""
    length = ("content-length", str(len(found.body)))
    header = [*found.header, length]
    whole = connection.send(h11.Response(status_code=found.status, headers=header)) or b""
    if not head:
        whole += connection.send(h11.Data(found.body)) or b""
    whole += connection.send(h11.EndOfMessage()) or b""
    writer.write(whole)
    async with asyncio.timeout(_ANSWER_S):
        await writer.drain()


async def _write(
    connection: h11.Connection, writer: asyncio.StreamWriter, event: h11.Event
) -> None:
    writer.write(connection.send(event) or b"")
    async with asyncio.timeout(_ANSWER_S):
        await writer.drain()
