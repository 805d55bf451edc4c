"""Tables of the airport file: runways, aids, fixes and procedures."""

from __future__ import annotations

from trainer.scenario.vocabulary import words
from trainer.scenario.vocabulary.shapes import (
    FLAG,
    TEXT,
    VERSION,
    Key,
    Record,
    Shape,
    capitals,
    choice,
    named_records,
    quantity,
    record,
    records,
)
from trainer.world.reception import TRANSMISSIONS

IDENT = capitals(2, 4)
"""An identification as it is sent (ICAO Annex 10 Vol I, 3.1.3.9: two or three letters, and I)."""
_POSITION = Shape("position")
_ALTITUDE = quantity("ft", -1000, 45000)
_STATE = Key(
    "state", choice(*TRANSMISSIONS), "maintenance radiates without ident", default="normal"
)
_BACK_COURSE = Key("back course", FLAG, "whether the signal is sent backwards too", default="false")
_FALSE_COURSE = Key(
    "false course",
    quantity("deg", 36, 60),
    "a known effect of the site: where outside the sector the needle centres",
)

TABLES = (
    Record(
        "airport",
        "an aerodrome with its runways, aids, fixes and approaches; invented places only",
        (
            Key("format", VERSION, "version of the format", required=True),
            Key("name", TEXT, "name of the place", required=True),
            Key("elevation", quantity("ft", -1000, 15000), "aerodrome elevation", required=True),
            Key(
                "variation", quantity("deg", -180, 180), "magnetic variation, east positive",
                required=True,
            ),
            Key(
                "coverage", choice(*words.COVERAGE), "published coverage of the localizers",
                default="icao",
            ),
            Key(
                "transition altitude", quantity("ft", 1000, 20000), "where standard setting begins",
                default="18000 ft",
            ),
            Key("runways", records("runway", 12), "landing runways", required=True),
            Key("fixes", records("fix", 60), "named places", required=True),
            Key("approaches", records("approach", 24), "instrument approaches", required=True),
            Key("stations", records("station", 24), "what else can be tuned"),
            Key("notes", Shape("prose", most=4000), "remarks for readers"),
        ),
    ),
    Record(
        "runway",
        "one landing direction",
        (
            Key("runway", TEXT, "designator, in quotes, such as \"09\"", required=True),
            Key("threshold", _POSITION, "landing threshold", required=True),
            Key("course", quantity("deg", 0, 360), "magnetic course", required=True),
            Key("length", quantity("m", 300, 6000), "length from the threshold", required=True),
            Key("elevation", quantity("ft", -1000, 15000), "threshold elevation", required=True),
            Key("lights", choice("full", "basic", "none"), "approach lights", default="full"),
        ),
    ),
    Record(
        "fix",
        "a named place",
        (
            Key("fix", capitals(2, 5), "name, such as OMBRY", required=True),
            Key("position", _POSITION, "where it is", required=True),
        ),
    ),
    Record(
        "approach",
        "one instrument approach",
        (
            Key("approach", TEXT, "name, such as ILS 14", required=True),
            Key("runway", TEXT, "designator of its runway", required=True),
            Key("localizer", record("localizer"), "the localizer"),
            Key("rnp", record("rnp"), "in its place: a final by navigation position"),
            Key("glideslope", record("glideslope"),
                "the glide path; of an rnp final its angle, nothing is sent", required=True),
            Key("dme", record("dme"), "ranging paired with the localizer"),
            Key("arrivals", named_records("leg", 20), "legs that lead to the first of `legs`"),
            Key("legs", records("leg", 20), "legs common to all arrivals, to the final fix",
                required=True),
            Key("final fix", TEXT, "fix at which the final descent begins", required=True),
            Key("steps", records("leg", 10), "step-down fixes behind the final fix"),
            Key("minimums", quantity("ft", -1000, 15000), "decision altitude", required=True),
            Key("descent minimum", FLAG,
                "true: a minimum descent altitude, flown as a decision altitude with the add-on of "
                "the flow", default="false"),
            Key("missed approach", record("missed approach"), "what follows a go-around",
                required=True),
        ),
        one_of=(("localizer", "rnp"),),
    ),
    Record(
        "rnp",
        "a final that is flown by navigation position",
        (
            Key("course", quantity("deg", 0, 360), "final course, magnetic", required=True),
            Key("required", quantity("NM", 0.1, 1), "navigation performance required (RNP)",
                default="0.3 NM"),
            Key("service", choice(*words.SERVICES),
                "best level of service; LNAV/VNAV has a barometric path, LNAV none",
                required=True),
            Key("lowest temperature", quantity("C", -60, 20),
                "at the field; colder, the barometric path is not flown", default="-15 C"),
            Key("highest temperature", quantity("C", 0, 60),
                "at the field; warmer, the barometric path is not flown", default="47 C"),
            Key("LNAV minimum", quantity("ft", -1000, 15000),
                "minimum descent altitude once the service is LNAV, flown as a decision altitude "
                "with the add-on of the flow; without it LNAV is no way on"),
        ),
    ),
    Record(
        "localizer",
        "the localizer of an approach",
        (
            Key("frequency", quantity("MHz", 108.1, 111.95), "its frequency", required=True),
            Key("ident", IDENT, "identification as sent", required=True),
            Key("course", quantity("deg", 0, 360), "front course, magnetic", required=True),
            Key(
                "antenna to threshold", quantity("m", 500, 7000),
                "distance of the antenna beyond the landing threshold", required=True,
            ),
            _STATE,
            _BACK_COURSE,
            _FALSE_COURSE,
        ),
    ),
    Record(
        "station",
        "a station that can be tuned besides those of the approaches",
        (
            Key("station", IDENT, "identification as sent", required=True),
            Key("kind", choice(*words.STATIONS), "what it sends", required=True),
            Key("frequency", quantity("MHz", 108.0, 117.95), "its frequency", required=True),
            Key("position", _POSITION, "antenna; for a localizer, the threshold that it serves",
                required=True),
            Key("height", _ALTITUDE, "antenna or threshold above sea level", default="0 ft"),
            Key("course", quantity("deg", 0, 360), "front course of a localizer, magnetic"),
            Key("antenna to threshold", quantity("m", 500, 7000),
                "of a localizer: distance of the antenna beyond the threshold", default="3000 m"),
            Key("angle", quantity("deg", 2, 7.5), "path angle of an ILS", default="3 deg"),
            Key("crossing height", quantity("ft", 20, 80), "of its path over the threshold",
                default="50 ft"),
            Key("zero offset", quantity("NM", 0, 5), "subtracted from a DME reading",
                default="0 NM"),
            _STATE,
            _BACK_COURSE,
            _FALSE_COURSE,
        ),
    ),
    Record(
        "glideslope",
        "the glide path of an approach",
        (
            Key("angle", quantity("deg", 2, 7.5), "path angle", required=True),
            Key("crossing height", quantity("ft", 20, 80), "height over the threshold",
                required=True),
            Key("transmitted", FLAG, "false: published for a localizer approach, nothing is sent",
                default="true"),
        ),
    ),
    Record(
        "dme",
        "ranging equipment",
        (
            Key("position", _POSITION, "antenna", required=True),
            Key("height", _ALTITUDE, "antenna above sea level", default="0 ft"),
            Key(
                "zero offset", quantity("NM", 0, 5),
                "subtracted from the reading, so that it shows zero where it should",
                default="0 NM",
            ),
        ),
    ),
    Record(
        "leg",
        "a coded leg to a fix",
        (
            Key("fix", TEXT, "where it ends", required=True),
            Key("at", _ALTITUDE, "cross at this altitude"),
            Key("above", _ALTITUDE, "cross at or above this altitude"),
            Key("speed", quantity("kt", 60, 350), "speed limit at the fix"),
            Key("arc", record("arc"), "the way round to it; without it the leg is straight"),
        ),
        at_most_one=(("at", "above"),),
    ),
    Record(
        "arc",
        "a part of a circle from the fix before to this one, equally far from the centre",
        (
            Key("round", TEXT, "a fix, or the ident of a station of the airport", required=True),
            Key("turn", choice("left", "right"), "to which side it turns", required=True),
        ),
    ),
    Record(
        "missed approach",
        "track and altitude after a go-around",
        (
            Key("altitude", _ALTITUDE, "altitude to climb to", required=True),
            Key("legs", records("leg", 20), "legs to fly, from the runway on; nav mode does",
                required=True),
        ),
    ),
)  # fmt: skip
"""Records of the airport file."""
