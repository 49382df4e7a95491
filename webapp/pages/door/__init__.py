"""The door to the workshop's network: the devices that were let in, and the two ways in."""
