"""The coded legs in use during a flight: which one is active, and the descent along them.

Owns the route as it was coded, the one a direct-to made of it, and how far along it the flight
is. Refuses to know modes. The surprising rule: asking where the aircraft stands moves the active
leg on, if its turn is due.
"""

from __future__ import annotations

from trainer.guidance.capture import NEAR_LEG_M, is_line_captured
from trainer.guidance.coded import Coding, OnPath, descent_along, direct_route, on_path, runway_leg
from trainer.guidance.modes import Sensed
from trainer.units import DEG
from trainer.world.aircraft import Handling
from trainer.world.coded_descent import Limit
from trainer.world.legs import LegView, Route, distance_to_end_m, follow


class CodedLegs:
    """The legs of one flight.

    `route`: those in use. `active`: number of the active one, from 0. `descent`: the coded descent
    along them, None where there is none.
    """

    __slots__ = (
        "_bank_limit_rad",
        "_coded_route",
        "_coding",
        "_direct_number",
        "_handling",
        "_runway",
        "active",
        "descent",
        "route",
    )

    def __init__(self, route: Route, coding: Coding | None, handling: Handling) -> None:
        """Begin on the first leg of `route`; `coding`: what is asked of a descent along it."""
        self._coded_route = route
        self._coding = coding
        self._handling = handling
        self._bank_limit_rad = handling.bank_deg * DEG
        self._direct_number = 0
        self._use(route)

    def _use(self, route: Route) -> None:
        self.route = route
        self.active = 0
        self.descent = descent_along(route, self._coding)
        self._runway = runway_leg(route, self._coding)

    @property
    def is_descent_ahead(self) -> bool:
        """There is a coded descent, and its runway has not been passed."""
        last = self._runway
        return self.descent is not None and last is not None and self.active <= last

    def view(self, sensed: Sensed) -> LegView:
        """Where the aircraft stands, having moved on to the next leg if due."""
        view = follow(
            self.route,
            self.active,
            sensed.x_m,
            sensed.y_m,
            sensed.ground_speed_ms,
            self._bank_limit_rad,
        )
        self.active = view.leg_index
        return view

    def path(self, sensed: Sensed) -> OnPath | None:
        """Where the aircraft stands on the coded descent; None where there is none."""
        if self.descent is None:
            return None
        return on_path(self.descent, self.route, self.view(sensed), self._runway, sensed)

    def limit(self, sensed: Sensed) -> Limit | None:
        """The speed limit that the coded descent keeps here; None where there is none."""
        if self.descent is None:
            return None
        return self.descent.limit(distance_to_end_m(self.route, self.view(sensed), self._runway))

    def direct_to(self, number: int, sensed: Sensed) -> None:
        """Fly directly to fix `number` of the coded legs (1 = the first) and on from there.

        IndexError for a number without a fix.
        """
        self._use(direct_route(self._coded_route, number, sensed, self._bank_limit_rad))
        self._direct_number = number

    def begin_missed_approach(self) -> None:
        """The legs to the runway and beyond it are the active ones, wherever the approach was left.

        Without it, an aircraft that was led by headings would still wait for a leg far behind.
        """
        if self._runway is not None:
            self.active = max(self.active, self._runway)

    def is_near(self, sensed: Sensed) -> bool:
        """Whether the turn onto the active leg must begin now, or has been made.

        A direct leg is always near, since it leads from wherever the aircraft is: it is laid again.
        """
        view = self.view(sensed)
        if self._direct_number and view.leg_index == 0:
            self.direct_to(self._direct_number, sensed)
            return True
        return is_line_captured(
            view.cross_track_m,
            sensed.track_rad - view.course_rad,
            sensed.ground_speed_ms,
            self._handling,
            is_near=abs(view.cross_track_m) <= NEAR_LEG_M,
        )
