"""Values made fast: records that cost little to define, named tuples that cost little to make.

Owns two tricks and refuses any other. The surprising rules: the `__init__` of a record is compiled
when the first one is made, so a class that a run does not use costs it next to nothing; and nothing
counts the fields given to `made`, so a caller gives all of them in order; a test holds each such
place against its type.
"""

from __future__ import annotations

import dataclasses
from operator import attrgetter
from typing import TYPE_CHECKING, Any

made = tuple.__new__
"""`made(Kind, (every field, …))`: the named tuple in half the time of `Kind(…)`."""

_set = object.__setattr__

if TYPE_CHECKING:
    from dataclasses import dataclass as dataclass
else:

    def dataclass(cls=None, /, *, frozen=False, slots=False, eq=True):
        """`dataclasses.dataclass` for these three choices, in a twentieth of its time.

        It compiles up to six methods for every class; here one is compiled, when it is needed,
        and the others are the same functions for all classes.
        """

        def record(cls):
            kind = dataclasses.dataclass(init=False, repr=False, eq=False, slots=slots)(cls)
            fields = dataclasses.fields(kind)
            compared = [one.name for one in fields if one.compare]
            methods = {"__repr__": _repr}
            if eq:
                kind._compared = staticmethod(attrgetter(*compared) if compared else _nothing)
                methods |= {"__eq__": _eq, "__hash__": _hash if frozen else None}
            if frozen:
                methods |= {"__setattr__": _frozen, "__delattr__": _frozen}
                methods["__setstate__"] = _restore

            def first(self, *args, **kwargs):
                kind.__init__ = _initializer(kind, fields, frozen)
                kind.__init__(self, *args, **kwargs)

            methods["__init__"] = first
            for name, method in methods.items():
                if name not in kind.__dict__ or kind.__dict__[name] is None:
                    setattr(kind, name, method)
            return kind

        return record if cls is None else record(cls)


def _initializer(kind: Any, fields: tuple[dataclasses.Field[Any], ...], is_frozen: bool) -> Any:
    """The `__init__` of a record: its fields in order, then `__post_init__` where there is one."""
    known: dict[str, Any] = {"_set": _set, "_missing": dataclasses.MISSING}
    given, body = ["self"], []
    for one in fields:
        value = name = one.name
        if one.default_factory is not dataclasses.MISSING:
            known[f"_new_{name}"] = one.default_factory
            value = f"_new_{name}()"
            if one.init:
                given.append(f"{name}=_missing")
                value = f"{value} if {name} is _missing else {name}"
        elif one.default is not dataclasses.MISSING:
            known[f"_default_{name}"] = one.default
            given.append(f"{name}=_default_{name}")
        elif one.init:
            given.append(name)
        else:
            continue
        body.append(f"_set(self, {name!r}, {value})" if is_frozen else f"self.{name} = {value}")
    if hasattr(kind, "__post_init__"):
        body.append("self.__post_init__()")
    exec(f"def __init__({', '.join(given)}):\n " + "\n ".join(body or ["pass"]), known)
    return known["__init__"]


def _repr(self: Any) -> str:
    shown = (
        f"{one.name}={getattr(self, one.name)!r}" for one in dataclasses.fields(self) if one.repr
    )
    return f"{type(self).__qualname__}({', '.join(shown)})"


def _eq(self: Any, other: Any) -> Any:
    if type(other) is not type(self):
        return NotImplemented
    return self._compared(self) == self._compared(other)


def _hash(self: Any) -> int:
    return hash(self._compared(self))


def _nothing(_record: Any) -> tuple[()]:
    return ()


def _frozen(_self: Any, name: str, *_value: Any) -> None:
    raise dataclasses.FrozenInstanceError(f"cannot assign to or delete field {name!r}")


def _restore(self: Any, state: Any) -> None:
    """What pickle and copy put back, past the guard of a frozen record."""
    for part in filter(None, state if isinstance(state, tuple) else (state,)):
        for name, value in part.items():
            _set(self, name, value)
