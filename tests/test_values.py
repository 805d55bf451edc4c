"""Our records do what those of the standard library do."""

from __future__ import annotations

import copy
import dataclasses
import pickle

import pytest

from trainer.values import dataclass


@dataclass(frozen=True, slots=True)
class Fixed:
    """Not to be changed; what is worked out is not compared."""

    a: int
    b: str = "b"
    c: float = dataclasses.field(init=False, compare=False, repr=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "c", self.a / 2)


@dataclass(slots=True)
class Open:
    """To be changed."""

    a: int
    b: list[int] = dataclasses.field(default_factory=list)
    c: int = dataclasses.field(init=False, default=7)


@dataclass
class Wider:
    """A base."""

    a: int


@dataclass
class Widest(Wider):
    """What is built on it."""

    b: int = 2


@dataclass(slots=True, eq=False)
class Same:
    """Equal only to itself."""

    a: int


def test_a_record_is_made_from_places_names_and_defaults() -> None:
    assert (Fixed(4, "x").b, Fixed(a=4).b, Fixed(4).c) == ("x", "b", 2.0)
    assert Open(1).b is not Open(1).b
    assert (Open(1, [3]).b, Open(1).c) == ([3], 7)
    assert (Widest(1).a, Widest(1, 5).b) == (1, 5)
    with pytest.raises(TypeError, match="missing 1 required positional argument: 'a'"):
        Fixed()  # type: ignore[call-arg]
    with pytest.raises(TypeError, match="unexpected keyword argument 'c'"):
        Fixed(1, c=2.0)  # type: ignore[call-arg]


def test_records_of_one_class_are_equal_where_their_compared_fields_are() -> None:
    assert Fixed(1) == Fixed(1) != Fixed(2)
    assert hash(Fixed(1)) == hash(Fixed(1))
    assert Fixed(1) != (1, "b")  # type: ignore[comparison-overlap]
    assert Widest(1, 2) != Wider(1)
    one = Same(1)
    assert one == one
    assert one != Same(1)
    assert hash(one)
    with pytest.raises(TypeError, match="unhashable"):
        hash(Open(1))


def test_a_fixed_record_cannot_be_changed_but_copied_with_changes() -> None:
    one = Fixed(4)
    with pytest.raises(dataclasses.FrozenInstanceError):
        one.a = 5  # type: ignore[misc]
    with pytest.raises(dataclasses.FrozenInstanceError):
        del one.a
    assert dataclasses.replace(one, a=6) == Fixed(6)
    assert dataclasses.replace(one, a=6).c == 3.0
    opened = Open(1)
    opened.a = 2
    assert opened.a == 2


def test_a_record_shows_itself_and_survives_copies() -> None:
    assert repr(Fixed(4)) == "Fixed(a=4, b='b')"
    for one in (Fixed(4), Open(1, [2])):
        assert pickle.loads(pickle.dumps(one)) == one
        assert copy.deepcopy(one) == one
    assert pickle.loads(pickle.dumps(Fixed(4))).c == 2.0
    match Fixed(4):
        case Fixed(a, b):
            assert (a, b) == (4, "b")
