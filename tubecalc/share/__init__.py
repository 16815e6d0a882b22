"""Charts, wall pictures and files to hand on. Nothing here computes; it draws what it is given."""
