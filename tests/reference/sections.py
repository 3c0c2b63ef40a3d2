"""Section properties by the finite-element library sectionproperties, for tests/rating/reference.rs.

    python -m venv venv
    venv/bin/pip install sectionproperties==3.10.2
    venv/bin/python tests/reference/sections.py > tests/reference/sections.csv

Each row names its plates, in inches: webs, web depth and thickness, top and bottom flange, top and
bottom cover (width x thickness, 0 where there is none). A box has its webs under the flange's
edges; where they stand makes no difference to bending about the horizontal axis.
"""

import sys
from importlib.metadata import version

from sectionproperties.analysis import Section
from sectionproperties.pre.library import rectangular_section

# webs, web (depth, thickness), top flange, bottom flange, top cover, bottom cover (width, thickness)
CASES = {
    "box": (2, (28.5, 0.5), (24, 0.75), (24, 0.75), (0, 0), (0, 0)),
    "box with unequal flanges": (2, (26.25, 0.4375), (22, 0.625), (18.5, 1.125), (0, 0), (0, 0)),
    "I with unequal flanges": (1, (31.3, 0.4), (11.5, 0.8), (14.2, 1.1), (0, 0), (0, 0)),
    "I with both covers": (1, (27.6, 0.46), (10.1, 0.75), (10.1, 0.75), (8.6, 0.5), (12.3, 0.625)),
    "I with a bottom cover": (1, (24.9, 0.375), (12.2, 0.7), (9.3, 0.7), (0, 0), (8.1, 0.9)),
    "box of three webs": (3, (19.7, 0.3125), (30.2, 0.5), (26.4, 0.6875), (20.3, 0.375), (0, 0)),
}


def properties(webs, web, top, bottom, top_cover, bottom_cover):
    plates, base = [], 0.0

    def lay(width, height, center=0.0):
        plates.append(rectangular_section(d=height, b=width).shift_section(center - width / 2, base))

    for width, height in (bottom_cover, bottom):
        if width:
            lay(width, height)
            base += height
    reach = min(top[0], bottom[0]) - web[1]
    for i in range(webs):
        place = 0.0 if webs == 1 else reach * (i / (webs - 1) - 0.5)
        lay(web[1], web[0], place)
    base += web[0]
    for width, height in (top, top_cover):
        if width:
            lay(width, height)
            base += height
    geometry = plates[0]
    for plate in plates[1:]:
        geometry += plate
    geometry.create_mesh(mesh_sizes=0.5)
    section = Section(geometry)
    section.calculate_geometric_properties()
    _, y = section.get_c()
    inertia, *_ = section.get_ic()
    s_top, s_bottom, *_ = section.get_z()
    return section.get_area(), y, inertia, s_top, s_bottom


print("# Area, in2, centroid above the underside, in, inertia, in4, and section moduli, in3.")
print("# Made by tests/reference/sections.py, which says how.")
packages = ", ".join(f"{name} {version(name)}" for name in ("sectionproperties", "shapely", "numpy"))
print(f"# Python {sys.version.split()[0]}, {packages}")
print(
    "section,webs,web_depth,web_thickness,top_width,top_thickness,bottom_width,bottom_thickness,"
    "top_cover_width,top_cover_thickness,bottom_cover_width,bottom_cover_thickness,"
    "area,centroid,inertia,top_modulus,bottom_modulus"
)
for name, (webs, *plates) in CASES.items():
    measures = ",".join(f"{number}" for plate in plates for number in plate)
    found = ",".join(f"{number:.5f}" for number in properties(webs, *plates))
    print(f"{name},{webs},{measures},{found}", flush=True)
