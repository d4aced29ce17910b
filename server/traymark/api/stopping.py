"""A server that ends its news streams as soon as it is told to stop; waiting for them would never end."""

from types import FrameType

import uvicorn

from traymark.api.news import News


class StoppingServer(uvicorn.Server):
    """uvicorn, which otherwise waits for open streams until its grace period ends."""

    def __init__(self, config: uvicorn.Config, news: News) -> None:
        super().__init__(config)
        self._news = news

    def handle_exit(self, sig: int, frame: FrameType | None) -> None:
        """Runs on the first signal; the second one ends the process at once."""
        self._news.close()
        super().handle_exit(sig, frame)
