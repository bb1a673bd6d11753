from shop.base.menu import Below

BELOW = [Below("plate/", "worksheets:worksheets")]
