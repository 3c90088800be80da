"""An evaluation to sets of files, each file proved before it is returned."""
