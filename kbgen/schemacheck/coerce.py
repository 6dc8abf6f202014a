"""Turn text into numbers and booleans, only where the schema asks for them."""

from __future__ import annotations

import re
from typing import Any

from kbgen.schemas import Schema, variant

_WHOLE = re.compile(r"[-+]?(?:0|[1-9][0-9]{0,14})")
_DECIMAL = re.compile(r"[-+]?(?:0|[1-9][0-9]{0,14})(?:\.[0-9]{1,15})?")
_BOOLEANS = {"true": True, "yes": True, "false": False, "no": False}


def typed(schema: Schema, value: Any) -> Any:
    """Return ``value`` with numbers and booleans in place of their text.

    What cannot be read as the type asked for stays text, for the check to report.
    """
    if isinstance(value, str):
        return _scalar(schema.get("type"), value)
    if isinstance(value, dict):
        chosen = variant(schema, value)
        fields: Schema = chosen.get("properties", {})
        other = chosen.get("additionalProperties")
        return {
            name: typed(inner, item) if (inner := fields.get(name) or other) else item
            for name, item in value.items()
        }
    if isinstance(value, list) and "items" in schema:
        items = schema["items"]
        return [typed(items, item) for item in value]
    return value


def _scalar(kind: str | None, text: str) -> Any:
    if kind == "integer" and _WHOLE.fullmatch(text):
        return int(text)
    if kind == "number" and _DECIMAL.fullmatch(text):
        return float(text)
    if kind == "boolean":
        return _BOOLEANS.get(text.lower(), text)
    return text
