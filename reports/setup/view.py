"""What a setup sheet says, line by line: a Setup turned into plain words and figures.

The printed sheet and the short form in the terminal read the same lines.
"""

from __future__ import annotations

from dataclasses import dataclass

from gearchest.optimizer.arm.result import Fits
from gearchest.optimizer.domain.pitch import Pitch, format_fraction, format_pitch
from gearchest.optimizer.domain.want import Use
from gearchest.optimizer.strength.loads import Mesh, weakest
from gearchest.optimizer.turning.mounting import Shaft
from gearchest.optimizer.turning.procedures import carriage_back, next_start
from gearchest.optimizer.turning.setup import Setup
from gearchest.reports.words import numbers, wording
from gearchest.reports.words.line import Line
from gearchest.reports.words.states import State, state


@dataclass(frozen=True)
class MeshRow:
    """One mesh in the table of tooth loads; `forward` with the spindle driving, `backward`
    with the screw driving ("" where that is not asked)."""

    pair: str
    forward: str
    backward: str
    allowed: str
    share: str
    weakest: bool
    over: bool


@dataclass(frozen=True)
class Units:
    """Lengths as this lathe's dials read them."""

    inch: bool

    def dial(self, value: float) -> str:
        """A depth or slide reading: thousandths of an inch, hundredths of a mm; no unit."""
        return f"{value / 25.4:.3f}" if self.inch else f"{value:.2f}"

    @property
    def name(self) -> str:
        """The dial's unit."""
        return "inches" if self.inch else "mm"

    def step(self, value: float) -> str:
        """A length that must be kept closely: inches to 0.0001, mm to 0.001."""
        inches, mm = f"{value / 25.4:.4f}{numbers.NARROW_SPACE}in", numbers.millimetres(value, 3)
        return f"{inches} ({mm})" if self.inch else f"{mm} ({inches})"

    def length(self, value: float, places: int = 2) -> str:
        """In the lathe's unit with the other behind it."""
        return numbers.length_pair(value, inch=self.inch, places=places)


def units(setup: Setup) -> Units:
    """The units of the setup's lathe."""
    return Units(numbers.inch_first(setup.lathe))


def verdict(setup: Setup) -> State:
    """The state of the train shown: what it can do, not what the lathe could."""
    return state(setup.answer.verdict if setup.answer else setup.reach.verdict)


def fit_words(setup: Setup) -> str:
    """Whether the train mounts."""
    if setup.answer is None:
        return ""
    return {
        Fits.YES: "fits on the arm",
        Fits.NO: "does not fit on the arm",
        Fits.UNCHECKED: "fit unchecked",
    }[setup.answer.fit.fits]


def summary(setup: Setup) -> str:
    """The train in one sentence."""
    answer = setup.answer
    if answer is None:
        return "No train of the gears at hand cuts this within 5 %."
    allowed = numbers.allowance(setup.want.allowance.relative)
    text = f"{wording.gears_written(answer.train)}, {numbers.error(answer.error)}"
    return f"{text} (allowed {allowed}), {fit_words(setup)}."


def pitch_words(pitch: Pitch) -> tuple[str, str]:
    """The lead as it was written, and in the other system, rounded."""
    lead = pitch.lead
    own = format_pitch(lead) if pitch.starts > 1 else str(lead)
    metric = "mm" in own or lead.pi
    other = f"{25.4 / lead.mm:.4g} tpi" if metric else f"{lead.mm:.5g} mm"
    return own, f"{lead.mm:.5g} mm, {other}" if lead.pi else other


def thread_lines(setup: Setup) -> list[Line]:
    """The thread's sizes."""
    sizes, u = setup.sizes, units(setup)
    own, other = pitch_words(setup.want.pitch)
    several = sizes.starts > 1
    lines = [Line("Form", sizes.form, sizes.assumed)]
    if several:
        lines.append(Line("Starts", str(sizes.starts), f"pitch {u.length(sizes.pitch_mm, 3)}"))
    lines.append(Line("Lead" if several else "Pitch", own, other))
    for label, value in (
        ("Major diameter", sizes.major),
        ("Pitch diameter", sizes.pitch_diameter),
        ("Minor diameter", sizes.minor),
        ("Depth", sizes.depth),
        ("Nut bore", sizes.nut_bore),
    ):
        if value is not None:
            lines.append(Line(label, u.length(value), sizes.plane if "diameter" in label else ""))
    if sizes.major is None:
        lines.append(Line("Diameter", "not given", "give --diameter for sizes and angles"))
    if sizes.included_angle is not None:
        lines.append(Line("Included angle", numbers.degrees(sizes.included_angle)))
    wires = sizes.wires
    if wires is not None and setup.want.use is not Use.WOOD:
        range_of = f"{u.length(wires.smallest_mm, 3)} to {u.length(wires.largest_mm, 3)} will do"
        best = f"best wire {u.length(wires.best_mm, 3)}; {range_of}"
        near = "" if wires.exact else "; steep thread, so only near"
        lines.append(Line("Over three wires", u.length(wires.over_best_mm, 3), best + near))
    flat = sizes.root_flat or sizes.root_radius
    if flat:
        lines.append(
            Line("Tool tip", f"{'flat' if sizes.root_flat else 'radius'} {u.length(flat)}")
        )
    return lines


def tool_lines(setup: Setup) -> list[Line]:
    """Lead angle and the clearance to grind."""
    sizes, clearance = setup.sizes, setup.clearance
    if clearance is None or sizes.lead_angle is None:
        return []
    side = ("tailstock", "headstock") if sizes.left else ("headstock", "tailstock")
    return [
        Line("Lead angle", numbers.degrees(sizes.lead_angle, 2), "at the pitch diameter"),
        Line("Side clearance", numbers.degrees(clearance.leading), f"{side[0]} flank, leading"),
        Line("", numbers.degrees(clearance.trailing), f"{side[1]} flank, trailing"),
    ]


def shaft_cells(shaft: Shaft) -> list[str]:
    """What sits in each plane of a shaft."""
    return ["spacer" if gear is None else str(gear) for gear in shaft.planes]


def shaft_place(setup: Setup, shaft: Shaft) -> str:
    """Where a stud stands on the arm."""
    if shaft.position is None or shaft.slot is None or setup.lathe.banjo is None:
        return ""
    slot = setup.lathe.banjo.slot_name(shaft.slot).removeprefix("the ")
    return f"{slot} at {units(setup).length(shaft.position, 1)}"


def turning_lines(setup: Setup) -> list[Line]:
    """How hard the screw drives, and a crank where one is needed."""
    turning = setup.turning
    if turning is None:
        return []
    policy = setup.lathe.policy
    lines = [
        Line("Screw turns", numbers.figure(turning.screw_turns, 3),
             f"per spindle turn, exactly {turning.screw_turns}"),
        Line("Torque at the spindle", newton_metres(turning.spindle_torque),
             f"for {newton_metres(policy.screw_torque)} at the screw, 3 % lost a mesh"),
    ]  # fmt: skip
    crank = turning.crank
    if crank is not None:
        lines += [
            Line("Crank torque", newton_metres(crank.torque),
                 f"screw {newton_metres(policy.screw_torque)}, "
             f"cutting {newton_metres(policy.cutting_torque)}"),
            Line("Crank length", units(setup).length(crank.length, 0),
                 f"at least, for {crank.hand_force:g} N of hand force"),
        ]  # fmt: skip
    return lines


def mesh_rows(setup: Setup) -> list[MeshRow]:
    """Tooth loads mesh by mesh, against what the weaker gear bears."""
    turning = setup.turning
    if turning is None:
        return []
    working = turning.working
    worst = weakest(working)
    backward = [f"{m.load:.0f}" for m in turning.crank.meshes] if turning.crank else None
    return [
        MeshRow(
            f"{mesh.driver}/{mesh.driven}",
            f"{forward.load:.0f}",
            backward[i] if backward else "",
            _allowed(mesh),
            "unchecked" if mesh.share is None else numbers.percent(mesh.share),
            mesh is worst,
            mesh.share is not None and mesh.share > 1,
        )
        for i, (forward, mesh) in enumerate(zip(turning.meshes, working, strict=True))
    ]


def _allowed(mesh: Mesh) -> str:
    limit = mesh.limit
    return limit.unchecked if limit.newtons is None else f"{limit.newtons:.0f} ({limit.gear})"


def load_note(setup: Setup) -> str:
    """The weakest mesh named, and what to do if it is overloaded."""
    turning = setup.turning
    if turning is None:
        return ""
    worst = weakest(turning.working)
    if worst is None:
        return "Not every mesh could be checked: see the table."
    pair = f"{worst.driver}/{worst.driven}"
    if not turning.overloaded:
        share = numbers.percent(worst.share or 0)
        return f"Weakest: {pair}, its {worst.limit.gear} of {worst.limit.gear.material}, {share}."
    text = f"{pair} is OVERLOADED: {numbers.percent(worst.share or 0)} of what its teeth bear."
    if turning.easier is None:
        return f"{text} None of the {turning.looked_at} trains looked at spares it."
    train, error = turning.easier.train, turning.easier.error
    return f"{text} Easiest that is not: {wording.gears_written(train)}, {numbers.error(error)}."


def material_notes(setup: Setup) -> list[str]:
    """The stresses used, each with its source."""
    turning = setup.turning
    used = {mesh.limit.material for mesh in turning.meshes} if turning else set()
    known = sorted((m for m in used if m is not None), key=lambda m: m.name)
    return [f"{m.name} {m.stress:g} MPa: {m.source}" for m in known]


def half_nut_lines(setup: Setup) -> list[Line]:
    """May the half-nuts be opened, and where may they be closed."""
    nuts = setup.half_nuts
    if nuts is None:
        return []
    u = units(setup)
    may = {True: "yes", False: "no", None: "only if the travel allows"}[nuts.may_open]
    lines = [Line("May be opened", may, nuts.why)]
    if nuts.fitted:
        count = numbers.plural(nuts.leads, "lead")
        lines.append(
            Line("Step", u.step(nuts.step_mm),
                 f"{numbers.plural(nuts.pitches, 'screw pitch', 'screw pitches')} = {count}")
        )  # fmt: skip
    if nuts.groove_mm < nuts.step_mm:
        note = "but another start's: keep to the full step"
        lines.append(Line("A groove every", u.step(nuts.groove_mm), note))
    lines += [
        Line(f"Dial, {use.dial.teeth} teeth, {numbers.plural(use.dial.lines, 'line')}",
             dial_words(use.lines), "counted from the line first used" if use.lines else "")
        for use in nuts.dials
    ]  # fmt: skip
    return lines


def dial_words(lines: tuple[int, ...] | str) -> str:
    """Usable dial lines in words."""
    if lines == "any":
        return "any place"
    if not lines:
        return "not usable"
    return f"line{'s' if len(lines) > 1 else ''} {', '.join(str(line) for line in lines)}"


def return_note(setup: Setup) -> str:
    """How the carriage comes back."""
    if setup.half_nuts is None:
        return ""
    if setup.turning is not None and setup.turning.crank is not None:
        return "Tool out, then wind the screw back with everything engaged."
    return carriage_back(setup.half_nuts)


def speed_lines(setup: Setup) -> list[Line]:
    """Spindle speeds; none where the screw is wound by hand."""
    speed, u = setup.speed, units(setup)
    if setup.turning is not None and setup.turning.crank is not None:
        return [Line("Spindle speed", "as the crank turns it", "no power on the spindle")]
    carriage = numbers.length_pair(speed.carriage_at_highest, inch=u.inch, places=0)
    lines = [
        Line("Highest speed", f"{speed.highest_rpm:.0f} rpm",
             f"{u.length(speed.allowed_overrun)} overrun in {speed.reaction:g} s"),
        Line("Carriage then", f"{carriage} a minute"),
    ]  # fmt: skip
    if speed.overrun_at_lowest is None or speed.carriage_at_lowest is None:
        return [*lines, Line("Lowest speed", "not in the lathe file")]
    note = "slow enough" if speed.slow_enough else "TOO FAST: turn the spindle by a hand crank"
    slowest = numbers.length_pair(speed.carriage_at_lowest, inch=u.inch, places=0)
    return [
        *lines,
        Line(f"Overrun at {speed.lowest_rpm:g} rpm", u.length(speed.overrun_at_lowest),
             f"{slowest} a minute; {note}"),
    ]  # fmt: skip


def work_lines(setup: Setup) -> list[Line]:
    """Length against the bed, run-out, multi-start."""
    bed, u = setup.bed, units(setup)
    fits = {True: "yes", False: "no", None: "not checked"}[bed.fits]
    lines = []
    if setup.length is not None:
        lines.append(Line("Length", u.length(setup.length, 1)))
    lines.append(Line("In one setting", fits, bed.why))
    if bed.shift is not None and bed.longest is not None:
        leads = numbers.plural(bed.shift_leads or 0, "lead")
        lines += [
            Line("Relieve", "to the minor diameter", f"all beyond {u.length(bed.longest, 1)}"),
            Line("or move the tool", u.step(bed.shift),
                 f"on its post: {leads}, {bed.settings} settings"),
        ]  # fmt: skip
    lines.append(
        Line("Run-out", u.length(setup.run_out, 1), "turned to the minor diameter at the end")
    )
    return lines


def start_note(setup: Setup) -> str:
    """How to pass to the next start."""
    return next_start(setup.starts) if setup.starts else ""


def infeed_lines(setup: Setup) -> list[Line]:
    """How the depth is reached."""
    feed = setup.infeed
    if feed is None:
        return []
    if feed.rotating:
        return [Line("Rotating cutter", numbers.plural(len(feed.depths), "pass", "passes"),
                     "straight in; last one light")]  # fmt: skip
    count = len(feed.depths) - feed.spring
    lines = [Line("Passes", f"{count} + {feed.spring} spring", "equal chip area each")]
    if feed.slide_angle is not None:
        lines.append(
            Line("Top slide", numbers.degrees(feed.slide_angle), "from square to the work")
        )
    return lines


def passes(setup: Setup) -> list[tuple[str, str]]:
    """Pass by pass: depth straight in and reading along the flank ("" without one)."""
    feed, u = setup.infeed, units(setup)
    if feed is None:
        return []
    slides = [u.dial(r) for r in feed.slide_readings] or [""] * len(feed.depths)
    return list(zip([u.dial(d) for d in feed.depths], slides, strict=True))


def wood_lines(setup: Setup) -> list[Line]:
    """Stock, corners, nut."""
    wood, u = setup.wood, units(setup)
    if wood is None:
        return []
    lines = [Line("Square stock", u.length(wood.stock_side, 0), "straight-grained, dry, no pith")]
    for how in wood.roundings:
        start = wood.stock_side * how.from_corner
        angles = (
            f"{numbers.plural(how.cuts, 'cut')} at 45°"
            if how.sides == 8
            else f"{how.cuts} cuts, two a corner, at 30° to the face, 60° to the next, "
            f"flat {u.length(wood.stock_side * how.flat, 1)}"
        )
        waste = numbers.percent(how.waste, 2)
        lines.append(
            Line(f"To {how.sides} sides", f"{u.length(start, 1)} from the corner",
                 f"{angles}; {waste} left to turn off")
        )  # fmt: skip
    if wood.bore is not None:
        lines.append(Line("Bore of the nut", u.length(wood.bore, 1), "measure the screw first"))
    lines.append(
        Line("Clearance", u.length(wood.clearance, 1),
             "on the diameter, screw oiled and dry: oil and damp swell it")
    )  # fmt: skip
    return lines


def pressing_lines(setup: Setup) -> list[Line]:
    """Force, holding, stresses."""
    found = setup.pressing
    if found is None:
        return []
    screw, stress, material = found.screw, found.stress, found.material
    hand = f"{found.hand.force:g} N at {units(setup).length(found.hand.radius, 0)}"
    holds = "holds by itself" if screw.holds else "RUNS BACK"
    kept = "kept" if found.strong_enough else "NOT KEPT"
    return [
        Line("Axial force", f"{found.force:.0f} N", f"from {hand}, friction {screw.friction:g}"),
        Line("Efficiency", numbers.percent(screw.efficiency, 3),
             f"{holds}: needs friction of {screw.least_holding_friction:.3f}"),
        Line("Root stress", f"{stress.root:.1f} MPa", f"safety {stress.root_safety:.1f}"),
        Line("Thread shear", f"{max(stress.screw_thread, stress.nut_thread):.2f} MPa",
             f"safety {stress.thread_safety:.1f} over {units(setup).length(found.engaged, 0)}"),
        Line("Material", material.name,
             f"safety {material.safety:g} {kept}. {material.source}"),
    ]  # fmt: skip


def newton_metres(torque: float) -> str:
    """A torque."""
    space = numbers.NARROW_SPACE
    return f"{numbers.significant(torque)}{space}N{space}m"


def crowded(setup: Setup) -> bool:
    """Whether the sheet says so much that it must be set smaller to stay on one page."""
    many = len(passes(setup)) > 30 or len(setup.cautions) > 4
    return many or setup.wood is not None or setup.pressing is not None


def title_cells(setup: Setup) -> list[Line]:
    """The title block."""
    own, _ = pitch_words(setup.want.pitch)
    cells = [Line("Lathe", setup.lathe.name), Line("Leadscrew", str(setup.lathe.leadscrew))]
    cells.append(Line("Lead" if setup.sizes.starts > 1 else "Pitch", own))
    cells.append(Line("Hand", "left" if setup.want.left else "right"))
    if setup.answer is not None:
        cells.append(Line("Error", numbers.error(setup.answer.error)))
        allowed = numbers.allowance(setup.want.allowance.relative)
        cells.append(Line("Allowed", allowed))
        cells.append(Line("Ratio", str(format_fraction(setup.answer.train.ratio))))
    return cells
