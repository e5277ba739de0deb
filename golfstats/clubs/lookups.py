"""``field__any_of=[…]``: membership in a list that travels as one array parameter.

``IN`` with a few thousand keys is a few thousand parameters to assemble and parse.
"""

from __future__ import annotations

from typing import Any

from django.db.models import ForeignKey, Lookup, UUIDField


@ForeignKey.register_lookup
@UUIDField.register_lookup
class AnyOf(Lookup):
    lookup_name = "any_of"
    prepare_rhs = False

    def as_sql(self, compiler: Any, connection: Any) -> tuple[str, tuple[Any, ...]]:
        left, parameters = self.process_lhs(compiler, connection)
        return f"{left} = ANY(%s)", (*parameters, list(self.rhs))
