"""Settings: read once, and an unknown name prevents the start."""

import ast
from dataclasses import fields
from itertools import pairwise
from pathlib import Path

import pytest

import traymark.config
from traymark.config import Settings, SettingsError, read_settings


def test_settings_come_from_their_variables() -> None:
    settings = read_settings({"TRAYMARK_PORT": "9000", "TRAYMARK_DATA_DIR": "/somewhere", "PATH": "/bin"})
    assert settings == Settings(port=9000, data_dir=Path("/somewhere"))


def test_unknown_name_prevents_the_start_and_is_named() -> None:
    with pytest.raises(SettingsError, match="TRAYMARK_PROT"):
        read_settings({"TRAYMARK_PROT": "9000"})


def test_value_of_the_wrong_type_prevents_the_start_and_is_named() -> None:
    with pytest.raises(SettingsError, match="TRAYMARK_PORT"):
        read_settings({"TRAYMARK_PORT": "many"})


def test_name_that_the_build_uses_is_ignored() -> None:
    assert read_settings({"TRAYMARK_SKIP_PWA": "1"}) == Settings()


def test_every_setting_is_documented() -> None:
    tree = ast.parse(Path(traymark.config.__file__).read_text(encoding="utf-8"))
    body = next(n for n in tree.body if isinstance(n, ast.ClassDef) and n.name == "Settings").body
    told = {
        before.target.id
        for before, after in pairwise(body)
        if isinstance(before, ast.AnnAssign) and isinstance(before.target, ast.Name) and isinstance(after, ast.Expr)
    }
    assert told == {f.name for f in fields(Settings)}
