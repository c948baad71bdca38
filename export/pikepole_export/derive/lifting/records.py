"""The lift plan as plain rows: every number that led to a verdict, in mm, kg, N, deg and m/s.

    lift_records(plan, units) -> dict[str, Any]
    lift_record(lift, setup, units) -> dict[str, Any]

A value is a word, a number, None where it does not apply, a Mass, a frozen row of the lifting
modules, or a list or dict of these. A number without a bound, as a share of a guideline that is
nothing, is infinite.
"""

from __future__ import annotations

from dataclasses import fields
from typing import Any

from pikepole_export.derive.lifting import niosh
from pikepole_export.derive.lifting.cautions import (
    cautions_of,
)
from pikepole_export.derive.lifting.falls import FALL_MM, RAIL_MM, SCAFFOLD_FALL_MM, fall_protection
from pikepole_export.derive.lifting.gear import LEAST_ANGLE_DEG
from pikepole_export.derive.lifting.halves import LAP_MM, plates_sawn
from pikepole_export.derive.lifting.hand_tasks import TaskAssessment
from pikepole_export.derive.lifting.hands import push_guideline, team_factor
from pikepole_export.derive.lifting.items import Item
from pikepole_export.derive.lifting.lift import Lift, ends
from pikepole_export.derive.lifting.loads import Load
from pikepole_export.derive.lifting.machines import Machine
from pikepole_export.derive.lifting.mends import mend_text
from pikepole_export.derive.lifting.methods import Method, load_groups
from pikepole_export.derive.lifting.plan import LiftPlan, hand_setup
from pikepole_export.derive.lifting.rests import HandSetup
from pikepole_export.derive.lifting.sentences import done_text, step_text
from pikepole_export.derive.lifting.slung import sling_spread_mm
from pikepole_export.derive.lifting.wind import WindLimit, broadside_force_n
from pikepole_model.scene.crew import Crew
from pikepole_model.units import Units

_UNITS = {"rating": "_kg", "sling_angle": "_deg"} | dict.fromkeys(
    ("height", "reach", "load_centre", "fork", "stroke", "layer"), "_mm"
)


def lift_records(plan: LiftPlan, units: Units) -> dict[str, Any]:
    """The whole of a plan; the units are those of its cautions."""
    setup = hand_setup(plan.crew)
    return {
        "cautions": plan.cautions,
        "crew": _crew(plan.crew),
        "calendar": plan.calendar.stages,
        "days": plan.calendar.days,
        "move_day": plan.calendar.move_day,
        "helper_days": plan.calendar.helper_days,
        "machine_days": plan.calendar.machine_days,
        "visits": plan.calendar.visits,
        "carrying": [
            {
                "stage": row.stage,
                "name": row.name,
                "mass_kg": row.mass_kg,
                "loads": row.loads,
                "hours": row.hours,
                "elapsed_h": row.elapsed_h,
                "carried": row.carried,
            }
            for row in plan.carried
        ],
        "stages": [
            {
                "number": stage.number,
                "name": stage.name,
                "help": stage.help.label,
                "helpers": stage.helpers,
                "lifts": sorted(stage.lifts),
                "proposed_order": stage.lifts,
                "in_visits": stage.in_visits,
            }
            for stage in plan.stages
        ],
        "left_out": plan.left_out,
        "lifts": [lift_record(lift, setup, units) for lift in plan.lifts],
    }


def lift_record(lift: Lift, setup: HandSetup, units: Units) -> dict[str, Any]:
    """One lift.

    Args:
        lift: As it is planned.
        setup: What the crew lifts with by hand.
        units: Those of its cautions; all else is in mm, kg, N, deg and m/s.
    """
    item = lift.item
    return {
        "number": lift.number,
        "stage": item.stage,
        "stage_name": lift.stage_name,
        "name": item.name,
        "names": item.same,
        "times": item.times,
        "kind": item.kind.value,
        "handling": item.handling.value,
        "inside_of": item.inside_of,
        "splices": [
            {
                "at_mm": splice.at_mm,
                "on": splice.on,
                "bearing_mm": splice.bearing_mm,
                "prop": splice.needs_prop,
            }
            for splice in item.splices
        ],
        "parts": [part.name for part in item.whole.parts],
        **_load(item, item.whole, lift.rest_height_mm),
        "floor_mm": item.floor_mm,
        "passes_over_mm": item.pass_height_mm,
        "help": lift.help.label,
        "people": lift.people,
        "grade": lift.grade.name.lower().replace("_", " "),
        "mends": [mend_text(mend, units) for mend in lift.mends],
        "verdict": lift.verdict(units),
        "way": lift.chosen.name,
        "done": done_text(lift, units),
        "ways": [_method(lift, method, setup, units) for method in lift.methods_considered],
        "machine": lift.machine and _machine(lift.machine, lift.item.whole),
        "other_ways": [
            {"name": one.machine.phrase if one.machine else one.chosen.name, "people": one.people}
            for one in lift.others
        ],
        "unfit": lift.unfit,
        "platform_mm": lift.platform_mm,
        "step_mm": lift.step_mm,
        "wind": _wind(lift.wind),
        "plates_sawn_mm": plates_sawn(lift.item.halves) if lift.in_halves else {},
        "bracing": lift.bracing,
        "braces_off_after_stage": lift.braced_until and lift.braced_until.number,
        "fall_protection": fall_protection(lift, units),
        "limits": {
            "fall_at_edge_mm": FALL_MM,
            "fall_from_scaffold_mm": SCAFFOLD_FALL_MM,
            "least_sling_angle_deg": LEAST_ANGLE_DEG,
            "guard_rail_mm": RAIL_MM,
            "plate_lap_mm": LAP_MM,
        },
        "cautions": cautions_of(lift, units),
    }


def _crew(crew: Crew) -> dict[str, Any]:
    plain = crew.model_dump()
    plain["platform_rest_mm"] = plain.pop("platform_rest")
    gear = [
        {key + _UNITS.get(key, ""): value for key, value in one.items()} for one in plain["gear"]
    ]
    return {**plain, "gear": gear}


def _load(item: Item, load: Load, rest_height_mm: float) -> dict[str, Any]:
    heights = ends(item, load, rest_height_mm)
    return {
        "mass_kg": load.mass,
        "size_mm": load.size_mm,
        "centre_of_gravity_mm": load.centre_mm,
        "centre_from_first_end_mm": load.centre_in_box_mm[0],
        "ends_mm": load.ends_mm,
        "start_heights_mm": heights.start_mm,
        "end_heights_mm": heights.end_mm,
    }


def _method(lift: Lift, method: Method, setup: HandSetup, units: Units) -> dict[str, Any]:
    return {
        "name": method.name,
        "doing": method.doing,
        "chosen": method == lift.chosen,
        "people": method.people,
        "loads": method.loads,
        "goes_up_as": load_groups(lift.item, method.split),
        "load": {"name": method.load.name, **_load(lift.item, method.load, method.rest_height_mm)},
        "holds": [
            {"step": number + 1, "what": step_text(method, number, units), **_task(one, setup)}
            for number, one in enumerate(method.assessments)
        ],
        "tilt": method.tilt,
        "rocking": method.rocking,
    }


def _task(one: TaskAssessment, setup: HandSetup) -> dict[str, Any]:
    task, hand = one.task, one.hand
    push_n = push_guideline(setup.lifter).start_n
    return {
        "at_mm": task.at_mm,
        "force_n": task.force_n,
        "left_at_end": task.left,
        "feels_like_kg": task.mass_kg,
        "people": one.people,
        "largest_share": one.largest_share,
        "largest_force_n": task.force_n * one.largest_share,
        "from_mm": task.from_mm,
        "to_mm": task.to_mm,
        "floor_mm": task.floor_mm,
        "base_mm": task.base_mm,
        "platform_mm": task.floor_mm - task.base_mm,
        "depth_mm": task.depth_mm,
        "reach_mm": task.reach_mm,
        "coupling": task.coupling.name.lower(),
        "guideline_kg": one.guideline_kg,
        "guideline_n": one.guideline_n,
        "source": one.source,
        "used": one.used,
        "within": one.within,
        "grade": one.grade.name.lower().replace("_", " "),
        "niosh": hand
        and {
            "load_kg": hand.share_kg,
            "origin": _limit(hand.niosh.origin),
            "destination": _limit(hand.niosh.destination),
            "rwl_kg": hand.niosh.rwl,
            "lifting_index": hand.lifting_index,
            "team_factor": hand.team_factor,
            "kg": hand.niosh_kg,
        },
        "hse": hand
        and {
            "column": setup.lifter.value,
            "zones": [zone.name.lower().replace("_", " ") for zone in hand.zones],
            "one_kg": hand.hse_one_kg,
            "team_factor": hand.team_factor,
            "kg": hand.hse_kg,
            "band_of_two": hand.band and hand.band.name.lower(),
        },
        "push": None
        if hand
        else {
            "column": setup.lifter.value,
            "one_n": push_n,
            "team_factor": float(team_factor(one.people)),
        },
    }


def _limit(limit: niosh.Limit) -> dict[str, float]:
    return {
        "load_constant_kg": limit.load,
        "horizontal": limit.horizontal,
        "vertical": limit.vertical,
        "distance": limit.distance,
        "asymmetry": limit.asymmetry,
        "frequency": limit.frequency,
        "coupling": limit.coupling,
        "rwl_kg": limit.rwl,
    }


def _machine(machine: Machine, load: Load) -> dict[str, Any]:
    rows = {field.name: getattr(machine, field.name) for field in fields(machine)}
    return {
        **rows,
        "people": machine.people,
        "has_driver": machine.has_driver,
        "foot_each_n": machine.foot_n / machine.count,
        "picks_apart_mm": sling_spread_mm(load),
        "leg_thick_mm": machine.tripod and machine.tripod.leg_thick_mm,
    }


def _wind(wind: WindLimit) -> dict[str, Any]:
    return {
        "stop_m_s": wind.stop_m_s,
        "rule_m_s": wind.rule.speed_m_s,
        "source": wind.rule.source,
        "attitude": wind.attitude.value,
        "area_mm2": wind.area_mm2,
        "drag": wind.drag,
        "gust_m_s": wind.gust_m_s,
        "gust_force_n": broadside_force_n(
            area_mm2=wind.area_mm2, speed_m_s=wind.gust_m_s, drag=wind.drag
        ),
        "face_gust_m_s": wind.face_gust_m_s,
        "face_mean_m_s": wind.face_mean_m_s,
    }
