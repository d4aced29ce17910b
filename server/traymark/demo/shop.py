"""The people and things of the invented shop. Every name, model, supplier and number here is made up."""

from typing import NamedTuple


class Person(NamedTuple):
    """A member of the staff."""

    name: str
    role: str


class Customer(NamedTuple):
    """Somebody who left a device. The telephone numbers are from the block reserved for fiction."""

    name: str
    phone: str
    mail: str


SHOP_NAME = "Lantern Lane Repairs (demo)"
SHOP_PHONE = "555-0100"

EMERGENCY = {
    "place": "Safe place: stone bench in the yard, under the roof. We meet at the lantern across the street.",
    "number": "555-0199",
    "container": "Steel box with a lid and dry sand, on the stone bench.",
    "who": "Ombra; when she is not here, Quarto.",
    "text": "This is a demo shop: the number above reaches nobody.",
}

STAFF = {
    "lead": Person("Ombra", "lead"),
    "fennick": Person("Fennick", "bench"),
    "wispa": Person("Wembra", "bench"),
    "quarto": Person("Quarto", "shipping"),
    "dapple": Person("Dapple", "counter"),
}

# Names of the stations and what they are for.
STATIONS = {
    "counter": ("Counter desk", "counter"),
    "bench1": ("Bench one", "bench"),
    "bench2": ("Bench two", "bench"),
    "shipping": ("Shipping handheld", "shipping"),
    "office": ("Office", "lead"),
}

CUSTOMERS = [
    Customer("Tansy Umberfold", "555-0111", "tansy@example.com"),
    Customer("Orlo Peckwick", "555-0112", ""),
    Customer("Mirrin Sandlark", "555-0113", "mirrin@example.com"),
    Customer("Bodkin Ashgrove", "555-0114", ""),
    Customer("Calloway Finch-Under", "555-0115", "calloway@example.com"),
    Customer("Ivo Thistlebank", "555-0116", ""),
    Customer("Petra Lowlantern", "555-0117", "petra@example.com"),
    Customer("Sorrel Quince", "555-0118", ""),
    Customer("Hob Merrowdown", "555-0119", "hob@example.com"),
    Customer("Linnet Oversea", "555-0120", ""),
    Customer("Dunstan Halfpenny-Tor", "555-0121", "dunstan@example.com"),
    Customer("Yarrow Tidewell", "555-0122", ""),
]

MODEL = "Quillet 5"
OTHER_MODELS = ["Quillet 6", "Tarnlight 2", "Thrumbold Plank 4"]

DISPLAY = "quillet5-display"
BATTERY = "quillet5-battery"

SKIRLWICK, UMBREL, GREENFOLD = "skirlwick", "umbrelmoss", "greenfold"
SUPPLIERS = {
    SKIRLWICK: "Skirlwick Panes",
    UMBREL: "Umbrelmoss Cells",
    GREENFOLD: "Greenfold Recycling",
}

SUPPLIER_OF = {DISPLAY: SKIRLWICK, BATTERY: UMBREL}
LOTS = {DISPLAY: ("SK-0931", "SK-0958"), BATTERY: ("UM-7714", "UM-7730")}
