"""Order lists made by chance: blanks of a block-cut stock or of odd boards, one or more kinds of blocks."""

import random

LENGTHS = (66, 68, 70, 72, 74, 75, 76, 78, 80, 82, 84, 87, 90)


def order_text(seed):
    """Return an order sheet; even seeds: few kinds, many of each; odd ones: many kinds, few."""
    chance = random.Random(seed)
    stock = seed % 2 == 0
    kinds = chance.randint(2, 7) if stock else chance.randint(8, 16)
    lines = [
        'units = "in"',
        'currency = "EUR"',
        f'kerf = "{chance.choice((1.2, 1.6, 2.0))} mm"',
        'cut = "wire"',
    ]
    lines += [line for block in _blocks(chance) for line in block]
    for n in range(kinds):
        lines += _blank(chance, f"B{n + 1:02d}", chance.randint(2, 24) if stock else chance.randint(1, 3))
    return "\n".join(lines) + "\n"


def _blocks(chance):
    sizes = [("long", 98, 48, 24, 160), ("tall", 98, 48, 36, 232), ("low", 98, 24, 24, 84)]
    for name, length, width, height, price in chance.sample(sizes, chance.randint(1, 3)):
        yield [
            "[[block]]",
            f'name = "{name}"',
            f"length = {length}\nwidth = {width}\nheight = {height}",
            'foam = "eps 20 kg/m3"',
            f"price = {price + chance.randint(-9, 9)}",
        ]


def _blank(chance, name, count):
    length = chance.choice(LENGTHS)
    wide = 19 + (length - 66) / 12 + chance.choice((0, 0.5, 1, 1.5))
    thick = chance.choice((2.25, 2.5, 2.75, 3, 3.25))
    nose, tail = chance.uniform(4, 5.75), chance.uniform(1.75, 2.75)
    stringer = '"none"' if chance.random() < 0.3 else '{ wood = "basswood", width = "1/8" }'
    return [
        "[[blank]]",
        f'id = "{name}"\ncount = {count}\nfoam = "eps 20 kg/m3"\nlength = {length}\nwidth = {wide}',
        f"thickness = {thick}\nstringer = {stringer}",
        f'rocker = {{ tail = {tail:.3f}, "12 from tail" = {0.42 * tail:.3f}, "12 from nose" = '
        f"{0.41 * nose:.3f}, nose = {nose:.3f} }}",
    ]
