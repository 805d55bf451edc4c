"""The flat frame an exercise is flown in, and how it hangs on the round earth.

Owns the plane tangent at the landing threshold: x magnetic east, y magnetic north, both in
metres, z the height above that plane. Refuses to know runways, signals and aircraft.

Surprising rule: the plane is flat, the sea is not. At a distance d from the threshold the level
surface has fallen d²/2R below the plane, so height above sea level is
elevation + z + d²/2R, and a straight beam is met higher on an altimeter than flat trigonometry
says. Geodesy on the ellipsoid happens only when an exercise is composed, never in flight.
"""

from __future__ import annotations

import math

from trainer.units import DEG
from trainer.values import dataclass

EARTH_RADIUS_M = 6_371_008.8
"""Mean radius (2a + b)/3 of the WGS-84 ellipsoid, m (IUGG R1, Moritz 2000).

The true radius of curvature lies between 6 335 and 6 400 km, depending on latitude and
direction; at 25 NM that range moves the drop by less than 1 m, so one figure serves all places.
"""


def drop_m(distance_m: float) -> float:
    """How far the level surface lies below the tangent plane, m.

    Args:
        distance_m: distance from the threshold, m (0..200 000; the sign does not matter).

    Returns:
        d²/2R, m: 0.883 ft times the square of the distance in NM.
    """
    return distance_m * distance_m / (2.0 * EARTH_RADIUS_M)


def height_above_plane_m(height_m: float, distance_m: float) -> float:
    """Height above the tangent plane (z, m) of a point `height_m` above threshold elevation."""
    return height_m - distance_m * distance_m / (2.0 * EARTH_RADIUS_M)


@dataclass(frozen=True, slots=True)
class Plane:
    """The plane of one landing threshold.

    Attributes:
        latitude_deg: geodetic latitude of the threshold on WGS-84, ° (-90..90, north positive).
        longitude_deg: longitude of the threshold, ° (-180..180, east positive).
        variation_deg: magnetic variation of the place, ° (-180..180, east positive).
    """

    latitude_deg: float
    longitude_deg: float
    variation_deg: float

    def magnetic_course_deg(self, true_course_deg: float) -> float:
        """The magnetic course, 0..360°, of a true course at this place."""
        return (true_course_deg - self.variation_deg) % 360.0

    def true_course_deg(self, magnetic_course_deg: float) -> float:
        """The true course, 0..360°, of a magnetic course at this place."""
        return (magnetic_course_deg + self.variation_deg) % 360.0

    def locate(self, latitude_deg: float, longitude_deg: float) -> tuple[float, float]:
        """Place of a point in the plane: (x, y) in m, magnetic east and magnetic north.

        Distance and direction from the threshold are those of the geodesic on WGS-84, so both
        are exact seen from the threshold, which is where an approach leads.
        """
        from geographiclib.geodesic import Geodesic

        line = Geodesic.WGS84.Inverse(
            self.latitude_deg, self.longitude_deg, latitude_deg, longitude_deg
        )
        bearing = (line["azi1"] - self.variation_deg) * DEG
        return line["s12"] * math.sin(bearing), line["s12"] * math.cos(bearing)

    def place(self, x_m: float, y_m: float) -> tuple[float, float]:
        """Latitude and longitude (°, WGS-84) of a point in the plane; inverse of `locate`."""
        from geographiclib.geodesic import Geodesic

        azimuth_deg = math.atan2(x_m, y_m) / DEG + self.variation_deg
        line = Geodesic.WGS84.Direct(
            self.latitude_deg, self.longitude_deg, azimuth_deg, math.hypot(x_m, y_m)
        )
        return line["lat2"], line["lon2"]
