"""The calculation engine: pure sums over quantities, no input or output, no memory.

Read in this order:
  units, errors    the one registry, and what is refused
  inputs           what may go in, how far it ranges, how finely it can be read
  result           what comes out, and how its range is found
  roots, wort, steam, chemistry
                   the physics the sums rest on, in plain numbers
  gravity, fermentables, recipe, convert, alcohol, heat, mash, volumes, bitterness, color, yeast, fermentation,
  packaging, water, cleaning
                   the sums, one file a topic; every public one takes quantities and gives a Result
"""
