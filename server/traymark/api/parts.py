"""What a handler may ask `create_app` for, by parameter name and type."""

from litestar.di import NamedDependency

from traymark.api.limits import Limits
from traymark.api.news import News
from traymark.api.write_queue import WriteQueue
from traymark.blobs.files import BlobFiles
from traymark.blobs.parts import BlobParts
from traymark.clock import Clock
from traymark.config import Settings
from traymark.log.store import Store
from traymark.selftest.open_tests import OpenTests
from traymark.stations.cookie import Station

TheSettings = NamedDependency[Settings]
"""`settings`"""

TheClock = NamedDependency[Clock]
"""`clock`"""

TheStore = NamedDependency[Store]
"""`store`"""

TheFiles = NamedDependency[BlobFiles]
"""`files`"""

TheBlobParts = NamedDependency[BlobParts]
"""`blob_parts`"""

TheNews = NamedDependency[News]
"""`news`"""

TheQueue = NamedDependency[WriteQueue]
"""`write_queue`"""

TheLimits = NamedDependency[Limits]
"""`limits`"""

TheOpenTests = NamedDependency[OpenTests]
"""`open_tests`"""

Asking = NamedDependency[Station]
"""`station`: the station that sent the request. A handler that names it answers 401 to anyone who has not joined."""
