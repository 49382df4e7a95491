"""Columns that hold the same on SQLite and PostgreSQL: exact amounts, days, moments.

An amount is a whole number of millionths. Nothing is rounded on the way in; what does not fit is refused.
"""

from __future__ import annotations

from datetime import UTC, date, datetime
from decimal import Context, Decimal, Inexact, InvalidOperation
from typing import Any, NoReturn

from sqlalchemy import BigInteger, CheckConstraint, Dialect, String, Table
from sqlalchemy.sql.operators import OperatorType
from sqlalchemy.types import TypeDecorator, TypeEngine

PLACES = 6
_STEP = Decimal(1).scaleb(-PLACES)
_EXACT = Context(prec=60, traps=[Inexact, InvalidOperation])
_MOST = 2**63 - 1
_ARITHMETIC = frozenset(("add", "sub", "mul", "truediv", "floordiv", "mod", "neg"))


def to_millionths(value: Decimal | int) -> int:
    """`value` in whole millionths.

    TypeError for a float or a truth value, ValueError for more than six places or beyond 64 bits.
    """
    if isinstance(value, bool) or not isinstance(value, Decimal | int):
        raise TypeError("Only exact amounts can be stored.")
    try:
        whole = int(Decimal(value).quantize(_STEP, context=_EXACT).scaleb(PLACES, context=_EXACT))
    except (Inexact, InvalidOperation, ValueError, OverflowError):
        raise ValueError("This amount is finer than a millionth or no number, so it can't be stored.") from None
    if abs(whole) > _MOST:
        raise ValueError("This amount is too large to be stored.")
    return whole


def from_millionths(whole: int) -> Decimal:
    """The amount of so many millionths, without trailing zeros: 12500000 is 12.5, 40000000 is 40."""
    units, rest = divmod(abs(whole), 1_000_000)
    text = f"{units}.{rest:06}".rstrip("0").rstrip(".") if rest else str(units)
    return Decimal(f"-{text}" if whole < 0 else text)


class Amount(TypeDecorator[Decimal]):
    """An exact amount. May be compared, ordered and summed in SQL; arithmetic there is refused, it would be scaled."""

    impl = BigInteger
    cache_ok = True

    def process_bind_param(self, value: Any, dialect: Dialect) -> int | None:
        """Whole millionths for the database."""
        del dialect
        return None if value is None else to_millionths(value)

    def process_result_value(self, value: Any, dialect: Dialect) -> Decimal | None:
        """An exact amount from the database; PostgreSQL gives a sum as a decimal."""
        del dialect
        return None if value is None else from_millionths(int(value))

    class comparator_factory(TypeDecorator.Comparator[Decimal]):  # noqa: N801 - the library's own name for it
        """Comparisons only."""

        def operate(self, op: OperatorType, *other: Any, **kwargs: Any) -> Any:
            """Refuse arithmetic."""
            _refuse_arithmetic(op)
            return super().operate(op, *other, **kwargs)

        def reverse_operate(self, op: OperatorType, other: Any, **kwargs: Any) -> Any:
            """Refuse arithmetic from the other side."""
            _refuse_arithmetic(op)
            return super().reverse_operate(op, other, **kwargs)


def _refuse_arithmetic(op: OperatorType) -> None:
    if op.__name__ in _ARITHMETIC:
        _refuse(op.__name__)


def _refuse(name: str) -> NoReturn:
    raise TypeError(f"Amounts are reckoned with in Python, not in SQL ({name}).")


class Day(TypeDecorator[date]):
    """A calendar day as 2026-03-31: sorts and compares as text on both databases."""

    impl = String(10)
    cache_ok = True

    def process_bind_param(self, value: Any, dialect: Dialect) -> str | None:
        """The day as text. TypeError for a moment: it has no one day."""
        del dialect
        if value is None:
            return None
        if isinstance(value, datetime) or not isinstance(value, date):
            raise TypeError("Only a calendar day can be stored here.")
        return value.isoformat()

    def process_result_value(self, value: Any, dialect: Dialect) -> date | None:
        """The day from its text."""
        del dialect
        return None if value is None else date.fromisoformat(value)


class Moment(TypeDecorator[datetime]):
    """A moment in UTC, to the second, as 2026-03-31T08:15:00Z."""

    impl = String(20)
    cache_ok = True

    def process_bind_param(self, value: Any, dialect: Dialect) -> str | None:
        """The moment as text. TypeError without a time zone: nobody could say when that was."""
        del dialect
        if value is None:
            return None
        if not isinstance(value, datetime) or value.tzinfo is None:
            raise TypeError("Only a moment with its time zone can be stored here.")
        return value.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")

    def process_result_value(self, value: Any, dialect: Dialect) -> datetime | None:
        """The moment from its text."""
        del dialect
        return None if value is None else datetime.strptime(value, "%Y-%m-%dT%H:%M:%S%z")


def hold_whole_numbers(table: Table) -> None:
    """Have SQLite, whose columns take anything, refuse what is no whole number in the amounts of `table`."""
    for column in table.columns:
        kind: TypeEngine[Any] = column.type
        if isinstance(kind, Amount):
            wanted = "('integer', 'null')" if column.nullable else "('integer')"
            check = CheckConstraint(f'typeof("{column.name}") IN {wanted}', name=f"{column.name}_whole")
            table.append_constraint(check.ddl_if(dialect="sqlite"))
