"""Recording a set of points as it was found.

``questions``  what is asked of a place, a rod, a machine, a lost-motion fitting and the points
``survey``     the whole form, and what the register says otherwise
``recording``  what was found, put in the register
"""
