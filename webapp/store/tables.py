"""All tables whose rows are made and ended: those of each stem, and from when on a thing is put away."""

from webapp.store import buying_tables, making_tables, selling_tables, workshop_tables
from webapp.store.families import Dated, Held, rows_held

#: the modules that define the rest of them
STEMS = (workshop_tables, buying_tables, making_tables, selling_tables)


class RetiredRow(Dated, table=True):
    """From which day on a thing is retired, or (`away` false) is there again."""

    away: bool


#: Table name -> row class, for every table whose rows are made and ended.
HELD: dict[str, type[Held]] = {row.table_name(): row for row in rows_held()}
