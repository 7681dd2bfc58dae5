"""The plan of a set of points, drawn from the register: geometry in mm, then a drawing.

``notes``     what other records have to say at a place: readings, defects
``geometry``  where everything lies, in mm
``spread``    labels moved apart
``layout``    the drawing: where every line and label goes on paper
``words``     what the drawing says by signs, in words
``read``      the plan of a set of points in the register
``page``      what a page needs to show it
"""
