"""Reference reader of a lookup table, using index arithmetic only.

Returns the same values that the command line prints for a situation. No distance is
added, compared or rounded here, only indexes are: a script can follow the same steps.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from forty_paces.geometry.table_pools import place_of

VERSIONS = (2,)


class TableReader:
    """A parsed table. ``ValueError`` for a format version that this reader does not support."""

    def __init__(self, text: str) -> None:
        self.table: dict[str, Any] = json.loads(text)
        if self.table["version"] not in VERSIONS:
            raise ValueError(f"this reader does not know version {self.table['version']} of the table")

    def lookup(
        self, road: int, speed: int, grade: int, visibility: int, behind: int, ahead: int
    ) -> dict[str, Any]:
        """Return the answer at six indexes on the axes, with the keys of the command line's JSON output."""
        table, axes = self.table, self.table["axes"]
        name = axes["road"][road]
        layout = table["layouts"][table["layout"][name][speed]]
        hidden = {"behind": behind, "ahead": ahead}
        grades = {"behind": grade, "ahead": axes["grade"]["mirror"][grade]}
        sides = {
            side: self._side(name, side, speed, grades[side], visibility, hidden[side])
            for side in axes["sides"][road]
        }
        walk = self._walk(layout, sides)
        return {
            "rules": table["rules"]["id"],
            "road": name,
            "devices": [self._device(device, sides) for device in layout["devices"]],
            "approach": {side: answer["approach"] for side, answer in sides.items()},
            "walk": {
                "distance_ft": table["walks"]["ft"][walk],
                "seconds": table["walks"]["seconds"][walk],
                "order": [self._leg(leg, sides) for leg in layout["order"]],
            },
            "cautions": self._cautions(layout, sides, walk, road, visibility, ahead),
        }

    def disagreements(self) -> list[str]:
        """Return the ids of worked examples that the table answers differently; empty: it can be trusted."""
        return [example["id"] for example in self.table["examples"] if not self._agrees(example)]

    def _side(
        self, road: str, side: str, speed: int, grade: int, visibility: int, hidden: int
    ) -> dict[str, Any]:
        table, axes = self.table, self.table["axes"]
        stopping = speed * len(axes["grade"]["pct"]) + grade
        grid = table["grids"][table["rows"][road][side]]
        block = table["blocks"][self._code(grid, stopping * len(axes["visibility"]["id"]) + visibility)]
        length, warning, base_warning, reason, short, look, reflecting, beyond = table["answers"][
            self._code(block, hidden)
        ]
        hidden_length = axes["hidden"]["length"][hidden]
        slots = {
            "side": side,
            "hidden": table["lengths"]["text"][hidden_length] if hidden_length >= 0 else "",
            "warning": table["warnings"]["text"][warning],
            "base_warning": table["warnings"]["text"][base_warning],
            "needed": table["needed"]["text"][stopping],
            "shortfall": table["shortfalls"]["text"][short],
            "shortfall_s": table["shortfalls"]["s_text"][short],
            "look": table["looks"]["text"][look],
            "look_s": table["looks"]["s_text"][look],
        }
        return {
            "length": length,
            "warning": warning,
            "stopping": stopping,
            "short": short,
            "beyond": beyond,
            "slots": slots,
            "reason": self._filled(reason, slots),
            "approach": {
                "needed_ft": table["needed"]["ft"][stopping],
                "warning_ft": table["warnings"]["ft"][warning],
                "ample": short == 0,
                "shortfall_ft": table["shortfalls"]["ft"][short],
                "shortfall_s": table["shortfalls"]["s"][short],
                "look_ft": table["looks"]["ft"][look],
                "look_s": table["looks"]["s"][look],
                "warning_reflecting_ft": None if reflecting < 0 else table["warnings"]["ft"][reflecting],
                "needed_by": "car",
            },
        }

    def _device(self, device: Mapping[str, Any], sides: Mapping[str, Any]) -> dict[str, Any]:
        table, texts = self.table, self.table["texts"]
        decided = bool(device["outer"])
        side = sides[device["toward"]] if decided else None
        length = side["length"] if side else device["length"]
        moved = length != device["length"]
        return {
            "toward": device["toward"],
            "distance_ft": table["lengths"]["ft"][length],
            "paces": table["lengths"]["paces"][length],
            "across": texts[device["across"]],
            "moved": moved,
            "reason": side["reason"] if side else texts[device["reason"]],
            "source": texts[device["moved_source" if moved else "source"]],
        }

    def _walk(self, layout: Mapping[str, Any], sides: Mapping[str, Any]) -> int:
        places = {}
        for side in ("behind", "ahead"):
            outer = layout["outer"][side]
            places[side] = outer.index(sides[side]["length"]) if outer else 0
        width = len(layout["outer"]["ahead"]) or 1
        return self._code(layout["walk"], places["behind"] * width + places["ahead"])

    def _leg(self, leg: int, sides: Mapping[str, Any]) -> str:
        paced = {
            side: self.table["lengths"]["paced"][answer["length"]]
            for side, answer in sides.items()
            if answer["length"] >= 0
        }
        return self._filled(leg, paced)

    def _cautions(
        self,
        layout: Mapping[str, Any],
        sides: Mapping[str, Any],
        walk: int,
        road: int,
        visibility: int,
        ahead: int,
    ) -> list[str]:
        table = self.table
        said = [layout["forbidden"]]
        cautions = [self._filled(text) for text in said if text >= 0]
        cautions += [self._filled(table["short"], side["slots"]) for side in sides.values() if side["short"]]
        if any(side["beyond"] for side in sides.values()):
            cautions.append(self._filled(table["beyond"]))
        if table["walks"]["slow"][walk]:
            cautions.append(self._filled(layout["slow"]))
        if table["axes"]["hidden"]["length"][ahead] >= 0 and table["ahead"][road] >= 0:
            cautions.append(self._filled(table["ahead"][road]))
        return cautions + [self._filled(text) for text in layout["cautions"][visibility]]

    def _agrees(self, example: Mapping[str, Any]) -> bool:
        table = self.table
        answer = self.lookup(*example["at"])
        road, speed, grade, visibility, behind, ahead = example["at"]
        name = table["axes"]["road"][road]
        layout = table["layouts"][table["layout"][name][speed]]
        grades = {"behind": grade, "ahead": table["axes"]["grade"]["mirror"][grade]}
        hidden = {"behind": behind, "ahead": ahead}
        found = []
        for device, rule in zip(answer["devices"], layout["devices"], strict=True):
            length = rule["length"]
            if rule["outer"]:
                toward = device["toward"]
                length = self._side(name, toward, speed, grades[toward], visibility, hidden[toward])["length"]
            found.append([device["toward"], table["lengths"]["own"][length], int(device["moved"])])
        if found != example["devices"]:
            return False
        for toward, (needed, warning, ample) in example["sides"].items():
            side = self._side(name, toward, speed, grades[toward], visibility, hidden[toward])
            if needed is not None and needed != table["needed"]["own"][side["stopping"]]:
                return False
            if warning is not None and warning != table["warnings"]["own"][side["warning"]]:
                return False
            if bool(ample) != side["approach"]["ample"]:
                return False
        return True

    def _filled(self, text: int, slots: Mapping[str, str] | None = None) -> str:
        """Fill the slots of a text; other braces remain as they are."""
        filled = str(self.table["texts"][text]) if text >= 0 else ""
        for name, words in (slots or {}).items():
            filled = filled.replace("{" + name + "}", words)
        return filled

    @staticmethod
    def _code(codes: str, place: int) -> int:
        return place_of(codes[2 * place : 2 * place + 2])
