"""Files to cut or print a gear from: DXF, SVG at true size, STL. Millimetres throughout."""

from __future__ import annotations

from dataclasses import dataclass
from io import StringIO
from typing import Any

import numpy as np

from gearchest.optimizer.making.blank import Blank
from gearchest.optimizer.making.involute import Points, ToothForm, bore_outline
from gearchest.reports.blanks.gear_template import true_size_svg


@dataclass(frozen=True)
class PrintedHub:
    """A hub on one side of a printed gear: diameter and length in mm."""

    diameter: float
    length: float


@dataclass(frozen=True)
class CutGear:
    """A gear's closed outlines with the offset laid on; `bore` None: no hole."""

    blank: Blank
    outline: Points
    bore: Points | None


def cut_gear(blank: Blank, offset: float = 0.0) -> CutGear:
    """The outlines to cut: `offset` mm fuller all round (half a kerf), the bore smaller."""
    return CutGear(blank, ToothForm(blank, offset).outline(), bore_outline(blank, offset))


def file_stem(blank: Blank) -> str:
    """The name the files of a gear share: gear-63-m1, or gear-63-m1-x0.3 when shifted."""
    shift = f"-x{blank.shift:.3g}" if blank.shift else ""
    return f"gear-{blank.teeth}-m{blank.module:.5g}{shift}"


def file_names(blank: Blank) -> list[str]:
    """The names of the gear's files."""
    return [f"{file_stem(blank)}.{kind}" for kind in ("dxf", "svg", "stl")]


def gear_files(
    blank: Blank, offset: float = 0.0, hub: PrintedHub | None = None
) -> dict[str, bytes]:
    """The gear's files by name: DXF, SVG at true size, STL (with the hub, if there is one).

    `offset`: mm fuller all round, half a kerf; negative for a printer that prints fat.
    """
    return {
        name: gear_file(blank, name.rpartition(".")[2], offset, hub) for name in file_names(blank)
    }


def gear_file(blank: Blank, kind: str, offset: float = 0.0, hub: PrintedHub | None = None) -> bytes:
    """One of the gear's files: `kind` dxf, svg or stl; the rest as `gear_files`."""
    gear = cut_gear(blank, offset)
    if kind == "stl":
        return bytes(solid(gear, hub).export(file_type="stl"))
    text = dxf(gear) if kind == "dxf" else true_size_svg(gear.blank, gear.outline, gear.bore)
    return text.encode("utf-8")


def dxf(gear: CutGear) -> str:
    """Closed polylines on the layers OUTLINE and BORE, the pitch circle on PITCH."""
    from ezdxf import options, units  # type: ignore[attr-defined]
    from ezdxf.filemanagement import new

    # Else times and random marks are written, and the same gear gives other bytes each time.
    options.write_fixed_meta_data_for_testing = True
    drawing = new("R2010", setup=True)
    drawing.units = units.MM
    for name, linetype in (("OUTLINE", "CONTINUOUS"), ("BORE", "CONTINUOUS"), ("PITCH", "CENTER")):
        drawing.layers.add(name, linetype=linetype)
    space = drawing.modelspace()
    _polyline(space, gear.outline, "OUTLINE")
    if gear.bore is not None:
        if gear.blank.keyway is None:
            radius = float(np.hypot(*gear.bore[0]))
            space.add_circle((0, 0), radius, dxfattribs={"layer": "BORE"})
        else:
            _polyline(space, gear.bore, "BORE")
    space.add_circle((0, 0), gear.blank.pitch_diameter / 2, dxfattribs={"layer": "PITCH"})
    for kind in sorted(drawing.entitydb.dxf_types_in_use()):  # else added as a set has them
        drawing.classes.add_class(kind)
    text = StringIO()
    drawing.write(text)
    return text.getvalue()


def _polyline(space: Any, points: Points, layer: str) -> None:
    space.add_lwpolyline(points.tolist(), close=True, dxfattribs={"layer": layer})


def solid(gear: CutGear, hub: PrintedHub | None = None) -> Any:
    """The gear as a closed mesh standing on z = 0, the hub on top of it where there is one."""
    import shapely
    import trimesh

    holes = [] if gear.bore is None else [gear.bore]
    body = trimesh.creation.extrude_polygon(
        shapely.Polygon(gear.outline, holes), gear.blank.face_width, engine="earcut"
    )
    if hub is None:
        return body
    ring = shapely.Point(0, 0).buffer(hub.diameter / 2, quad_segs=48)
    sleeve = trimesh.creation.extrude_polygon(
        ring - shapely.MultiPolygon([shapely.Polygon(hole) for hole in holes]),
        gear.blank.face_width + hub.length,
        engine="earcut",
    )
    return trimesh.boolean.union([body, sleeve])
