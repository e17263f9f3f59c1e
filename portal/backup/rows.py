"""Every row of the database as lines of JSON, in a form that SQLite and PostgreSQL both take back.

A table is a head {"model", "columns"} and then a list of values for each row. Tables are read and filled as the migrations
noted in the database describe them, not as the code of today does: so that a backup from before an upgrade can be taken
back after it, and is then migrated.
"""

from __future__ import annotations

import base64
import copy
import json
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from typing import IO, Any
from uuid import UUID

from django.apps.registry import Apps
from django.core.management.color import no_style
from django.db import DEFAULT_DB_ALIAS, connection, connections, transaction
from django.db.migrations.loader import MigrationLoader
from django.db.models import Field, Model
from django.db.models.query import QuerySet
from django.utils.duration import duration_iso_string

AT_ONCE = 50  # rows; a reading has a hundred kilobytes


@contextmanager
def snapshot() -> Iterator[None]:
    """Within it this thread reads the database as it is in this moment, on a connection of its own, while others write."""
    before = connections[DEFAULT_DB_ALIAS]
    entry = copy.deepcopy(before.settings_dict)
    if before.vendor == "postgresql":
        from psycopg import IsolationLevel

        entry["OPTIONS"]["isolation_level"] = IsolationLevel.REPEATABLE_READ
    else:
        entry["OPTIONS"]["transaction_mode"] = "DEFERRED"
    connections[DEFAULT_DB_ALIAS] = through = type(before)(entry, DEFAULT_DB_ALIAS)
    try:
        with transaction.atomic():
            with through.cursor() as cursor:
                cursor.execute("SELECT count(*) FROM django_migrations")  # the first look fixes the moment
            yield
    finally:
        through.close()
        connections[DEFAULT_DB_ALIAS] = before


def applied() -> list[tuple[str, str]]:
    """The migrations noted in the database that this code knows."""
    loader = MigrationLoader(connection)
    return sorted(key for key in loader.applied_migrations if key in loader.graph.nodes)


def apps_at(migrations: Iterable[tuple[str, str]]) -> Apps:
    """The models as they are after these migrations."""
    return MigrationLoader(None).project_state(list(migrations)).apps


def tables(apps: Apps) -> list[type[Model]]:
    every = apps.get_models(include_auto_created=True)
    return sorted(
        (model for model in every if model._meta.managed and not model._meta.proxy), key=lambda m: m._meta.label
    )


def columns(model: type[Model]) -> list[Field]:
    return [field for field in model._meta.concrete_fields if not getattr(field, "generated", False)]


def dump(apps: Apps, out: IO[str]) -> dict[str, int]:
    """Write every row; how many each table has."""
    counts = {}
    for model in tables(apps):
        names = [field.attname for field in columns(model)]
        _line(out, {"model": model._meta.label, "columns": names})
        rows: QuerySet[Any, Any] = QuerySet(model).order_by().values_list(*names)
        counts[model._meta.label] = 0
        for row in rows.iterator(chunk_size=AT_ONCE):
            _line(out, [_plain(value) for value in row])
            counts[model._meta.label] += 1
    return counts


def load(lines: Iterable[str], apps: Apps) -> dict[str, int]:
    """Put the rows in the place of all that is in the tables; how many each table has. In the caller's transaction."""
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":  # a migration of the same transaction may have had them looked at at once
            cursor.execute("SET CONSTRAINTS ALL DEFERRED")
        for model in tables(apps):
            cursor.execute(f"DELETE FROM {connection.ops.quote_name(model._meta.db_table)}")
        counts: dict[str, int] = {}
        for model, names, some in _by_table(lines, apps):
            counts[model._meta.label] = counts.get(model._meta.label, 0) + len(some)
            _fill(cursor, model, names, some)
        connection.check_constraints()
        for statement in connection.ops.sequence_reset_sql(no_style(), tables(apps)):
            cursor.execute(statement)
    return counts


def _by_table(lines: Iterable[str], apps: Apps) -> Iterator[tuple[type[Model], list[str], list[list[Any]]]]:
    """Model, columns, and some of its rows: a table comes at least once, and again for every so many rows."""
    model: type[Model] | None = None
    names: list[str] = []
    rows: list[list[Any]] = []
    for line in lines:
        held = json.loads(line)
        if isinstance(held, list):
            rows.append(held)
        if model is not None and (isinstance(held, dict) or len(rows) == AT_ONCE):
            yield model, names, rows
            rows = []
        if isinstance(held, dict):
            model, names = apps.get_model(held["model"]), held["columns"]
    if model is not None:
        yield model, names, rows


def _fill(cursor: Any, model: type[Model], names: list[str], rows: list[list[Any]]) -> None:
    fields = {field.attname: field for field in columns(model)}
    chosen = [fields[name] for name in names]
    quote = connection.ops.quote_name
    into = ", ".join(quote(str(field.column)) for field in chosen)
    places = ", ".join(["%s"] * len(chosen))
    statement = f"INSERT INTO {quote(model._meta.db_table)} ({into}) VALUES ({places})"
    cursor.executemany(statement, [[_kept(f, v) for f, v in zip(chosen, row, strict=True)] for row in rows])


def _line(out: IO[str], value: object) -> None:
    out.write(json.dumps(value, ensure_ascii=False, separators=(",", ":")) + "\n")


def _plain(value: Any) -> Any:
    """The value as JSON holds it, from which `_kept` makes the same value again."""
    if isinstance(value, datetime | date | time):
        return value.isoformat()
    if isinstance(value, timedelta):
        return duration_iso_string(value)
    if isinstance(value, UUID | Decimal):
        return str(value)
    if isinstance(value, bytes | bytearray | memoryview):
        return base64.b64encode(bytes(value)).decode()
    return value


def _kept(field: Field, value: Any) -> Any:
    return field.get_db_prep_save(field.to_python(value), connection)
