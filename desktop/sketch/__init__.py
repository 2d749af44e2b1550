"""Side drawing and air plot as plain shapes, painted alike in the window and on paper.

    shapes.py        Poly, Dot, Words, Look: what there is to draw, in points from the top left
    route_shapes.py  route_shapes(drawing, width, height, look)
    route_marks.py   the signs of fittings, supports, suction points and problems
    words_placed.py  labels put where nothing else lies
    air_shapes.py    air_shapes(air, width, height, look)
    on_screen.py     RouteSketch, AirPlot: the widgets
The same shapes are drawn on paper by desktop/papers/sketch.py.
"""
