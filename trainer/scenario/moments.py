"""Moments as values: what a scenario means by "when", before anything evaluates it.

A moment is one primitive or a combination; each class below is one shape of the grammar. All are
frozen and hashable, so that equal moments are evaluated once (`flight.moments` does that).
Parsing from YAML stands in `scenario.moment_parser`; this module knows no file.
"""

from __future__ import annotations

from trainer.values import dataclass


@dataclass(frozen=True, slots=True)
class Figure:
    """A number in the subject's flight-deck unit, or a named value plus an offset.

    `name` is one of the closed list of named values ("" for a plain number).
    """

    value: float
    name: str = ""


@dataclass(frozen=True, slots=True)
class Compare:
    """A quantity against figures.

    subject: distance (NM), dme (NM), altitude (ft), height (ft), radio height (ft),
    altitude to go (ft), speed (kt), vertical speed (ft/min), localizer (dots), glideslope (dots),
    margin (NM). relation: "below", "above", "from" (states), "falling", "rising" (happenings),
    "every" (recurring, only in `each`). `upper` only with "from".
    """

    subject: str
    relation: str
    figure: Figure
    upper: Figure | None = None


@dataclass(frozen=True, slots=True)
class Shows:
    """A state of the aircraft or the signals: any of `values` is shown.

    subject: "signal" (key localizer, glideslope or vor; a state of what is tuned),
    "mode" (key lateral, vertical, lateral armed, vertical armed, thrust, engagement, capability),
    "config" (key flaps or gear; surfaces have arrived), "lever" (key a lever), "phase", "sees".
    """

    subject: str
    key: str
    values: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Happened:
    """A happening: it occurs at steps and then stays happened.

    kind: passed (fix), granted (clearance), event, acted ("gear down"), said (intent),
    done (item), changed (any, announced or a column), gate (gate, result), last chance (gate).
    """

    kind: str
    name: str
    detail: str = ""


@dataclass(frozen=True, slots=True)
class AllOf:
    """True while every child is."""

    children: tuple[Moment, ...]


@dataclass(frozen=True, slots=True)
class AnyOf:
    """True while at least one child is."""

    children: tuple[Moment, ...]


@dataclass(frozen=True, slots=True)
class Not:
    """True while the child is not."""

    child: Moment


@dataclass(frozen=True, slots=True)
class Then:
    """Each child after the one before: happenings count only from then on."""

    children: tuple[Moment, ...]


@dataclass(frozen=True, slots=True)
class Held:
    """True once the child has been true without a break for `seconds`."""

    child: Moment
    seconds: float


@dataclass(frozen=True, slots=True)
class Later:
    """Happens `seconds` or `miles` flown after the child first became true."""

    child: Moment
    seconds: float = 0.0
    miles: float = 0.0


Moment = Compare | Shows | Happened | AllOf | AnyOf | Not | Then | Held | Later

START = AllOf(())
"""The default of `opens`: true from step 0."""


def requirements(moment: Moment | None) -> tuple[Happened, ...]:
    """Happenings without which `moment` can never be true."""
    match moment:
        case Happened():
            return (moment,)
        case AllOf(children) | Then(children):
            found: list[Happened] = []
            for child in children:
                found.extend(requirements(child))
            return tuple(found)
        case Held(child, _) | Later(child, _, _):
            return requirements(child)
    return ()


def mentions(moment: Moment | None) -> tuple[Happened, ...]:
    """Every happening that stands anywhere in `moment`, whether or not it is needed."""
    match moment:
        case Happened():
            return (moment,)
        case AllOf(children) | AnyOf(children) | Then(children):
            return tuple(one for child in children for one in mentions(child))
        case Not(child) | Held(child, _) | Later(child, _, _):
            return mentions(child)
    return ()
