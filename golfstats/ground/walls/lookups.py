"""``field__any_of=[…]``: membership in a list that travels as one array parameter.

``IN`` with a few thousand keys is a few thousand parameters to assemble and parse. Very many keys may be given as
``Keys``: Django and the driver look at each member of a list, and Django at each letter of a text.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.db.models import ForeignKey, Lookup, UUIDField


@dataclass(frozen=True)
class Keys:
    """Very many keys, as PostgreSQL writes an array: ``{…,…}``."""

    text: str


@ForeignKey.register_lookup
@UUIDField.register_lookup
class AnyOf(Lookup):
    lookup_name = "any_of"
    prepare_rhs = False

    def as_sql(self, compiler: Any, connection: Any) -> tuple[str, tuple[Any, ...]]:
        left, parameters = self.process_lhs(compiler, connection)
        keys = self.rhs.text if isinstance(self.rhs, Keys) else list(self.rhs)
        return f"{left} = ANY(%s::uuid[])", (*parameters, keys)
