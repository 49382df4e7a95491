"""What goes wrong with disks, power, files and people, tried on real processes."""
