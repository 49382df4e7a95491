"""Exact columns: whole millionths in, the same amount out."""

from __future__ import annotations

from datetime import UTC, date, datetime
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sqlalchemy import Column, MetaData, Table, create_engine, func, select
from sqlalchemy.exc import IntegrityError, StatementError

from webapp.store.columns import Amount, Day, Moment, from_millionths, hold_whole_numbers, to_millionths

TABLE = Table("held", MetaData(), Column("amount", Amount), Column("on", Day), Column("at", Moment))
hold_whole_numbers(TABLE)


@given(st.decimals(allow_nan=False, allow_infinity=False, places=6, min_value=-(10**12), max_value=10**12))
def test_an_amount_comes_back_exactly(value: Decimal) -> None:
    assert from_millionths(to_millionths(value)) == value


@pytest.mark.parametrize("value", [1.5, True, "1.5"])
def test_what_is_not_exact_is_refused(value: object) -> None:
    with pytest.raises(TypeError):
        to_millionths(value)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    "value",
    [Decimal("0.0000001"), Decimal("9223372036854.775808"), Decimal("NaN"), Decimal("Infinity"), Decimal("1E+999999")],
)
def test_what_does_not_fit_is_refused(value: Decimal) -> None:
    with pytest.raises(ValueError, match="stored"):
        to_millionths(value)


def test_the_largest_amount_fits() -> None:
    assert from_millionths(to_millionths(Decimal("9223372036854.775807"))) == Decimal("9223372036854.775807")


def test_arithmetic_in_sql_is_refused_and_sums_are_exact() -> None:
    column = TABLE.c.amount
    for wrong in (lambda: column + 1, lambda: column * 2, lambda: 2 * column, lambda: column / column, lambda: -column):
        with pytest.raises(TypeError):
            wrong()
    engine = create_engine("sqlite://")
    with engine.begin() as connection:
        TABLE.create(connection)
        connection.execute(TABLE.insert(), [{"amount": Decimal("0.1")}, {"amount": Decimal("0.2")}])
        assert connection.execute(select(func.sum(column))).scalar_one() == Decimal("0.3")
        assert connection.execute(select(func.count()).where(column > Decimal("0.15"))).scalar_one() == 1
        with pytest.raises(StatementError):
            connection.execute(TABLE.insert(), {"amount": 0.5})
        with pytest.raises(IntegrityError):
            connection.exec_driver_sql("INSERT INTO held (amount) VALUES (0.5)")
    engine.dispose()


def test_days_and_moments_keep_their_kind() -> None:
    engine = create_engine("sqlite://")
    moment = datetime(2026, 3, 31, 8, 15, tzinfo=UTC)
    with engine.begin() as connection:
        TABLE.create(connection)
        connection.execute(TABLE.insert(), {"on": date(2026, 3, 31), "at": moment})
        assert connection.execute(select(TABLE.c["on"], TABLE.c["at"])).one() == (date(2026, 3, 31), moment)
        for wrong in ({"on": moment}, {"at": datetime(2026, 3, 31)}):  # noqa: DTZ001 - that is what is refused
            with pytest.raises(StatementError):
                connection.execute(TABLE.insert(), wrong)
    engine.dispose()
