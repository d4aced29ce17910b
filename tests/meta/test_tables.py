"""The tables of shared/ fit their schemas, and what one refers to in another exists."""

import ast
import json
import re
from collections.abc import Iterator
from functools import cache
from itertools import product
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from tests.meta.tracked import REPOSITORY
from traymark.fold.require import RULES

SHARED = REPOSITORY / "shared"
TABLES = sorted([*SHARED.glob("*.json"), *SHARED.glob("procedures/*.json")])
REFUSING = {"Rejected", "Refused", "refuse", "Problem"}
PROCEDURES = sorted(SHARED.glob("procedures/*.json"))


@cache
def table(name: str) -> dict[str, Any]:
    return json.loads((SHARED / f"{name}.json").read_text(encoding="utf-8"))


def name_of(path: Path) -> str:
    return path.relative_to(SHARED).as_posix()


@pytest.mark.parametrize("path", TABLES, ids=name_of)
def test_table_fits_its_schema(path: Path) -> None:
    content = json.loads(path.read_text(encoding="utf-8"), object_pairs_hook=without_repeated_keys)
    schema = json.loads((path.parent / content["$schema"]).read_text(encoding="utf-8"))
    Draft202012Validator.check_schema(schema)
    faults = [f"{fault.json_path}: {fault.message}" for fault in Draft202012Validator(schema).iter_errors(content)]
    assert faults == []


@pytest.mark.parametrize("path", TABLES, ids=name_of)
def test_table_holds_only_whole_numbers(path: Path) -> None:
    json.loads(path.read_text(encoding="utf-8"), parse_float=refuse_float)


@pytest.mark.parametrize("path", sorted(SHARED.glob("schema/*.json")), ids=name_of)
def test_schema_is_used_by_a_table_a_rule_or_the_runners_of_the_vectors(path: Path) -> None:
    used = {(p.parent / json.loads(p.read_text("utf-8"))["$schema"]).resolve() for p in TABLES}
    assert path.resolve() in used or path.name in code_of("tests/vectors", "server/traymark/rules")


@pytest.mark.parametrize("kind", sorted(table("events")["kinds"]))
def test_event_kind_refers_only_to_what_exists(kind: str) -> None:
    events, row = table("events"), table("events")["kinds"][kind]
    fields = {name.removesuffix("?") for name in row["fields"]}
    for notation in row["fields"].values():
        assert set(re.findall(r"enum\(([a-z_]+)\)", notation)) <= set(events["enums"]), notation
    assert set(re.findall(r"\{([a-z_0-9]+)\}", row["text"])) <= fields
    for effect in row["effects"]:
        assert set(body_fields_of(effect)) <= fields, effect
        if effect["op"] == "away":
            continue
        record = events["records"][effect["on"]]
        if len(effect.get("at", [])) == 1:  # F5.6: languages differ in how they order numeric keys
            assert not row["fields"][effect["at"][0]].startswith("int"), effect
        written = [effect["to"]] if effect["op"] in ("stamp", "list", "map", "drop", "count") else []
        written += list(effect["values"]) if effect["op"] == "set" else []
        assert set(written) <= set(record), effect
        if effect["op"] == "stage":
            assert effect["to"] in table("stages")["stages"]
        if effect["op"] == "stop" and effect["reason"] == "@reason":
            assert row["fields"]["reason"] == "enum(stop_reason)"
        elif effect["op"] == "stop":
            assert effect["reason"] in events["enums"]["stop_reason"]


@pytest.mark.parametrize("kind", sorted(table("events")["kinds"]))
def test_event_kind_with_a_job_in_its_effects_demands_one(kind: str) -> None:
    row = table("events")["kinds"][kind]
    if any(effect["key"] == "@job" for effect in row["effects"]):
        assert row.get("job") is True


def test_stages_lead_to_stages() -> None:
    stages = table("stages")["stages"]
    assert {after for row in stages.values() for after in row["next"]} <= set(stages)
    assert table("events")["records"]["job"]["stage"] in stages


def test_every_reason_to_stop_has_words_for_the_customer() -> None:
    assert set(table("stages")["stop_reasons"]) == set(table("events")["enums"]["stop_reason"])


def test_every_test_point_is_in_a_group_and_no_group_is_empty() -> None:
    points = table("test_points")
    assert {row["group"] for row in points["points"].values()} == set(points["groups"])


def test_test_points_are_read_at_stages_that_events_know() -> None:
    known = set(table("events")["enums"]["test_stage"])
    assert {stage for row in table("test_points")["points"].values() for stage in row["stages"]} <= known


def test_every_test_point_says_what_holds_for_a_locked_device() -> None:
    """All three cases occur."""
    points = table("test_points")
    said = [row["locked"] for row in points["points"].values()]
    assert {locked["test"] for locked in said} == {"usual", "other", "none"}
    # A row with another way or a reason must differ from the one for an open device.
    hows = {row["how"] for row in points["points"].values()}
    assert not hows & {locked.get("how") for locked in said}


def test_no_test_point_places_a_call_by_itself() -> None:
    """Repeated presses and long holds can start an emergency call (common practice, no source)."""
    points, words = table("test_points")["points"], table("test_points")["locked"]
    for name in ("button", "power_button", "volume_buttons"):
        how = points[name]["how"]
        assert "wait two seconds" in how and "If a countdown appears, cancel it at once" in how, name
    for row in points.values():
        for how in (row["how"], row["locked"].get("how", "")):
            assert not re.search(r"(?i)\bpress (it )?(ten|five) times|\bhold the power|start a call", how), how
    assert "countdown" in words["caution"] and "Never dial an emergency number" in words["caution"]
    assert "stay on the line" in words["caution"]


def test_nothing_is_charged_to_test_it_that_is_wet_bulging_or_hot() -> None:
    points = table("test_points")["points"]
    for name in ("charging", "charging_wireless"):
        assert all(word in points[name]["how"] for word in ("dry", "flat", "cool", "wet", "bulging", "hot")), name
    assert "dry, flat and cool" in points["data_cable"]["how"]


def test_what_a_test_leaves_is_taken_off_and_no_locked_device_is_left_anything() -> None:
    points = table("test_points")["points"]
    leaving = {name for name, row in points.items() if "leaves" in row}
    assert {"front_camera", "rear_camera", "microphone", "microphone_rear", "wifi", "bluetooth"} <= leaving
    assert all(points[name]["locked"]["test"] != "usual" for name in leaving)
    for name in ("fingerprint", "face"):
        assert "Enrol no" in points[name]["how"] and "by the owner" in points[name]["how"]


def test_a_device_of_any_kind_has_its_points() -> None:
    points = table("test_points")["points"]
    assert {
        "face", "rear_wide", "rear_far", "rear_close", "flash", "sim_second", "data_cable", "pen", "keyboard_contacts",
        "hinge", "owner_lock", "part_notes",
    } <= set(points)  # fmt: skip
    assert not any(points[name].get("some_models") for name in ("display_image", "touch", "charging", "owner_lock"))


def test_what_a_procedure_says_fits_the_events_that_repeat_it() -> None:
    """A sound procedure never prevents a job from writing its events."""
    kinds = table("events")["kinds"]
    schema = json.loads((SHARED / "schema" / "procedure.schema.json").read_text(encoding="utf-8"))
    forms, members = schema["$defs"], schema["properties"]

    def most(kind: str, field: str) -> int:
        return int(re.findall(r"(\d+)\)$", kinds[kind]["fields"][field])[0])

    slug = re.findall(r"slug` \(`\[a-z\]\[a-z0-9_-\]\{0,(\d+)\}`", (SHARED / "FORMAT.md").read_text(encoding="utf-8"))
    longest = int(slug[0]) + 1
    assert forms["slug"]["maxLength"] == longest
    assert forms["step_id"]["maxLength"] + len("-back") == longest
    texts = {"job.booked": "model", "core.tagged": "name", "part.received": "name"}
    assert forms["name"]["maxLength"] == min(most(kind, field) for kind, field in texts.items())
    assert members["rev"]["maximum"] == most("job.started", "revision") == most("job.booked", "revision?")
    assert forms["slugs"]["maxItems"] <= most("prefit.tried", "failed")
    fastener = members["fasteners"]["items"]["properties"]
    assert fastener["count"]["maximum"] == most("fastener.removed", "count") == most("fastener.returned", "count")
    assert fastener["pocket"]["maximum"] == most("fastener.removed", "pocket")
    assert members["core"]["properties"]["energy_mwh"]["maximum"] == most("core.tagged", "energy_mwh?")


def test_every_verdict_is_reached_by_a_row_and_every_row_has_a_verdict() -> None:
    attribution = table("attribution")
    assert {row["verdict"] for row in attribution["rows"]} == set(attribution["verdicts"])


def test_attribution_rows_are_each_the_first_to_fit_something() -> None:
    results = ("pass", "fail", "cannot", "none")
    rows = table("attribution")["rows"]
    firsts = {
        first_fit(rows, {"intake": intake, "prefit": prefit, "final": final})
        for intake in results
        for prefit in results
        for final in results
    }
    assert firsts == set(range(len(rows)))


def test_prefit_rows_lead_to_what_events_know_and_leave_nothing_out() -> None:
    prefit, events = table("prefit"), table("events")
    assert set(prefit["actions"]) == set(events["enums"]["try_action"])
    assert f"int(1,{prefit['most_tries']})" == events["kinds"]["prefit.tried"]["fields"]["try"]
    facts = table("schema/prefit.schema")["properties"]["rows"]["items"]["properties"]["when"]["properties"]
    values = {fact: row["items"]["enum"] for fact, row in facts.items()}
    situations = [dict(zip(values, held, strict=True)) for held in product(*values.values())]
    firsts = {
        next(n for n, row in enumerate(prefit["rows"]) if all(held[f] in may for f, may in row["when"].items()))
        for held in situations
    }
    assert firsts == set(range(len(prefit["rows"])))


@pytest.mark.parametrize("path", PROCEDURES, ids=name_of)
def test_procedure_names_only_what_is_there(path: Path) -> None:
    procedure = json.loads(path.read_text(encoding="utf-8"))
    assert procedure["id"] == path.stem
    points = table("test_points")["points"]
    served = {kind for point in points.values() for kind in point["serves"]}
    assert set(procedure["part"]["serves"]) <= served
    assert {kind for plug in procedure["connectors"] for kind in plug["serves"]} <= served
    assert {pair["test"] for pair in procedure["pairs"]} <= set(points)
    steps = [*procedure["in"], *procedure["turn"], *procedure["closing"]]
    ids = [step["id"] for step in steps]
    assert len(ids) == len(set(ids))
    assert {caution for step in steps for caution in step["cautions"]} <= set(table("cautions")["cautions"])
    assert {point for step in steps for point in step.get("points", [])} <= set(points)
    groups = {group["id"] for group in procedure["fasteners"]}
    plugs = {plug["id"] for plug in procedure["connectors"]}
    ops = [op for step in steps for op in step.get("ops", [])]
    assert {op["group"] for op in ops if "group" in op} == groups
    assert {op["connector"] for op in ops if "connector" in op} == plugs
    assert {step["pair"] for step in steps if "pair" in step} == {pair["id"] for pair in procedure["pairs"]}


def test_every_caution_has_a_place_where_it_is_shown() -> None:
    by_steps = "".join(path.read_text(encoding="utf-8") for path in PROCEDURES)
    by_code = code_of("pwa/src", "server/traymark")
    unseen = [
        name
        for name in table("cautions")["cautions"]
        if f'"{name}"' not in by_steps and not re.search(rf"""["'.]{name}\b""", by_code)
    ]
    assert unseen == []


def test_every_refusal_of_the_server_is_a_known_problem() -> None:
    named = [
        argument.value
        for path in sorted((REPOSITORY / "server").rglob("*.py"))
        for call in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(call, ast.Call) and isinstance(call.func, ast.Name) and call.func.id in REFUSING
        for argument in call.args[:1]
        if isinstance(argument, ast.Constant) and isinstance(argument.value, str)
    ]
    assert named != []
    assert set(named) - set(table("problems")["problems"]) == set()


def test_every_problem_is_one_that_can_happen() -> None:
    code = code_of("pwa/src", "server/traymark", "labels") + (SHARED / "FORMAT.md").read_text(encoding="utf-8")
    assert [slug for slug in table("problems")["problems"] if not re.search(rf"""["'`]{slug}["'`]""", code)] == []


def test_findings_of_the_fold_are_known_problems() -> None:
    """F5.7 names them in brackets."""
    law = (SHARED / "FORMAT.md").read_text(encoding="utf-8")
    clause = law[law.index("- F5.7") : law.index("- F5.8")]
    findings = re.findall(r"\(`([a-z-]+)`\)", clause)
    assert set(findings) == {slug for slug, _ in RULES.values()}
    assert set(findings) <= set(table("problems")["problems"])


def body_fields_of(effect: dict[str, Any]) -> Iterator[str]:
    """The body fields that an effect reads."""
    named = [effect["key"], *effect.get("at", []), *effect.get("values", {}).values()]
    named += [value for value in effect.get("add", {}).values() if isinstance(value, str)]
    named += [condition["field"] for condition in effect.get("when", [])]
    yield from (name for name in named if not name.startswith(("@", "=")))


def code_of(*roots: str) -> str:
    """The source text of all Python and TypeScript below these folders."""
    paths = [
        path for root in roots for pattern in ("*.py", "*.ts", "*.tsx") for path in (REPOSITORY / root).rglob(pattern)
    ]
    assert paths != []
    return "\n".join(path.read_text(encoding="utf-8") for path in paths)


def first_fit(rows: list[dict[str, Any]], stages: dict[str, str]) -> int:
    return next(
        n for n, row in enumerate(rows) if all(value in row.get(stage, [value]) for stage, value in stages.items())
    )


def without_repeated_keys(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    names = [name for name, _ in pairs]
    assert len(names) == len(set(names)), f"a key appears twice: {names}"
    return dict(pairs)


def refuse_float(text: str) -> float:
    raise AssertionError(f"{text}: give it a smaller unit and a whole number")


def test_every_value_of_an_enumeration_has_its_word_and_no_other_value_has() -> None:
    """Reasons of a stop and of a colour reading have theirs in their own tables."""
    enums, words = table("events")["enums"], table("words")
    elsewhere = {"stop_reason": table("stages")["stop_reasons"], "colour_reason": table("colour")["reasons"]}
    values = {name: list(row) for name, row in (words["values"] | elsewhere).items()}
    assert values == enums
    assert all(set(row) <= set(enums[name]) for name, row in words["details"].items())


def test_labels_print_the_words_of_values_that_exist() -> None:
    fields = [field for kind in table("labels")["kinds"].values() for field in kind["fields"].values()]
    named = {field["words_of"] for field in fields if "words_of" in field}
    assert named
    assert named <= set(table("words")["values"])
