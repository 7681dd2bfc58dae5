"""The plan of a set of points, drawn from the register: geometry in mm, then a drawing.

``notes``     what other records have to say at a place: readings, defects
``geometry``  where everything lies, in mm
``drawing``   what a drawing is made of: lines, signs, labels
``on_a_rod``  what is drawn along one stretcher
``columns``   labels beside the rails, and ``spread``, which moves them apart
``layout``    where every line and label goes on paper
``words``     its labels, and what the drawing says by signs, in words
``page``      what a page needs to show it
"""
