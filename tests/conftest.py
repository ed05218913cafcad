"""What every test may ask for: the shipped models, and skips that say why."""

from __future__ import annotations

import os
import shutil
from importlib import metadata
from pathlib import Path

import pytest
from hypothesis import settings
from pointsleft_models.bundle import Models, Worth, load_models
from pointsleft_models.football.rules import rule_set

# `make test` asks every property the same examples each time; POINTSLEFT_EXAMPLES=new draws others.
settings.register_profile("same", derandomize=True)
settings.register_profile("new", print_blob=True)
settings.load_profile(os.environ.get("POINTSLEFT_EXAMPLES", "same"))

#: Where participation data lie when the environment does not say: beside the clone.
PARTICIPATION = Path(__file__).parents[2] / "shared/data/participation_2016_2019.parquet"

#: Where a college season lies when the environment does not say.
COLLEGE = PARTICIPATION.with_name("college_2016.parquet")


@pytest.fixture(scope="session")
def models() -> Models:
    """The shipped professional fits."""
    return load_models("professional")


@pytest.fixture(scope="session")
def worth(models: Models) -> Worth:
    """The shipped professional fits under the rules of 2019."""
    return models.under(rule_set("professional", 2019))


def participation_file() -> Path:
    """Participation data: the file that POINTSLEFT_PARTICIPATION names, or the usual one."""
    return Path(os.environ.get("POINTSLEFT_PARTICIPATION", PARTICIPATION))


def college_file() -> Path:
    """A college season: the file that POINTSLEFT_COLLEGE names, or the usual one."""
    return Path(os.environ.get("POINTSLEFT_COLLEGE", COLLEGE))


@pytest.fixture
def college_season() -> Path:
    """The file of a college season; ask for it under the marker ``college``."""
    return college_file()


@pytest.fixture
def college_finals() -> Path | None:
    """Final scores of that season beside it, where they are there."""
    name = college_file().stem.replace("_", "_games_", 1) + ".csv"
    path = college_file().with_name(name)
    return path if path.is_file() else None


def _no_archive() -> str | None:
    from pointsleft_models.plays.archive_files import PACKAGE

    try:
        metadata.distribution(PACKAGE)
    except metadata.PackageNotFoundError:
        return f"the play-by-play archive ({PACKAGE}) is not installed"
    return None


def _no_participation() -> str | None:
    if participation_file().is_file():
        return None
    return "no participation file (name one in POINTSLEFT_PARTICIPATION)"


def _no_college() -> str | None:
    if college_file().is_file():
        return None
    return "no college season (name one in POINTSLEFT_COLLEGE)"


def _no_network() -> str | None:
    if os.environ.get("POINTSLEFT_NETWORK"):
        return None
    return "calls a public server; set POINTSLEFT_NETWORK=1 to allow it"


def _no_browser() -> str | None:
    names = ("chromium", "chromium-browser", "chrome")
    return None if any(map(shutil.which, names)) else "Chromium is not installed"


#: Marker -> why its tests cannot run here, ``None`` when they can.
NEEDS = {
    "archive": _no_archive,
    "participation": _no_participation,
    "college": _no_college,
    "network": _no_network,
    "browser": _no_browser,
}


def pytest_runtest_setup(item: pytest.Item) -> None:
    """Skip what this machine lacks the means for."""
    for marker, missing in NEEDS.items():
        if item.get_closest_marker(marker) is not None and (why := missing()) is not None:
            pytest.skip(why)
