"""Lets schemathesis ask for what is there, most of the time: numbers it makes up are seldom anybody's."""

import schemathesis

THERE = {"id": 1, "revision": 1, "step": 1, "reading": 1, "note": 1}


@schemathesis.hook
def map_path_parameters(context, path_parameters):
    for name, value in (path_parameters or {}).items():
        if isinstance(value, int) and value % 4:
            path_parameters[name] = THERE.get(name, value)
    return path_parameters
