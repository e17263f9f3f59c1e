"""Empties the database after a test that commits: deletes rows where there are any.

Django's own way truncates all tables and then makes content types and permissions anew: half a second of CPU after each of
some hundred tests. The rows that every database of the portal has from its migrations on stay here.

A request that outlives its test may hold rows: emptying waits for it, and says by name what never lets go.
"""

from __future__ import annotations

from functools import cache
from typing import Any

from django.db import OperationalError, connections, transaction
from django.test import TransactionTestCase

TRIES, WAIT_S = 4, 10  # for rows that something else holds
KEPT = ("django_content_type", "auth_permission")  # and django_migrations, which is no model's table


def empty_quickly() -> None:
    """From now on tests that commit are tidied up after in this way."""
    TransactionTestCase._fixture_teardown = _empty_all  # type: ignore[attr-defined]


def _empty_all(test: Any) -> None:
    for alias in test._databases_names(include_mirrors=False):
        connection = connections[alias]
        for left in reversed(range(TRIES)):
            try:
                _empty(connection)
                break
            except OperationalError as error:  # a deadlock, or rows held for too long
                if not left:
                    raise AssertionError(f"rows are held by {_others(connection)}") from error


def _others(connection: Any) -> list[Any]:
    """What the database's other connections do; SQLite has no word for it."""
    if connection.vendor != "postgresql":
        return []
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT state, query FROM pg_stat_activity WHERE datname = current_database() AND pid <> pg_backend_pid()"
        )
        return list(cursor.fetchall())


def _empty(connection: Any) -> None:
    """All deletes are one transaction: foreign keys are looked at when it ends, so the order does not matter."""
    quoted = connection.ops.quote_name
    with transaction.atomic(using=connection.alias), connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            cursor.execute(f"SET LOCAL lock_timeout = '{WAIT_S}s'")
        asked = (f"SELECT '{name}' WHERE EXISTS (SELECT 1 FROM {quoted(name)})" for name in _tables(connection.alias))
        cursor.execute(" UNION ALL ".join(asked))
        for (name,) in cursor.fetchall():
            cursor.execute(f"DELETE FROM {quoted(name)}")


@cache
def _tables(alias: str) -> list[str]:
    names = connections[alias].introspection.django_table_names(only_existing=True, include_views=False)
    return [name for name in names if name not in KEPT]
