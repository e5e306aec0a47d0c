"""The command line: options in, the right command's body called.

Bodies live in `<name>_command.py` and are imported when their command runs, so that asking
for one pitch does not load the solver. Annotations are values here, not text as elsewhere: Typer
would work out that of every option of every command, twice, whichever command is called.
"""

from collections.abc import Callable
from pathlib import Path
from typing import Annotated

import typer

from gearchest.optimizer.domain.layout import most_gears, most_studs


def _later(name: str) -> Callable[[str], list[str]]:
    """What completes a word in the shell, imported when it is asked for."""

    def words(incomplete: str) -> list[str]:
        from gearchest.cli import completion

        found: list[str] = getattr(completion, name)(incomplete)
        return found

    return words


app = typer.Typer(
    name="gearchest",
    help="Which change gears to add to a lathe, and which threads those at hand can cut.",
    no_args_is_help=True,
    rich_markup_mode=None,  # boxes are nothing to a screen reader, a pipe or a narrow window
    pretty_exceptions_enable=False,
)

MOST_MISSING = most_gears(most_studs())
"""Gears a train can lack: all it has."""

LatheFile = Annotated[
    Path,
    typer.Argument(
        metavar="LATHE", help="Lathe file (TOML), or the name of a bundled one.",
        autocompletion=_later("lathes"),
    ),
]  # fmt: skip
Json = Annotated[
    str | None, typer.Option("--json", metavar="FILE", help="Write JSON; - is standard output.")
]
Left = Annotated[bool, typer.Option("--left", help="A left-hand thread.")]
UseOption = Annotated[
    str | None,
    typer.Option(
        "--use",
        metavar="USE",
        help="fastener, travel, wood, worm, feed or plain.",
        autocompletion=_later("uses"),
    ),
]
ToleranceOption = Annotated[
    str | None,
    typer.Option("--tolerance", metavar="T", help='"0.1 %", "500 ppm" or "0.05 mm/300 mm".'),
]
Grade = Annotated[
    str | None,
    typer.Option(
        "--grade",
        metavar="GRADE",
        help="Travel grade of a feed screw: T1, T3, T5, T7; usual: T10.",
        autocompletion=_later("grades"),
    ),
]
Mating = Annotated[
    bool, typer.Option("--mating", help="A wooden thread whose mate exists: by its nut's play.")
]
Diameter = Annotated[
    str | None, typer.Option("--diameter", metavar="D", help='Thread diameter, as in "10 mm".')
]
TrainAims = Annotated[
    str | None,
    typer.Option(
        "--aims", metavar="AIMS", help="What trains are chosen by first: demerits, error, load."
    ),
]
Wants = Annotated[Path | None, typer.Option(metavar="FILE", help="Threads wanted (TOML or CSV).")]
NamedWants = Annotated[
    Path | None,
    typer.Option(metavar="FILE", help="Threads wanted; PITCH may be the name of one of them."),
]


@app.command()
def plan(
    lathe: Annotated[
        Path | None,
        typer.Argument(
            metavar="LATHE",
            help="Lathe file; without it the bundled example runs.",
            autocompletion=_later("lathes"),
        ),
    ] = None,
    wants: Wants = None,
    offers: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="Gears to be had, with prices: CSV, .xlsx, .ods."),
    ] = None,
    most: Annotated[
        int | None,
        typer.Option(min=0, max=12, help="Most gears to add; usual: 5, while more is covered."),
    ] = None,
    budget: Annotated[
        str | None, typer.Option(metavar="MONEY", help='Spend no more than this: 40, "€40".')
    ] = None,
    worth: Annotated[
        str | None,
        typer.Option(metavar="MONEY", help="What covering one weight is worth to you."),
    ] = None,
    include: Annotated[
        list[int], typer.Option(metavar="TEETH", help="A gear that must be in; repeatable.")
    ] = [],  # noqa: B006 - never changed
    keep_out: Annotated[
        list[int], typer.Option(metavar="TEETH", help="A gear that must stay out; repeatable.")
    ] = [],  # noqa: B006 - never changed
    also: Annotated[
        Path | None,
        typer.Option(metavar="LATHE", help="A second lathe that shares the chest."),
    ] = None,
    cover: Annotated[
        list[str],
        typer.Option(
            metavar="WHAT",
            help='Find the cheapest gears that cover "all", a share as in "90 %", or a want '
            "by its name; repeatable.",
        ),
    ] = [],  # noqa: B006 - never changed
    aims: Annotated[
        str | None,
        typer.Option(
            metavar="AIMS",
            help="Aims after coverage, in order: demerits, money, error, load.",
        ),
    ] = None,
    missing: Annotated[
        int | None,
        typer.Option(
            min=0, max=MOST_MISSING, help="Look for trains that lack at most so many gears."
        ),
    ] = None,
    sell: Annotated[
        bool, typer.Option("--sell", help="Say which gears owned could be sold.")
    ] = False,
    time_limit: Annotated[
        float | None, typer.Option(metavar="SECONDS", min=0.0, help="Stop with the best so far.")
    ] = None,
    workers: Annotated[
        int | None,
        typer.Option(min=1, max=256, help="Threads to work with; usual: one for each processor."),
    ] = None,
    left: Annotated[bool, typer.Option("--left", help="Every thread left-handed.")] = False,
    charts: Annotated[bool, typer.Option(help="Draw charts.")] = True,
    what_if: Annotated[
        bool,
        typer.Option(help="Let gears be ticked in the report (takes a while on several studs)."),
    ] = True,
    out: Annotated[Path | None, typer.Option(metavar="REPORT.html", help="Report.")] = None,
    explore: Annotated[
        Path | None,
        typer.Option(
            metavar="CHARTS.html", help="Charts to explore, in a large file of their own."
        ),
    ] = None,
    json: Json = None,
) -> None:
    """Decide which gears to add, step by step."""
    from gearchest.cli.plan_command import plan as body
    from gearchest.cli.plan_options import PlanOptions
    from gearchest.cli.typed import money

    options = PlanOptions(
        most=most, budget=money(budget, "--budget"), worth=money(worth, "--worth"),
        include=tuple(include), keep_out=tuple(keep_out), also=also, cover=tuple(cover),
        aims=aims, missing=missing, sell=sell, time_limit=time_limit, left=left, charts=charts,
        what_if=what_if, workers=workers,
    )  # fmt: skip
    body(
        lathe=lathe,
        wants=wants,
        offers=offers,
        explore=explore,
        out=out,
        json=json,
        options=options,
    )


@app.command()
def reach(
    lathe: LatheFile,
    pitches: Annotated[
        list[str],
        typer.Argument(
            metavar="PITCH",
            help='"1.25 mm", "11 tpi", M10, "2 BA" ...',
            autocompletion=_later("sizes"),
        ),
    ],
    wants: NamedWants = None,
    use: UseOption = None,
    tolerance: ToleranceOption = None,
    grade: Grade = None,
    mating: Mating = False,
    diameter: Diameter = None,
    left: Left = False,
    show_all: Annotated[bool, typer.Option("--all", help="List every train.")] = False,
    aims: TrainAims = None,
    json: Json = None,
) -> None:
    """Tell whether pitches can be cut, and with which gears."""
    from gearchest.cli.reach_command import reach as body

    body(
        lathe=lathe, pitches=pitches, wants=wants, use=use, tolerance=tolerance, grade=grade,
        mating=mating, diameter=diameter, left=left, show_all=show_all, aims=aims, json=json,
    )  # fmt: skip


@app.command()
def setup(
    lathe: LatheFile,
    pitch: Annotated[
        str,
        typer.Argument(
            metavar="PITCH", help="A pitch or a thread size.", autocompletion=_later("sizes")
        ),
    ],
    wants: NamedWants = None,
    diameter: Diameter = None,
    length: Annotated[
        str | None, typer.Option(metavar="L", help='Threaded length, as in "40 mm".')
    ] = None,
    left: Left = False,
    inside: Annotated[bool, typer.Option("--inside", help="An internal thread.")] = False,
    engaged: Annotated[
        str | None, typer.Option(metavar="L", help="How much of the thread engages; usual: normal.")
    ] = None,
    tip: Annotated[
        str | None,
        typer.Option(metavar="TIP", help='Tool tip: "0.1 mm" (radius), "flat 0.2 mm" or "sharp".'),
    ] = None,
    class_name: Annotated[
        str | None, typer.Option("--class", metavar="CLASS", help='Class of fit, as in "6g", "2A".')
    ] = None,
    use: UseOption = None,
    tolerance: ToleranceOption = None,
    grade: Grade = None,
    mating: Mating = False,
    form: Annotated[
        str | None,
        typer.Option(metavar="FORM", help="Thread form, as in acme, square, buttress, wood-60."),
    ] = None,
    run_out: Annotated[
        str | None, typer.Option(metavar="L", help="Room for the tool past the thread.")
    ] = None,
    load: Annotated[
        str | None,
        typer.Option(
            metavar="N", help='Load on the finished screw: "8 kN", "500 lbf"; bare: newtons.'
        ),
    ] = None,
    free_length: Annotated[
        str | None, typer.Option(metavar="L", help="Length of it that the load can buckle.")
    ] = None,
    ends: Annotated[
        str | None,
        typer.Option(
            metavar="ENDS",
            help="How it is held: pinned-pinned, fixed-pinned, fixed-fixed, fixed-free; left out: "
            "the last, the worst.",
            autocompletion=_later("ends"),
        ),
    ] = None,
    force: Annotated[
        str | None,
        typer.Option(
            metavar="N", help="Instead of a load the hand force that turns it; bare: newtons."
        ),
    ] = None,
    radius: Annotated[
        str | None, typer.Option(metavar="L", help="Radius at which that hand turns.")
    ] = None,
    friction: Annotated[
        str | None, typer.Option(metavar="MU", help="Coefficient of friction in the screw.")
    ] = None,
    nut: Annotated[
        str | None, typer.Option(metavar="L", help="Length of the nut; usual: one diameter.")
    ] = None,
    nut_material: Annotated[
        str | None,
        typer.Option(
            metavar="NAME",
            help="What the nut is made of: bronze, cast iron, brass, steel, acetal, a wood.",
            autocompletion=_later("nut_materials"),
        ),
    ] = None,
    material: Annotated[
        str | None, typer.Option(metavar="NAME", help="What the screw is made of.")
    ] = None,
    tool: Annotated[
        str | None, typer.Option(metavar="NAME", help="Single point of hss (usual) or carbide.")
    ] = None,
    cutter: Annotated[
        str | None,
        typer.Option(metavar="CUTTER", help='Powered cutter: "bit 12 mm", "disc 40 mm, 8 teeth".'),
    ] = None,
    crank_force: Annotated[
        str | None, typer.Option(metavar="N", help="Hand force on a crank at the screw's end.")
    ] = None,
    drive: Annotated[
        str | None,
        typer.Option(metavar="END", help="End that turns the train: spindle, screw or auto."),
    ] = None,
    train: Annotated[
        str | None,
        typer.Option(
            metavar="TRAIN", help='A train of your own, as in "80/(45)/20" or "40/80 x 63/50".'
        ),
    ] = None,
    gearbox: Annotated[
        str | None, typer.Option(metavar="POSITION", help="The gearbox position it goes with.")
    ] = None,
    aims: TrainAims = None,
    out: Annotated[Path | None, typer.Option(metavar="SHEET.html", help="Setup sheet.")] = None,
    json: Json = None,
) -> None:
    """Gather everything needed to cut one thread."""
    from gearchest.cli.setup_command import setup as body

    body(
        lathe=lathe, pitch=pitch, wants=wants, out=out, json=json,
        diameter=diameter, length=length, left=left, inside=inside, engaged=engaged, tip=tip,
        class_name=class_name, use=use, tolerance=tolerance, grade=grade, mating=mating, form=form,
        run_out=run_out, load=load, free_length=free_length, ends=ends, force=force,
        radius=radius, friction=friction, nut=nut, nut_material=nut_material, material=material,
        tool=tool, cutter=cutter, crank_force=crank_force, drive=drive, train=train,
        gearbox=gearbox, aims=aims,
    )  # fmt: skip


@app.command()
def compare(
    lathes: Annotated[
        tuple[Path, Path], typer.Argument(metavar="LATHE LATHE", help="Two lathe files.")
    ],
    wants: Wants = None,
    out: Annotated[Path | None, typer.Option(metavar="REPORT.html", help="Report.")] = None,
    json: Json = None,
) -> None:
    """Find what one lathe can do that the other cannot."""
    from gearchest.cli.compare_command import compare as body

    body(lathes=lathes, wants=wants, out=out, json=json)


@app.command()
def chart(
    lathe: LatheFile,
    wants: Wants = None,
    with_gears: Annotated[
        list[str], typer.Option("--with", metavar="TEETH,TEETH", help="Gears not there yet.")
    ] = [],  # noqa: B006 - never changed
    plan: Annotated[
        Path | None,
        typer.Option(metavar="PLAN.json", help="A plan, for the gears of one of its steps."),
    ] = None,
    step: Annotated[
        int | None, typer.Option(min=0, metavar="N", help="Which step; usual: the one advised.")
    ] = None,
    only: Annotated[
        list[str],
        typer.Option(
            metavar="THREAD,THREAD",
            help='This evening\'s threads, by name or size: M6,M8,"8 mm"; repeatable.',
        ),
    ] = [],  # noqa: B006 - never changed
    order: Annotated[
        str, typer.Option(metavar="ORDER", help="Rows by series (and pitch), or free: by setup.")
    ] = "series",
    time_limit: Annotated[
        float | None,
        typer.Option(metavar="SECONDS", min=0.0, help="Look so long for fewer changes."),
    ] = None,
    out: Annotated[Path | None, typer.Option(metavar="CHART.html", help="Chart.")] = None,
    json: Json = None,
) -> None:
    """Make the lathe's wall chart, with the fewest changes of gears."""
    from gearchest.cli.chart_command import ChartOptions
    from gearchest.cli.chart_command import chart as body

    options = ChartOptions(
        with_gears=tuple(with_gears), plan=plan, step=step, only=tuple(only), order=order,
        time_limit=time_limit,
    )  # fmt: skip
    body(lathe=lathe, wants=wants, out=out, json=json, options=options)


@app.command()
def blanks(
    lathe: LatheFile,
    teeth: Annotated[list[int], typer.Argument(metavar="TEETH", help="Tooth counts.")],
    shift: Annotated[float, typer.Option(metavar="X", help="Profile shift, in modules.")] = 0.0,
    cure: Annotated[
        bool, typer.Option("--cure", help="Shift each gear out of its undercut.")
    ] = False,
    backlash: Annotated[
        str | None, typer.Option(metavar="L", help='Backlash of the pair: 0.1, "4 thou".')
    ] = None,
    engraved_depth: Annotated[
        str | None, typer.Option(metavar="L", help="Depth engraved on the cutter, if it has one.")
    ] = None,
    outline_offset: Annotated[
        str | None, typer.Option(metavar="L", help="All round a printed or cut outline.")
    ] = None,
    hub: Annotated[
        tuple[str, str] | None,
        typer.Option(metavar="L L", help="Diameter and length of a hub on a printed gear."),
    ] = None,
    wants: Wants = None,
    out: Annotated[Path | None, typer.Option(metavar="FOLDER", help="Where files go.")] = None,
    json: Json = None,
) -> None:
    """Work out how to make gears, and write files to cut them by."""
    from gearchest.cli.blanks_command import BlanksOptions, hub_of
    from gearchest.cli.blanks_command import blanks as body
    from gearchest.cli.typed import distance

    options = BlanksOptions(
        shift=shift,
        cure=cure,
        backlash=distance(backlash, "--backlash"),
        engraved_depth=engraved_depth,
        outline_offset=distance(outline_offset, "--outline-offset"),
        hub=hub_of(hub),
        wants=wants,
    )
    body(lathe=lathe, teeth=teeth, out=out, json=json, options=options)


@app.command()
def threads(
    series: Annotated[
        str | None,
        typer.Argument(
            metavar="SERIES", help="One series; all without it.", autocompletion=_later("series")
        ),
    ] = None,
    measured: Annotated[
        str | None,
        typer.Option(
            metavar="COUNT",
            help='Name an unknown thread: "10 threads in 15.2 mm", "11 in 1 in", "20 tpi", '
            '"pitch 1.5 mm", "5 turns in 70 mm" (the lead).',
        ),
    ] = None,
    diameter: Annotated[
        str | None, typer.Option(metavar="D", help="Its diameter, measured over the crests.")
    ] = None,
    inside: Annotated[
        bool, typer.Option("--inside", help="It is a nut: the diameter is that of its bore.")
    ] = False,
    lathe: Annotated[
        Path | None, typer.Option(metavar="LATHE", help="Say which of them this lathe cuts.")
    ] = None,
    left: Left = False,
    starts: Annotated[
        int | None, typer.Option(min=1, max=100, help="Grooves that begin at its end.")
    ] = None,
    angle: Annotated[
        str | None, typer.Option(metavar="DEGREES", help="Angle between its flanks, by a gauge.")
    ] = None,
    length_error: Annotated[
        str | None,
        typer.Option(metavar="L", help="What the length is off by at most; usual: 0.1 mm."),
    ] = None,
    diameter_error: Annotated[
        str | None,
        typer.Option(metavar="L", help="What the diameter is off by at most; usual: 0.05 mm."),
    ] = None,
    show_all: Annotated[bool, typer.Option("--all", help="List every thread it can be.")] = False,
    wide: Annotated[
        bool, typer.Option("--wide", help="Every column, however wide the terminal.")
    ] = False,
    json: Json = None,
    csv: Annotated[
        str | None, typer.Option("--csv", metavar="FILE", help="Write CSV; - is standard output.")
    ] = None,
) -> None:
    """List the thread catalogs, or name a measured thread."""
    from gearchest.cli.identify_command import Typed, name_thread
    from gearchest.cli.threads_command import threads as body

    typed = Typed(diameter, inside, left, starts, angle, length_error, diameter_error)
    if measured is None:
        body(
            series=series, wide=wide, json=json, csv=csv,
            stray=typed.given({"--lathe": lathe, "--all": show_all}),
        )  # fmt: skip
    else:
        name_thread(
            measured, typed, series=series, lathe=lathe, show_all=show_all, wide=wide, json=json,
            csv=csv,
        )  # fmt: skip


@app.command(name="open")
def open_(
    folder: Annotated[
        Path | None,
        typer.Argument(
            metavar="FOLDER", help="Folder of lathe.toml, wants.toml, offers.csv; usual: the last."
        ),
    ] = None,
    port: Annotated[
        int, typer.Option(min=0, max=65535, help="Port on this machine; usual: any that is free.")
    ] = 0,
    browser: Annotated[bool, typer.Option(help="Open a browser.")] = True,
) -> None:
    """Show all this on a page in the browser, on this machine only."""
    from gearchest.cli.open_command import open_page as body

    body(folder=folder, port=port, browser=browser)


@app.command()
def begin(
    folder: Annotated[Path, typer.Argument(metavar="FOLDER", help="Where the files go.")],
) -> None:
    """Write a commented lathe file and wants file to fill in."""
    from gearchest.cli.begin_command import begin as body

    body(folder=folder)


@app.command()
def check(
    files: Annotated[
        list[Path], typer.Argument(metavar="FILE", help="Lathe, wants and offers files.")
    ],
) -> None:
    """Validate files without solving, and say what is not measured."""
    from gearchest.cli.check_command import check as body

    body(files=files)
