"""Engineering core: one small pure function for each published relation, standard library only."""
