"""What to try at the lathe where its arm is not measured. Common practice, no source."""

from __future__ import annotations

from gearchest.optimizer.domain.train import Train


def try_first(train: Train) -> str:
    """What is not known of a train on such an arm. Two gears alone need their shafts just so far
    apart, in mm; any gear between them as an idler makes up for that."""
    said = "no arm is measured in the lathe file; try the gears first."
    if len(train.gears) > 2:
        return said
    driver, driven = train.gears
    apart = driver.pitch_radius + driven.pitch_radius
    return (
        f"{said} {driver} and {driven} alone mesh only where their shafts stand {apart:g} mm "
        "apart; elsewhere put any gear between them on the stud. It leaves the pitch as it is "
        "and turns the screw the other way: set the reverse for that."
    )
