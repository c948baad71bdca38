"""What must hold for prices and cutting: each price once, in a unit its item is sold by."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from pikepole_model.errors import KeyPath, Problem, any_of, either, key_text, leave_out, one_of
from pikepole_model.rules.places import on_posts
from pikepole_model.rules.ruler import Ruler
from pikepole_model.scene.buying import PER, Amount, Price
from pikepole_model.scene.foundation import Pad
from pikepole_model.scene.schema import Scene
from pikepole_model.stock.catalogue import Catalogue, nearest_names
from pikepole_model.stock.rows import Lumber


def buying_problems(scene: Scene) -> Iterator[Problem]:
    """What is wrong with a scene's prices, and with what the saw takes off a board."""
    ruler = Ruler(scene.units)
    yield from _end_trim(scene, ruler)
    yield from _slab(scene)
    yield from _spare(scene)
    priced: dict[tuple[str, bool, float | None], int] = {}
    for k, price in enumerate(scene.price):
        path = ("price", k)
        section = scene.catalogue_of_all.lumber.get(price.item)
        found = [
            *(_lengths(path, price, section, ruler) if section else _no_lumber(path, price, scene)),
            *_unit(path, price, scene.catalogue),
        ]
        yield from found
        lengths_mm = _sold_mm(section, price) if section else ()
        stock_mm = next((length for length in lengths_mm if price.is_for(length)), None)
        key = (price.item, price.treated, stock_mm)
        if key in priced and not found:
            yield Problem.at(
                (*path, "item"),
                f"has a price already, in price[{priced[key] + 1}]",
                leave_out(path),
            )
        priced.setdefault(key, k)


def _end_trim(scene: Scene, ruler: Ruler) -> Iterator[Problem]:
    """Something is left of the shortest board when both its ends are trimmed."""
    shortest = min(scene.catalogue.lumber.values(), key=lambda section: section.lengths_mm[0])
    length_mm = shortest.lengths_mm[0]
    if 2 * scene.cutting.end_trim >= length_mm:
        yield Problem.at(
            ("cutting", "end_trim"),
            f"at both ends leaves nothing of the shortest {shortest.name}, which is "
            f"{ruler.at(length_mm)}",
            ruler.less_than(length_mm / 2),
        )


def _spare(scene: Scene) -> Iterator[Problem]:
    """Each section once."""
    sections: dict[str, int] = {}
    for k, one in enumerate(scene.spare.of):
        if one.section in sections:
            yield Problem.at(
                ("spare", "of", k, "section"),
                f"is there already, in spare.of[{sections[one.section] + 1}]",
                leave_out(("spare", "of", k)),
            )
        sections.setdefault(one.section, k)


def _slab(scene: Scene) -> Iterator[Problem]:
    """What goes into a slab needs one."""
    concrete = scene.concrete
    asked = {
        "mesh": concrete.mesh is not None,
        "bars": concrete.bars is not None,
        "edge_bars": concrete.edge_bars > 0,
        "vapour_retarder": concrete.vapour_retarder,
        "curing": concrete.curing is not None,
    }
    grounds = [says.ground for _, says in on_posts(scene) if says.ground]
    cast = isinstance(scene.foundation, Pad) or any(ground.kind == "slab" for ground in grounds)
    for key in () if cast else asked:
        if asked[key]:
            yield Problem.at(
                ("concrete", key),
                "is for a slab, and there is none",
                leave_out(("concrete", key)),
            )


def _lengths(path: KeyPath, price: Price, section: Lumber, ruler: Ruler) -> Iterator[Problem]:
    lengths_mm = _sold_mm(section, price)
    lengths = one_of(ruler.at(length) for length in lengths_mm)
    if price.length is None:
        if price.per in (None, "piece") and len(lengths_mm) > 1:
            yield Problem.at(
                (*path, "length"),
                f"is missing, and {section.name} comes in more than one",
                either(f"give {lengths}", f'give {key_text((*path, "per"))} "ft" or "m"'),
            )
    elif not any(price.is_for(length) for length in lengths_mm):
        yield Problem.at(
            (*path, "length"),
            f"is no length that {section.name} comes in",
            f"give {lengths}",
        )


def _sold_mm(section: Lumber, price: Price) -> tuple[float, ...]:
    """The lengths that a section is sold in; treated lumber is no pre-cut stud."""
    studs_mm = () if price.treated else section.studs_mm
    return tuple(sorted((*studs_mm, *section.lengths_mm)))


def _no_lumber(path: KeyPath, price: Price, scene: Scene) -> Iterator[Problem]:
    """What is not lumber has neither stock lengths nor treatment."""
    for key, said in (("length", price.length is not None), ("treated", price.treated)):
        if said:
            names = nearest_names(price.item, scene.catalogue.lumber)
            yield Problem.at(
                (*path, key),
                f'goes with a section of lumber, and "{price.item}" is none',
                either(leave_out((*path, key)), f"give {key_text((*path, 'item'))} {names}"),
            )


def _unit(path: KeyPath, price: Price, catalogue: Catalogue) -> Iterator[Problem]:
    """A unit that the item is sold by; any at all for what the catalogue does not have."""
    # Panels are cut and flat steel is bent to order: no two pieces need cost the same.
    sold_by: tuple[tuple[str, Mapping[str, Any], tuple[Amount, ...]], ...] = (
        ("a section", catalogue.lumber, ("pieces", "length", "volume")),
        ("a sheet", catalogue.sheets, ("pieces", "area")),
        ("a roll", catalogue.rolls, ("pieces", "area")),
        ("a panel", catalogue.panels, ("length", "area")),
        ("flat steel", catalogue.flats, ("length", "area")),
        ("a pane", catalogue.panes, ("pieces", "area")),
        ("a window", catalogue.windows, ("pieces", "area")),
        ("wire mesh", catalogue.meshes, ("pieces", "area")),
        ("a bar", catalogue.bars, ("pieces", "length")),
        ("a bulk material", catalogue.bulk, ("volume", "mass")),
    )
    for what, rows, amounts in sold_by:
        if price.item in rows and PER[price.per or "piece"][0] not in amounts:
            units = [unit for unit, (amount, _) in PER.items() if amount in amounts]
            quoted = any_of(unit for unit in units if unit not in ("gal", "l"))
            wrong = f"is not how {what} is sold" if price.per else f"is missing for {what}"
            yield Problem.at((*path, "per"), wrong, f"give {quoted}")
