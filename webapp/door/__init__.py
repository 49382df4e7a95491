"""Who is asking and what may they: pure decisions. The guard asks them on each request, the store keeps the devices."""
