"""The octagon marked on a cylinder that is as long as it is thick."""

from __future__ import annotations

from studio.language import tr, tr_for
from studio.measure.measurement import MeasurementTable, System
from studio.paper.drawings.pen import circle, dimension, label, line, polygon, row, svg, upright


def octagon_layout(table: MeasurementTable, system: System) -> str:
    """The cylinder between centres, seen from the side, with the octagon to mark on it.

    Shows the diameter, the octagon's side, the set-in along the length and on the end face, the
    two end lines, and the ball to come.

    Args:
        table: the design's measurements.
        system: the system whose figures stand first and larger.

    Returns:
        SVG with marked figures; empty when the table lacks ``sphere.diameter``,
        ``sphere.octagon_side`` or ``sphere.set_in``.
    """
    if not {"sphere.diameter", "sphere.octagon_side", "sphere.set_in"} <= table.keys():
        return ""
    diameter, side = table["sphere.diameter"], table["sphere.octagon_side"]
    set_in = table["sphere.set_in"]
    width, height = 400.0, 440.0
    x0, y0, across = 44.0, 90.0, 216.0
    x1, y1 = x0 + across, y0 + across
    mid_x, mid_y = x0 + across / 2, y0 + across / 2
    inset = across * set_in.value / diameter.value
    corner_left, corner_right = x0 + inset, x1 - inset
    corner_top, corner_bottom = y0 + inset, y1 - inset
    octagon = [
        (corner_left, y0), (corner_right, y0), (x1, corner_top), (x1, corner_bottom),
        (corner_right, y1), (corner_left, y1), (x0, corner_bottom), (x0, corner_top),
    ]  # fmt: skip
    # the stubs that hold the work are thinner than the octagon's flat on the end face
    stub = (corner_bottom - corner_top) * 0.3
    body = [
        *(
            polygon("waste", triangle)
            for triangle in (
                [(x0, y0), octagon[0], octagon[7]],
                [(x1, y0), octagon[1], octagon[2]],
                [(x1, y1), octagon[4], octagon[3]],
                [(x0, y1), octagon[5], octagon[6]],
            )
        ),
        *(
            line(left, mid_y + off, right, mid_y + off, "outline")
            for off in (-stub, stub)
            for left, right in ((12.0, x0), (x1, x1 + 34.0))
        ),
        polygon("outline", [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]),
        polygon("cut", octagon),
        circle("ball", mid_x, mid_y, across / 2),
        line(4, mid_y, x1 + 42, mid_y, "axis"),
        # along the length
        line(x0, y0 - 4, x0, y0 - 18, "dim"),
        line(corner_left, y0 - 4, corner_left, y0 - 18, "dim"),
        dimension(x0, y0 - 12, corner_left, y0 - 12),
        label(4, 4, tr_for("drawing", "set-in along the length"), set_in, system, room=200),
        # on the end face
        line(x1 + 4, y0, x1 + 18, y0, "dim"),
        line(x1 + 4, corner_top, x1 + 18, corner_top, "dim"),
        dimension(x1 + 12, y0, x1 + 12, corner_top),
        label(x1 + 22, y0 - 10, tr("on the end face"), set_in, system, room=width - x1 - 23),
        # through the middle
        dimension(mid_x - 28, y0, mid_x - 28, y1),
        label(mid_x - 18, mid_y - 70, tr_for("drawing", "diameter"), diameter, system, room=104),
        # under the cylinder
        line(corner_left, y1 + 4, corner_left, y1 + 18, "dim"),
        line(corner_right, y1 + 4, corner_right, y1 + 18, "dim"),
        dimension(corner_left, y1 + 12, corner_right, y1 + 12),
        row(mid_x, y1 + 20, tr("octagon side"), side, system, 206),
        line(x0, y1 + 4, x0, y1 + 82, "dim"),
        line(x1, y1 + 4, x1, y1 + 82, "dim"),
        dimension(x0, y1 + 76, x1, y1 + 76),
        row(mid_x, y1 + 83, tr("from end line to end line"), diameter, system, 290),
        # which end is which
        upright(24, mid_y + stub + 8, tr_for("drawing", "headstock")),
        upright(x1 + 30, mid_y + stub + 8, tr_for("drawing", "tailstock")),
    ]
    desc = tr(
        "Side view of a cylinder as long between its end lines as it is thick. An octagon drawn "
        "in the square touches all four edges; the corners outside it are turned away. A dashed "
        "circle inside shows the finished ball."
    )
    return svg("octagon", width, height, tr("The octagon on the cylinder"), desc, "".join(body))
