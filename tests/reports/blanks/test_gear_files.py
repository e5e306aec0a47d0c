"""Files to cut from, read back by other programs: ezdxf's audit, trimesh, a browser."""

import math
import re
from dataclasses import replace
from fractions import Fraction
from io import BytesIO, StringIO

import ezdxf
import numpy as np
import pytest
import shapely
import trimesh
from gear_rolling import Flank, contact_ratio, roll

from gearchest.optimizer.domain.lathe import GearMaking
from gearchest.optimizer.making.blank import design_blank
from gearchest.optimizer.making.involute import ToothForm, face_area
from gearchest.optimizer.making.measuring import form_diameter
from gearchest.reports.blanks.gear_files import PrintedHub, file_stem, gear_files
from gearchest.reports.blanks.gear_template import page_window, whole_window

MAKING = GearMaking(Fraction(1), Fraction(20), Fraction(8), 12.0, "3x1.4")
IMPERIAL = GearMaking(Fraction(127, 80), Fraction(29, 2), Fraction(19, 2), 15.875, "")
BLANKS = [
    design_blank(MAKING, 63),
    design_blank(MAKING, 20),
    design_blank(MAKING, 127, thinning=0.0),
    design_blank(IMPERIAL, 45),
]


def drawing_of(blank, offset=0.0):
    text = gear_files(blank, offset)[f"{file_stem(blank)}.dxf"].decode()
    return ezdxf.read(StringIO(text))


def outline_of(drawing, layer="OUTLINE"):
    (line,) = drawing.modelspace().query(f'LWPOLYLINE[layer=="{layer}"]')
    assert line.closed
    return np.array(line.get_points("xy"))


@pytest.mark.parametrize("blank", BLANKS, ids=file_stem)
def test_dxf_passes_the_audit_closed_and_in_millimetres(blank):
    drawing = drawing_of(blank)
    audit = drawing.audit()
    assert not audit.errors
    assert not audit.fixes
    assert drawing.header["$INSUNITS"] == 4  # millimetres, DXF reference
    outline = shapely.Polygon(outline_of(drawing))
    assert outline.is_valid
    (pitch,) = drawing.modelspace().query('CIRCLE[layer=="PITCH"]')
    assert pitch.dxf.radius == pytest.approx(blank.module * blank.teeth / 2)
    reach = np.hypot(*outline_of(drawing).T)
    assert 2 * reach.max() == pytest.approx(blank.module * (blank.teeth + 2))
    if blank.keyway:
        hole = shapely.Polygon(outline_of(drawing, "BORE"))
        area = outline.area - hole.area
    else:
        (bore,) = drawing.modelspace().query('CIRCLE[layer=="BORE"]')
        assert bore.dxf.radius == pytest.approx(15.875 / 2)
        area = outline.area - math.pi * bore.dxf.radius**2
    assert area == pytest.approx(face_area(blank), rel=1e-3)


def test_the_same_gear_gives_the_same_bytes():
    assert gear_files(BLANKS[1]) == gear_files(BLANKS[1])


def right_flank(outline, blank) -> Flank:
    """The right-hand involute of the upright tooth, picked out of the drawn outline."""
    reach = np.hypot(*outline.T)
    angle = np.arctan2(outline[:, 0], outline[:, 1])
    on_flank = (reach > form_diameter(blank) / 2 - 1e-6) & (angle > 0)
    on_flank &= angle < math.pi / blank.teeth
    points = outline[on_flank]
    land = np.isclose(np.hypot(*points.T), blank.tip_diameter / 2, atol=1e-9)
    corner = points[land][np.argmax(np.arctan2(*points[land].T))]
    flank = np.vstack((points[~land], corner))
    return Flank(flank[np.argsort(np.hypot(*flank.T))], blank.teeth)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        (BLANKS[0], design_blank(MAKING, 40)),
        (BLANKS[1], BLANKS[2]),
        (BLANKS[3], design_blank(IMPERIAL, 60)),
    ],
    ids=["63 and 40", "20 and 127", "45 and 60, 14 1/2 degrees"],
)
def test_the_drawn_gear_rolls_on_its_mate(one, other):
    apart = one.module * (one.teeth + other.teeth) / 2
    flanks = [right_flank(outline_of(drawing_of(b)), b) for b in (one, other)]
    motion = roll(*flanks, apart)
    assert motion.overlap > 1
    assert motion.ratio_error < 1e-4
    assert motion.overlap == pytest.approx(contact_ratio(one, other, apart), abs=0.08)


@pytest.mark.parametrize("blank", BLANKS, ids=file_stem)
@pytest.mark.parametrize("hub", [None, PrintedHub(17.4, 6.0)], ids=["disc", "hub"])
def test_stl_is_watertight_and_of_the_right_volume(blank, hub):
    if hub and blank.teeth == 20:
        hub = PrintedHub(16.6, 6.0)
    data = gear_files(blank, hub=hub)[f"{file_stem(blank)}.stl"]
    mesh = trimesh.load(BytesIO(data), file_type="stl")
    assert mesh.is_watertight
    assert mesh.is_winding_consistent
    assert mesh.body_count == 1
    flank_area = _analytic_area(blank)
    expected = flank_area * blank.face_width
    if hub:
        expected += (math.pi * (hub.diameter / 2) ** 2 - _hole(blank)) * hub.length
    assert mesh.volume == pytest.approx(expected, rel=5e-3)
    top = blank.face_width + (hub.length if hub else 0)
    assert mesh.bounds[:, 2] == pytest.approx([0, top])


def _hole(blank) -> float:
    """Bore circle, and the keyway from its flat top down to the circle, exactly."""
    radius = blank.bore / 2
    if blank.keyway is None:
        return math.pi * radius**2
    half = blank.keyway.width / 2
    under = half * math.sqrt(radius**2 - half**2) + radius**2 * math.asin(half / radius)
    return math.pi * radius**2 + blank.keyway.width * (radius + blank.keyway.depth) - under


def _analytic_area(blank) -> float:
    """Root circle, and tooth thickness integrated from root to tip, less the hole."""
    form = ToothForm(blank)
    radii = np.linspace(form.form_radius, form.tip_radius, 20_001)
    flank = np.trapezoid([2 * r * form.half_angle(float(r)) for r in radii], radii)
    fillet = form.fillet(2000)
    reach, angle = np.hypot(*fillet.T), np.arctan2(fillet[:, 0], fillet[:, 1])
    foot = 2 * np.trapezoid(angle * reach, reach)
    return math.pi * form.root_radius**2 + blank.teeth * (flank + foot) - _hole(blank)


def test_the_offset_shows_in_the_file():
    blank = BLANKS[0]
    fuller = np.hypot(*outline_of(drawing_of(blank, 0.1)).T)
    assert 2 * fuller.max() == pytest.approx(blank.tip_diameter + 0.2)
    hole = np.hypot(*outline_of(drawing_of(blank, 0.1), "BORE").T)
    assert hole.min() == pytest.approx(6 - 0.1)


def test_names_tell_gears_apart():
    assert file_stem(BLANKS[0]) == "gear-63-m1"
    assert file_stem(replace(BLANKS[0], shift=0.3)) == "gear-63-m1-x0.3"


def test_svg_says_its_size_in_millimetres():
    svg = gear_files(BLANKS[0])["gear-63-m1.svg"].decode()
    width, height = (float(n) for n in re.findall(r'(?:width|height)="([\d.]+)mm"', svg)[:2])
    box = [float(n) for n in re.search(r'viewBox="([^"]+)"', svg)[1].split()]
    assert box[2:] == [width, height]  # one user unit is one millimetre
    assert sorted(float(n) for n in re.findall(r'data-mm="([\d.]+)"', svg)) == [100, 101.6]


def test_a_gear_too_big_for_a_page_is_shown_by_its_quarter():
    big = design_blank(GearMaking(Fraction(2), bore=12.0), 127)
    assert whole_window(big).width > 178
    window = page_window(big)
    assert window.width <= 178
    assert window.left < 0 < window.right
    assert page_window(BLANKS[0]) == whole_window(BLANKS[0])
