"""Marks on edges: dots, signs, and the white circles that signs and letters stand on."""

from __future__ import annotations

from packbuilder.reader.drawn.figure import Figure, circle
from packbuilder.reader.drawn.style import (
    DOT,
    KNOCK_OUT,
    SIGN_REACH,
    SIGN_SPREAD,
    Frame,
    near,
    same_width,
)
from packbuilder.rules.shapes import Edge


def dot(figure: Figure, frame: Frame) -> Edge | None:
    """A white dot or a black one, with an edge."""
    middle = circle(figure, DOT, frame)
    edge = frame.edge_at(*middle) if middle else None
    rimmed = figure.stroke == "ink" and same_width(figure.width, frame.stroke("dot"))
    if not edge or figure.dash or not rimmed or figure.fill not in ("ink", "white"):
        return None
    return Edge(edge, "white" if (figure.fill == "white") is not frame.dark else "black")


def knock_out(figure: Figure, frame: Frame) -> tuple[int, int] | None:
    """The edge on whose middle a white circle of a knock-out's size lies."""
    if figure.fill != "white" or figure.drawing.brush:
        return None
    middle = circle(figure, KNOCK_OUT, frame)
    return frame.edge_at(*middle) if middle else None


def sign(figure: Figure, frame: Frame) -> Edge | None:
    """An angle on the middle of an edge, its point towards the smaller digit."""
    if figure.stroke != "ink" or figure.drawing.filled or figure.dash or len(figure.tracks) != 1:
        return None
    track = figure.tracks[0]
    if len(track) != 3 or figure.closed or not figure.straight:
        return None
    if not same_width(figure.width, frame.stroke("sign")):
        return None
    one, tip, other = track
    foot = ((one[0] + other[0]) / 2, (one[1] + other[1]) / 2)
    edge = frame.edge_at((tip[0] + foot[0]) / 2, (tip[1] + foot[1]) / 2)
    if not edge:
        return None
    axis = 0 if edge[1] - edge[0] == 1 else 1
    reach, lean = tip[axis] - foot[axis], tip[1 - axis] - foot[1 - axis]
    slack = frame.slack
    spread = abs(one[1 - axis] - other[1 - axis]) / 2
    square = near(one[axis], other[axis], slack) and near(lean, 0, slack)
    if square and near(abs(reach), 2 * SIGN_REACH, slack) and near(spread, SIGN_SPREAD, slack):
        return Edge(edge, "<" if reach < 0 else ">")
    return None
