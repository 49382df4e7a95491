"""The store: reads everything into one immutable book; `writing` is the only thing that changes anything."""
