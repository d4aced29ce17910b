"""Every screen, at phone and desk size, light and dark, is one that everybody can use."""

import pytest

from tests.browser.conftest import Launch
from tests.browser.shop import Shop
from tests.browser.tour import TOURS
from tests.browser.usable import faults


@pytest.mark.parametrize("tour", TOURS)
def test_every_screen_is_usable_by_everybody(tour: str, launch: Launch, shop: Shop, axe_source: str) -> None:
    wrong: dict[str, list[str]] = {}
    names: list[str] = []
    for name, person in TOURS[tour](launch, shop):
        names.append(name)
        size = person.page.viewport_size
        found = faults(person.page, axe_source)
        if found:
            wrong[name] = found
        assert size is not None
        person.page.set_viewport_size(size)
        person.page.emulate_media(color_scheme="light")
    assert len(set(names)) == len(names) >= 15
    assert wrong == {}, "\n".join(f"{name}\n  " + "\n  ".join(found) for name, found in wrong.items())
