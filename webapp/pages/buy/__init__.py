"""Buy: supplier orders, materials, quotes, suppliers."""
