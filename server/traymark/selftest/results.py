"""What a device may report about itself: a fixed form with every value bounded, since anybody may hold the device."""

from typing import Annotated, Literal

import msgspec
from msgspec import Meta

# The longest body that is read; the form filled to its bounds takes about a quarter of this.
MOST_BYTES = 16_384

Answer = Literal["good", "bad"]
"""What the person holding the device answers."""

Barred = Literal["insecure", "missing", "refused"]
"""Why a test did not run: the page came without HTTPS, the browser cannot do it, or the person refused."""

TestName = Literal[
    "touch", "picture", "light", "speaker", "microphone", "front_camera", "rear_camera", "vibration", "gyroscope",
    "compass", "keys", "network",
]  # fmt: skip

Count = Annotated[int, Meta(ge=0, le=99)]
Percent = Annotated[int, Meta(ge=0, le=100)]
PerMille = Annotated[int, Meta(ge=0, le=1000)]
Pixels = Annotated[int, Meta(ge=0, le=20_000)]


class Touch(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """The glass as a grid: `reached` has a 1 for each cell that answered, row by row from the upper left."""

    columns: Annotated[int, Meta(ge=2, le=32)]
    rows: Annotated[int, Meta(ge=2, le=64)]
    reached: Annotated[str, Meta(max_length=32 * 64, pattern=r"^[01]+\Z")]
    fingers: Annotated[int, Meta(ge=0, le=20)]
    """Most fingers seen at once."""
    screen_pct: Percent
    """Share of the screen that the page had."""

    def __post_init__(self) -> None:
        if len(self.reached) != self.columns * self.rows:
            raise ValueError("the grid has not as many cells as it says")


class Picture(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Plain colours, and where the person saw a defect on them, in thousandths of the page."""

    answer: Answer
    spots: Annotated[list[tuple[PerMille, PerMille]], Meta(max_length=12)] = []


class Asked(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Something only a person can judge."""

    answer: Answer


class Speaker(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A tone on one side, on the other, and one that rises."""

    left: Answer | None = None
    right: Answer | None = None
    sweep: Answer | None = None


class Microphone(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What was heard on playback, and the loudest sample of the recording."""

    answer: Answer
    level_pct: Percent


class Camera(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What was seen in the preview, and its size."""

    answer: Answer
    width: Pixels
    height: Pixels


class Tilt(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """How far the reading turned while the device was tilted."""

    answer: Answer
    tilt_deg: Annotated[int, Meta(ge=0, le=360)]


class Turn(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """How many eighths of the circle the heading passed through."""

    answer: Answer
    eighths: Annotated[int, Meta(ge=0, le=8)]


class Keys(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Key presses that the browser let the page see, and how often the page was hidden and shown again."""

    volume_up: Count
    volume_down: Count
    sleeps: Count


class Network(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Round trips to this server."""

    sent: Annotated[int, Meta(ge=1, le=20)]
    answered: Annotated[int, Meta(ge=0, le=20)]
    median_ms: Annotated[int, Meta(ge=0, le=60_000)]
    over: Literal["wifi", "cellular", "other", "unknown"]


class Results(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """All results; a test that was skipped is absent."""

    touch: Touch | None = None
    picture: Picture | None = None
    light: Asked | None = None
    speaker: Speaker | None = None
    microphone: Microphone | None = None
    front_camera: Camera | None = None
    rear_camera: Camera | None = None
    vibration: Asked | None = None
    gyroscope: Tilt | None = None
    compass: Turn | None = None
    keys: Keys | None = None
    network: Network | None = None
    barred: dict[TestName, Barred] = {}
