"""Whether everybody can use a screen: axe, targets for fingers, and no sideways scrolling."""

from typing import Any

from playwright.sync_api import Page

PHONE = {"width": 390, "height": 844}
DESK = {"width": 1280, "height": 900}
NARROW = {"width": 320, "height": 640}
"""WCAG 2.2, 1.4.10: content is read in 320 CSS pixels without scrolling sideways."""
TARGET_PX = 48
"""Ours, for fingers in gloves; WCAG 2.2, 2.5.8 asks for 24."""

# target-size (WCAG 2.2, 2.5.8) is the one of these that axe leaves off by itself.
AXE = """async (rules) => {
    const tags = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"];
    const only = rules === null ? { type: "tag", values: tags } : { type: "rule", values: rules };
    const checked = await axe.run(document, {
        runOnly: only, resultTypes: ["violations"], rules: { "target-size": { enabled: true } },
    });
    return checked.violations.map((v) => `${v.id}: ${v.nodes.map((n) => n.target.join(" ")).join(" | ")}`);
}"""

OF_THE_SIZE = ["color-contrast", "target-size", "scrollable-region-focusable"]
"""Rules that look at what is drawn where. The others look at elements, which most screens have alike at every size."""

HIGH_AND_ELEMENTS = """() => [
    Math.max(innerHeight, document.scrollingElement.scrollHeight),
    [...document.querySelectorAll("body *")].map((e) => e.tagName).join(" "),
]"""

# A link inside a sentence and what is meant for screen readers alone are no targets for a finger (2.5.8, exceptions).
SMALL_TARGETS = """(least) => {
    const isShown = (e) => e.checkVisibility({ opacityProperty: true, visibilityProperty: true });
    const words = (e) => e.textContent.trim();
    const inSentence = (e) => e.tagName === "A" && e.closest("p") !== null && words(e.closest("p")) !== words(e);
    const targets = "a[href], button, select, textarea, summary, label.choice, label.button, input";
    return [...document.querySelectorAll(targets)].flatMap((e) => {
        if (!isShown(e) || inSentence(e) || (e.tagName === "INPUT" && e.closest(".choice, .file-button"))) return [];
        const { width, height } = e.getBoundingClientRect();
        if (Math.min(width, height) >= least - 0.5) return [];
        return [`${e.tagName} "${words(e).slice(0, 30)}" ${Math.round(width)} x ${Math.round(height)}`];
    });
}"""

TOO_WIDE = """() => {
    const page = document.scrollingElement;
    if (page.scrollWidth <= innerWidth) return [];
    const reaches = (e) => e.closest(".scroll") === null && e.getBoundingClientRect().right > innerWidth + 0.5;
    const wide = [...document.querySelectorAll("body *")].filter(reaches);
    return [`${page.scrollWidth} px: ${wide.slice(0, 4).map((e) => `${e.tagName}.${e.className}`).join(", ")}`];
}"""


def faults(page: Page, axe_source: str) -> list[str]:
    """What is wrong with the screen at hand, each with the size and look at which it shows."""
    found: list[str] = []
    looked_at = None
    if page.evaluate("() => globalThis.axe === undefined"):
        page.evaluate(axe_source + ";0")
    page.set_viewport_size(NARROW)
    found += [f"at 320: too wide, {w}" for w in page.evaluate(TOO_WIDE)]
    for place, size in (("phone", PHONE), ("desk", DESK)):
        page.set_viewport_size(size)
        # As high as the page: what lies below the dock comes out by scrolling.
        high, elements = page.evaluate(HIGH_AND_ELEMENTS)
        rules_of_size = OF_THE_SIZE if elements == looked_at else None
        looked_at = elements
        page.set_viewport_size({**size, "height": high})
        for look in ("light", "dark"):
            # Without motion no colour is read half way from one look to the other.
            page.emulate_media(color_scheme=look, reduced_motion="reduce")
            # Only colours differ between the looks.
            rules: Any = rules_of_size if look == "light" else ["color-contrast"]
            found += [f"{place}, {look}: {v}" for v in page.evaluate(AXE, rules)]
        found += [f"{place}: too wide, {w}" for w in page.evaluate(TOO_WIDE)]
        found += [f"{place}: small target, {s}" for s in page.evaluate(SMALL_TARGETS, TARGET_PX)]
    for what in ("h1", "main"):
        if page.locator(what).count() != 1:
            found.append(f"{page.locator(what).count()} of {what}")
    return found
