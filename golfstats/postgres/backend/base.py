from __future__ import annotations

from typing import Any

from django.core.exceptions import ImproperlyConfigured
from django.db.backends.postgresql import base

_checked_roles: set[str] = set()


class DatabaseWrapper(base.DatabaseWrapper):
    """PostgreSQL, started on demand when embedded, and refused when its role could see every club."""

    def get_connection_params(self) -> dict[str, Any]:
        data_folder = self.settings_dict.get("EMBEDDED_IN")
        if data_folder is not None:
            # Imported here because a production machine has no use for the wheel's server.
            from golfstats.postgres import embedded  # noqa: PLC0415

            self.settings_dict.update(embedded.address_of(data_folder))
        return super().get_connection_params()

    def init_connection_state(self) -> None:
        super().init_connection_state()
        refuse_role_above_row_security(self)


def refuse_role_above_row_security(wrapper: base.DatabaseWrapper) -> None:
    """Raise ``ImproperlyConfigured`` if the connected role bypasses row-level security.

    A superuser or a BYPASSRLS role would silently see the rows of every club.
    """
    user = str(wrapper.settings_dict["USER"])
    if user in _checked_roles:
        return
    with wrapper.connection.cursor() as cursor:
        cursor.execute(
            "SELECT bool_or(rolsuper OR rolbypassrls) FROM pg_roles WHERE rolname IN (current_user, session_user)"
        )
        row = cursor.fetchone()
    if row is None or row[0]:
        raise ImproperlyConfigured(
            f"The database role {user!r} is a superuser or bypasses row-level security. "
            "Connect as a role made by golfstats/postgres/roles.sql."
        )
    _checked_roles.add(user)
