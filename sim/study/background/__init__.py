"""Studies carried out in threads of a server, one at a time: planned, estimated, run, stopped, gone on with."""
