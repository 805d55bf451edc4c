"""Where files live: the built-in scenarios, the user's own folder, records and configuration.

The one module that knows whether the program runs from a wheel or beside a checkout. It only
names places; it creates none and reads nothing. Surprising rule: the user's own scenarios come
first, so that a changed copy hides the built-in file of the same name.
"""

from __future__ import annotations

from pathlib import Path

import platformdirs

APPLICATION = "approach-drill"
"""Name of the folders that belong to this program."""


def built_in_scenarios() -> Path:
    """Folder of the scenarios that came with the program.

    `trainer/scenarios` in an installed wheel, `../scenarios` beside a checkout or an editable
    installation. Raises RuntimeError if neither is there (a broken installation).
    """
    package = Path(__file__).resolve().parent
    for folder in (package / "scenarios", package.parent / "scenarios"):
        if folder.is_dir():
            return folder
    raise RuntimeError(f"the built-in scenarios are missing beside {package}")


def page(name: str) -> Path:
    """A page of the documentation that the screens read, in a wheel or beside a checkout.

    Raises RuntimeError if it is missing (a broken installation).
    """
    package = Path(__file__).resolve().parent
    for folder in (package, package.parent):
        file = folder / "docs" / name
        if file.is_file():
            return file
    raise RuntimeError(f"the page {name} is missing beside {package}")


def user_data() -> Path:
    """Folder of the user's own data (records, own scenarios); it may not exist yet."""
    return Path(platformdirs.user_data_path(APPLICATION, appauthor=False))


def user_scenarios() -> Path:
    """Folder of the user's own scenarios, searched before the built-in ones."""
    return user_data() / "scenarios"


def records_file() -> Path:
    """The database of attempts."""
    return user_data() / "attempts.sqlite3"


def tour_mark() -> Path:
    """The empty file that says that the tour was begun once."""
    return user_data() / "tour-begun"


def configuration_file() -> Path:
    """The TOML configuration file; it may not exist."""
    return Path(platformdirs.user_config_path(APPLICATION, appauthor=False)) / "config.toml"


def scenario_roots() -> tuple[Path, ...]:
    """Folders to search for scenarios, the user's own first."""
    return (user_scenarios(), built_in_scenarios())
