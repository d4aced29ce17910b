"""A station that joins a served shop as stations do, and pushes over a socket."""

import gzip
import http.client
import json
import re
from contextlib import closing
from typing import Any

from shop_events import Writer

from tests.server_process import ServerProcess

BATCH = 500


class JoinedStation:
    """Its chain is in `writer`."""

    def __init__(self, server: ServerProcess) -> None:
        self._port = server.port
        said = server.run("enrol", "--data", str(server.data_dir), "--name", "Bench", "--role", "bench").stdout
        code = re.search(r"/#/join/(\S+)", said)
        assert code is not None, said
        with self.connected() as connection:
            joined, cookie = _ask(connection, "/api/join", json.dumps({"code": code[1]}).encode(), {})
        self._headers = {"Cookie": cookie.partition(";")[0], "Content-Encoding": "gzip"}
        self.writer = Writer(joined["station"], joined["incarnation"])

    def connected(self) -> closing[http.client.HTTPConnection]:
        """A connection for some pushes; the server closes one that is idle."""
        return closing(http.client.HTTPConnection("127.0.0.1", self._port))

    def body(self, first: int, last: int) -> bytes:
        """A batch of what is in `writer`."""
        return gzip.compress(self.writer.body(first, last), 6)

    def push(self, connection: http.client.HTTPConnection, body: bytes) -> None:
        answer, _ = _ask(connection, "/api/sync/push", body, self._headers)
        assert not answer["malformed"], answer

    def push_all(self) -> None:
        """All that is in `writer`."""
        with self.connected() as connection:
            for first in range(1, len(self.writer.lines) + 1, BATCH):
                self.push(connection, self.body(first, min(first + BATCH - 1, len(self.writer.lines))))


def _ask(
    connection: http.client.HTTPConnection, path: str, body: bytes, headers: dict[str, str]
) -> tuple[dict[str, Any], str]:
    """The answer and its cookie."""
    connection.request("POST", path, body, headers)
    answer = connection.getresponse()
    text = answer.read()
    assert answer.status == 200, text
    return json.loads(text), answer.getheader("Set-Cookie", "")
