"""What a stage takes of water and proppant, and what that asks of the water supply: pure formulae.

A design is stated per foot of lateral, so that wells with longer stages take more. Typical slickwater: 40 to 60 bbl/ft
and 2,000 to 2,500 lb/ft in stages of 150 to 250 ft (common practice).
"""

from __future__ import annotations

from sim.physics.possible import Numbers, above_zero, not_negative


def stage_length_ft(lateral_ft: float, stages: int) -> float:
    """Lateral of one stage; stages are equally long."""
    above_zero(lateral_ft=lateral_ft, stages=stages)
    return lateral_ft / stages


def stage_depth_ft(heel_depth_ft: float, along_lateral_ft: Numbers) -> Numbers:
    """Measured depth of stages at a distance from the heel."""
    not_negative(heel_depth_ft=heel_depth_ft, along_lateral_ft=along_lateral_ft)
    return heel_depth_ft + along_lateral_ft


def stage_fluid_bbl(
    length_ft: Numbers, fluid_bbl_per_ft: Numbers, pad_bbl: Numbers = 0.0, flush_bbl: Numbers = 0.0
) -> Numbers:
    """Water of a stage: what goes with proppant, by the foot; a pad without it before, a flush of the casing after.

    The flush is `casing.casing_volume_bbl` down to the stage, so stages near the toe take more (common practice).
    """
    not_negative(length_ft=length_ft, fluid_bbl_per_ft=fluid_bbl_per_ft, pad_bbl=pad_bbl, flush_bbl=flush_bbl)
    return length_ft * fluid_bbl_per_ft + pad_bbl + flush_bbl


def stage_proppant_lb(length_ft: Numbers, proppant_lb_per_ft: Numbers) -> Numbers:
    """Proppant of a stage, by the foot."""
    not_negative(length_ft=length_ft, proppant_lb_per_ft=proppant_lb_per_ft)
    return length_ft * proppant_lb_per_ft


def steady_draw_bbl_per_h(stages_per_day: Numbers, stage_bbl: Numbers) -> Numbers:
    """What the supply must bring around the clock so that stages keep up this pace (balance of volumes)."""
    return stages_per_day * stage_bbl / 24


def hours_to_empty(stored_bbl: Numbers, draw_bbl_per_h: float, supply_bbl_per_h: float) -> Numbers:
    """How long a store lasts under a steady draw; for ever while the supply keeps up (balance of volumes)."""
    not_negative(stored_bbl=stored_bbl)
    shortfall = draw_bbl_per_h - supply_bbl_per_h
    return stored_bbl / shortfall if shortfall > 0 else float("inf")
