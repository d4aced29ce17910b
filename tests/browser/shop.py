"""The invented shop as a test sees it: its server, its label files, and what the server has stored."""

import json
import re
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from tests.server_process import DEMO, ServerProcess
from traymark.docs.keep import get_doc
from traymark.log.store import Store


@dataclass(frozen=True)
class Shop:
    """The invented shop, served, with its label files."""

    server: ServerProcess
    captions: dict[str, str]
    link: str

    def badge(self, role: str) -> bytes:
        """The badge of the first person with this role."""
        file = next(
            f for f, caption in self.captions.items() if f.startswith("badge") and caption.find(f", {role}.") > 0
        )
        return self.file(file)

    def file(self, name: str) -> bytes:
        return (self.server.data_dir / "labels" / name).read_bytes()

    def named(self, kind: str, caption: str) -> bytes:
        """The label whose caption on the sheet has these words."""
        found = [f for f, text in self.captions.items() if f.startswith(kind) and caption in text]
        assert found, (kind, caption, self.captions)
        return self.file(found[0])

    def join_link(self, name: str, role: str) -> str:
        said = self.server.run("enrol", "--data", str(self.server.data_dir), "--name", name, "--role", role).stdout
        link = re.search(r"http://\S+/#/join/\S+", said)
        assert link is not None, said
        return link[0]

    def state_hash(self) -> str:
        """The first half of the server's state hash, of the same length as stations show."""
        with self._store() as store:
            return store.state()[1][:32]

    def job(self, code: str) -> dict[str, Any]:
        """The server's record of a job."""
        with self._store() as store:
            return store.record("job", code) or {}

    def said(self, id_: str) -> str:
        """What a person wrote (F7.9), as the server keeps it."""
        with self._store() as store:
            doc = get_doc(store, id_)
        assert doc is not None and doc.body is not None, f"text {id_} is not here"
        return json.loads(doc.body)["text"]

    def customer_page(self, ticket: str) -> str:
        """What the address of a ticket shows to anybody."""
        with urllib.request.urlopen(f"{self.server.url}/T/{ticket.partition('/T/')[2]}", timeout=10) as answer:
            return answer.read().decode()

    def verify(self) -> None:
        """Stop the server; everything stored must be sound."""
        self.server.stop()
        checked = self.server.run("verify", "--data", str(self.server.data_dir))
        assert checked.returncode == 0, checked.stdout + checked.stderr

    @contextmanager
    def _store(self) -> Iterator[Store]:
        store = Store(self.server.data_dir / "traymark.sqlite", sole_writer=False)
        try:
            yield store
        finally:
            store.close()


def open_shop(data_dir: Path) -> Shop:
    """Start the demo on a folder, filled or not, and read what it printed and drew."""
    server = ServerProcess(data_dir, command=DEMO)
    server.start()
    sheet = (data_dir / "labels" / "sheet.html").read_text(encoding="utf-8")
    captions = dict(re.findall(r'src="([^"]+)".*?<figcaption>(.*?)</figcaption>', sheet, re.S))
    link = re.search(r"http://\S+/#/join/\S+", server.log())
    assert link is not None, server.log()
    return Shop(server, captions, link[0])
