"""The takeoff of one job as it is kept: routes, parts beside them, what each line buys and which task it drives."""
