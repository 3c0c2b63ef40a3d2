"""Greatest moment and end shear of vehicles on simple spans by two general-purpose libraries,
for tests/rating/reference.rs.

    python -m venv venv
    venv/bin/pip install PyCBA==1.0.2 anastruct==1.7.0
    venv/bin/python tests/reference/moving_loads.py > tests/reference/moving_loads.csv

PyCBA moves the vehicle over a beam in small steps and takes the envelope, so it knows nothing of
where the worst position is, and lies a little low. anaStruct solves a static frame model with a
node under every axle, for every position in which an axle and the resultant of some run of axles
stand symmetrically about mid-span or an axle stands at a bearing: no step, but positions
chosen by a rule. Each covers what the other leaves open.
"""

import sys
from importlib.metadata import version

import numpy as np
import pycba
from anastruct import SystemElements

# Axle loads in kips and spacings in ft, from the sources named in src/rate/vehicles.rs.
VEHICLES = {
    "Type 3": ([16, 17, 17], [15, 4]),
    "Type 3S2": ([10, 15.5, 15.5, 15.5, 15.5], [11, 4, 22, 4]),
    "Type 3-3": ([12, 12, 12, 16, 14, 14], [15, 4, 15, 16, 4]),
    "SU4": ([12, 8, 17, 17], [10, 4, 4]),
    "SU7": ([11.5, 8, 8, 17, 17, 8, 8], [10, 4, 4, 4, 4, 4]),
    "EV3": ([24, 31, 31], [15, 4]),
    "HS20": ([8, 32, 32], [14, 14]),
}
SPANS = [23.7, 38.3, 47.9, 61.3, 88.6]
STEP = 0.05


def by_pycba(loads, spacings, span):
    moment = shear = 0.0
    for axles, gaps in ((loads, spacings), (loads[::-1], spacings[::-1])):
        bridge = pycba.BridgeAnalysis()
        bridge.add_bridge(np.array([span]), np.array([1.0e6]), np.array([-1, 0, -1, 0]))
        bridge.add_vehicle(np.array(gaps, float), np.array(axles, float))
        envelope = bridge.run_vehicle(STEP)
        moment = max(moment, float(np.max(envelope.Mmax)))
        shear = max(shear, float(np.max(np.abs(envelope.Rmax))), float(np.max(np.abs(envelope.Rmin))))
    return moment, shear


def by_anastruct(loads, spacings, span):
    offsets = np.concatenate(([0.0], np.cumsum(spacings)))
    fronts = set()
    for first in range(len(loads)):
        for last in range(first + 1, len(loads) + 1):
            resultant = np.average(offsets[first:last], weights=loads[first:last])
            fronts |= {span / 2 - (o + resultant) / 2 for o in offsets[first:last]}
    fronts |= {x - o for o in offsets for x in (0.0, span)}
    moment = shear = 0.0
    for front in sorted(fronts):
        places = {round(front + o, 7): p for p, o in zip(loads, offsets)}
        places = {x: p for x, p in places.items() if 0 <= x <= span}
        if places:
            m, v = statics(places, span)
            moment, shear = max(moment, m), max(shear, v)
    return moment, shear


def statics(places, span):
    frame = SystemElements()
    nodes = sorted({0.0, span, *places})
    for left, right in zip(nodes, nodes[1:]):
        frame.add_element([[left, 0], [right, 0]])
    frame.add_support_hinged(1)
    frame.add_support_roll(len(nodes))
    for place, load in places.items():
        frame.point_load(nodes.index(place) + 1, Fy=-load)
    frame.solve()
    moment = max(max(abs(e["Mmin"]), abs(e["Mmax"])) for e in frame.get_element_results())
    return moment, max(abs(frame.get_node_results_system(n)["Fy"]) for n in (1, len(nodes)))


print("# Greatest moment, kip-ft, and end shear, kip, of one vehicle on a simple span, without impact.")
print("# Made by tests/reference/moving_loads.py, which says how; PyCBA lies a little low.")
packages = ", ".join(f"{name} {version(name)}" for name in ("PyCBA", "anastruct", "numpy"))
print(f"# Python {sys.version.split()[0]}, {packages}; PyCBA in steps of {STEP} ft")
print("vehicle,span_ft,moment_pycba,shear_pycba,moment_anastruct,shear_anastruct")
for name, (loads, spacings) in VEHICLES.items():
    for span in SPANS:
        m1, v1 = by_pycba(loads, spacings, span)
        m2, v2 = by_anastruct(loads, spacings, span)
        print(f"{name},{span},{m1:.3f},{v1:.4f},{m2:.3f},{v2:.4f}", flush=True)
