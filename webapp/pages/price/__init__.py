"""Price: the line, products, channels, and parts that go together."""
