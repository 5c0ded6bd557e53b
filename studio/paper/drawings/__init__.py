"""Line drawings for the papers, as SVG with the measurements' own texts on them.

Coordinates follow the exact values, so that a drawing is true to proportion; every figure on it
is the measurement's printed text, never a number made here.
"""

from studio.paper.drawings.catalogue import Drawing, drawings_of
from studio.paper.drawings.elevation import assembly
from studio.paper.drawings.grooves import grooves_from_pole, grooves_from_side
from studio.paper.drawings.hanger import hanger_in_hole
from studio.paper.drawings.hollow import hollow_section
from studio.paper.drawings.mounting import mounting
from studio.paper.drawings.octagon import octagon_layout
from studio.paper.drawings.pen import text_width
from studio.paper.drawings.ring import index_ring
from studio.paper.drawings.rounds import ROUNDS, round_of_cuts
from studio.paper.drawings.stations import profile_stations

__all__ = [
    "ROUNDS",
    "Drawing",
    "assembly",
    "drawings_of",
    "grooves_from_pole",
    "grooves_from_side",
    "hanger_in_hole",
    "hollow_section",
    "index_ring",
    "mounting",
    "octagon_layout",
    "profile_stations",
    "round_of_cuts",
    "text_width",
]
